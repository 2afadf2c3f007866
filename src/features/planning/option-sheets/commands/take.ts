import { ok, type Result } from '../../../../core/result.ts'
import type { Tx } from '../../../../platform/database.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../../platform/write.ts'
import { changeBoat, changedWords } from '../../../builds/public.ts'
import { structuralIn, type SheetOption } from '../model.ts'
import { changeFor, leversOf, outOfReach } from '../queries/levers.ts'
import { sheetBuild } from '../queries/sheet.ts'
import type { TakeOption } from '../schemas.ts'
import { GONE, LAUNCHED, MOVED_ON } from './save.ts'

type Where = { readonly buildId: string; readonly sheetId: string }

/** One of the options becomes the boat. What strength hangs on, the designer has been asked about: what was said is kept. */
export async function takeOption(tx: Tx, ctx: Ctx, { buildId, sheetId }: Where, input: TakeOption): Promise<Result<Done, Refusal>> {
  const build = await sheetBuild(tx, buildId)
  if (build.state === 'launched') return refused(422, LAUNCHED)
  const row = await tx.optionSheet.findFirst({ where: { id: sheetId, buildId } })
  if (!row) return refused(404, GONE)
  if (row.version !== input.version) return refused(409, MOVED_ON)
  const option = (row.options as unknown as SheetOption[])[input.option]
  if (!option) return refused(422, 'Say which one is taken.', { fields: { option: 'Say which one is taken' } })
  const levers = await leversOf(tx, buildId)
  const gone = outOfReach(option.values, levers)
  if (gone) return gone
  const change = await changeFor(tx, buildId, option.values, levers)
  const asked = structuralIn(change, levers)
  if (asked.length > 0 && input.designer === '') {
    return refused(422, 'What did the designer say? Nothing was changed.', {
      fields: { designer: `“${option.name}” changes ${asked.map((l) => l.label.toLowerCase()).join(', ')}: write what the designer said to it, and when` },
    })
  }
  const done = Object.keys(change).length === 0 ? null : await changeBoat(tx, ctx, buildId, { measured: change }, { version: build.version, why: `“${option.name}” taken` })
  if (done && !done.ok) return done
  const { count } = await tx.optionSheet.updateMany({
    where: { id: sheetId, version: input.version },
    data: { takenIndex: input.option, takenAt: ctx.now, takenBy: ctx.member.id, designerSaid: input.designer, version: { increment: 1 } },
  })
  if (count === 0) return refused(409, MOVED_ON)
  await audit(tx, ctx, {
    what: 'option taken', entity: 'option_sheet', entityId: sheetId, buildId, before: { takenIndex: row.takenIndex },
    after: { question: row.question, option: option.name, change, designerSaid: input.designer },
  })
  return ok({ location: `/builds/${buildId}/options/${sheetId}`, flash: `“${option.name}” is taken. ${done?.ok ? changedWords(done.value) : 'She is that already, so no task changes.'}` })
}
