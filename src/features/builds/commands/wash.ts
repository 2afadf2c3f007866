import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { changed } from './changed.ts'
import { lockLink } from './found.ts'

export type WashStep = 'missed' | 'not-missed' | 'done' | 'not-done'

/** What people say of a missed window: that it was missed, and that the wash and sand is done; each can be taken back. */
export async function sayWash(tx: Tx, ctx: Ctx, input: { buildId: string; linkId: string; step: WashStep }): Promise<Result<{ taskId: string; text: string }, Refusal>> {
  const locked = await lockLink(tx, input.buildId, input.linkId)
  if (!locked.ok) return locked
  const link = locked.value
  if (link.kind !== 'window' || link.washMin === null) return refused(422, 'This link has no wash-and-sand work: add it at the link first.')
  const between = `“${link.from.name}” and “${link.to.name}”`
  if (input.step === 'not-missed' && link.washLoggedMin > 0) return refused(422, `Hours of washing are logged between ${between}: take them back first.`)
  const data = {
    missed: { missedAt: link.missedAt ?? ctx.now },
    'not-missed': { missedAt: null, washStartedAt: null, washDoneAt: null },
    done: { missedAt: link.missedAt ?? ctx.now, washStartedAt: link.washStartedAt ?? ctx.now, washDoneAt: link.washDoneAt ?? ctx.now },
    'not-done': { washDoneAt: null },
  }[input.step]
  await tx.link.update({ where: { id: link.id }, data })
  const text = {
    missed: `The window between ${between} is missed: wash and sand comes first.`,
    'not-missed': `The window between ${between} counts again.`,
    done: `Washed and sanded between ${between}: the next coat can go on.`,
    'not-done': `The wash and sand between ${between} is open again.`,
  }[input.step]
  await audit(tx, ctx, { what: text, entity: 'link', entityId: link.id, buildId: input.buildId, before: { missedAt: link.missedAt, washDoneAt: link.washDoneAt }, after: data })
  await changed(tx, ctx, input.buildId, text)
  return ok({ taskId: link.toId, text })
}
