import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import type { OutageInput, ToolInput } from '../schemas/tool.ts'
import { dateColumn, isoDate } from '../times.ts'
import { dateWords } from '../words.ts'

type Saved = Promise<Result<Done, Refusal>>

export async function saveTool(tx: Tx, ctx: Ctx, edit: { id: string; version: number } | null, input: ToolInput): Saved {
  const problem = await toolProblem(tx, input, edit?.id ?? null)
  if (problem) return problem
  const data = { ...input, arrivesOn: input.arrivesOn && dateColumn(input.arrivesOn) }
  if (!edit) {
    const tool = await tx.tool.create({ data })
    await audit(tx, ctx, { what: 'added a tool', entity: 'tool', entityId: tool.id, after: tool })
    await requestReplan(tx, `${tool.name} is a new tool`, ctx)
    return ok({ location: `/workshop/tools/${tool.id}`, flash: `${tool.name} is on the list.` })
  }
  const before = await tx.tool.findUnique({ where: { id: edit.id } })
  if (!before) return refused(404, 'There is no such tool.')
  const saved = await tx.tool.updateMany({ where: edit, data: { ...data, version: { increment: 1 } } })
  if (saved.count === 0) return refused(409, `Somebody changed ${before.name} since you opened this page. Nothing of yours was saved yet.`, { current: toolFields(before) })
  await audit(tx, ctx, { what: 'changed a tool', entity: 'tool', entityId: edit.id, before, after: input })
  const isOther = input.arrivesOn && (before.arrivesOn === null || isoDate(before.arrivesOn) !== input.arrivesOn)
  await requestReplan(tx, isOther && input.arrivesOn ? toolComes(input.name, input.arrivesOn) : `${input.name} changed`, ctx)
  return ok({ location: `/workshop/tools/${edit.id}`, flash: `${input.name} is saved.` })
}

/** Why the plan is made anew when a tool's day of arrival is another than was thought. */
export const toolComes = (name: string, date: string): string => `${name} comes on ${dateWords(date)}`

async function toolProblem(tx: Tx, input: ToolInput, toolId: string | null) {
  if (await tx.tool.findFirst({ where: { name: input.name, ...(toolId && { NOT: { id: toolId } }) }, select: { id: true } })) {
    return refused(422, `There is a tool “${input.name}” already. Nothing was changed.`, { fields: { name: 'Name: there is a tool of this name already; raise its count or choose another name' } })
  }
  if (input.siteId && !(await tx.site.findUnique({ where: { id: input.siteId }, select: { id: true } }))) return refused(422, 'That site is gone.', { fields: { siteId: 'Kept at: choose from the list' } })
  if (input.competenceId && !(await tx.competence.findUnique({ where: { id: input.competenceId }, select: { id: true } }))) {
    return refused(422, 'That competence is gone.', { fields: { competenceId: 'Competence: choose from the list' } })
  }
  return null
}

type ToolFigures = { name: string; count: number; siteId: string | null; competenceId: string | null; arrivesOn: Date | null; note: string; isActive: boolean }

/** A tool as its form shows it. */
export const toolFields = (tool: ToolFigures): Record<string, string> => ({
  name: tool.name, count: String(tool.count), siteId: tool.siteId ?? '', competenceId: tool.competenceId ?? '',
  arrivesOn: tool.arrivesOn ? isoDate(tool.arrivesOn) : '', note: tool.note, isRetired: tool.isActive ? '' : 'on',
})

export async function addOutage(tx: Tx, ctx: Ctx, toolId: string, input: OutageInput): Saved {
  const tool = await tx.tool.findUnique({ where: { id: toolId }, select: { name: true, count: true } })
  if (!tool) return refused(404, 'There is no such tool.')
  if (input.count > tool.count) {
    return refused(422, `There are only ${tool.count} of ${tool.name}.`, { fields: { count: `How many: at most the ${tool.count} there are` } })
  }
  const outage = await tx.toolOutage.create({ data: { toolId, count: input.count, fromOn: dateColumn(input.fromOn), toOn: input.toOn && dateColumn(input.toOn), why: input.why } })
  await audit(tx, ctx, { what: 'put a tool out of service', entity: 'tool', entityId: toolId, after: outage })
  await requestReplan(tx, `${tool.name} is out of service: ${input.why}`, ctx)
  return ok({ location: `/workshop/tools/${toolId}`, flash: `${tool.name} is out of service then.` })
}

/** Back in service: an outage that has begun ends with yesterday, one still to come is taken out. */
export async function endOutage(tx: Tx, ctx: Ctx, toolId: string, outageId: string, today: string): Saved {
  const before = await tx.toolOutage.findFirst({ where: { id: outageId, toolId }, include: { tool: { select: { name: true } } } })
  const location = `/workshop/tools/${toolId}`
  if (!before) return ok({ location, flash: 'That is taken out already.' })
  const yesterday = new Date(dateColumn(today).getTime() - 86_400_000)
  if (before.fromOn > yesterday) await tx.toolOutage.delete({ where: { id: outageId } })
  else await tx.toolOutage.update({ where: { id: outageId }, data: { toOn: yesterday } })
  await audit(tx, ctx, { what: 'put a tool back in service', entity: 'tool', entityId: toolId, before })
  await requestReplan(tx, `${before.tool.name} is back in service`, ctx)
  return ok({ location, flash: `${before.tool.name} is back in service.` })
}
