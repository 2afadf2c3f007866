import { ok, type Result } from '../../../core/result.ts'
import type { z } from 'zod'
import type { Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { isUuid } from '../../../platform/request.ts'
import type { HoldForm } from '../schemas/links.ts'
import { changed } from './changed.ts'
import { lockTask } from './found.ts'

/** Keeps a tool, or a bay where she stands, from the start of one task to the finish of another. */
export async function addHold(tx: Tx, ctx: Ctx, buildId: string, input: z.output<typeof HoldForm>): Promise<Result<Done, Refusal>> {
  const from = await lockTask(tx, buildId, input.from)
  if (!from.ok) return refused(422, 'Choose where the hold begins.', { fields: { from: 'Choose a task of this build' } })
  const to = await lockTask(tx, buildId, input.to)
  if (!to.ok) return refused(422, 'Choose where the hold ends.', { fields: { to: 'Choose a task of this build' } })
  const build = from.value.build
  if (await leadsTo(tx, buildId, input.to, input.from)) {
    return refused(422, `“${to.value.name}” comes before “${from.value.name}”, so the hold would end before it begins: turn the two round.`, { fields: { to: `Comes before “${from.value.name}”` } })
  }
  const have = input.tool === null
    ? await tx.place.findUniqueOrThrow({ where: { id: build.placeId }, select: { name: true, bays: true } }).then((p) => ({ name: `bays in ${p.name}`, count: p.bays }))
    : await tx.tool.findUnique({ where: { id: input.tool }, select: { name: true, count: true } })
  if (!have) return refused(422, 'This tool is not there any more.', { fields: { tool: 'Choose another' } })
  if (input.amount > have.count) return refused(422, `There are ${have.count} ${have.name}, so ${input.amount} can’t be held.`, { fields: { amount: `At most ${have.count}` } })
  const hold = await tx.hold.create({ data: { buildId, toolId: input.tool, amount: input.amount, fromTaskId: input.from, toTaskId: input.to } })
  await audit(tx, ctx, { what: 'hold added', entity: 'hold', entityId: hold.id, buildId, after: input })
  const what = input.tool === null ? 'A bay' : have.name
  await changed(tx, ctx, buildId, `${what} is held from “${from.value.name}” to “${to.value.name}” (${build.name})`)
  return ok({ location: `/builds/${buildId}/holds`, flash: `${what} is held from “${from.value.name}” to “${to.value.name}”.` })
}

/** Whether `from` comes before `to` by links of any kind. */
async function leadsTo(tx: Tx, buildId: string, from: string, to: string): Promise<boolean> {
  if (from === to) return false
  const links = await tx.link.findMany({ where: { buildId }, select: { fromId: true, toId: true } })
  const seen = new Set([from])
  const open = [from]
  for (let at = open.pop(); at !== undefined; at = open.pop()) {
    for (const l of links) {
      if (l.fromId !== at || seen.has(l.toId)) continue
      if (l.toId === to) return true
      seen.add(l.toId)
      open.push(l.toId)
    }
  }
  return false
}

export async function removeHold(tx: Tx, ctx: Ctx, buildId: string, holdId: string): Promise<Result<Done, Refusal>> {
  const hold = isUuid(holdId) ? await tx.hold.findFirst({ where: { id: holdId, buildId }, include: { tool: { select: { name: true } } } }) : null
  if (!hold) return refused(404, 'This hold is not there any more.')
  await tx.hold.delete({ where: { id: hold.id } })
  await audit(tx, ctx, { what: 'hold removed', entity: 'hold', entityId: hold.id, buildId, before: hold })
  const what = hold.tool?.name ?? 'Her bay'
  await changed(tx, ctx, buildId, `${what} is no longer held`)
  return ok({ location: `/builds/${buildId}/holds`, flash: `${what} is no longer held.` })
}
