import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { beyondReach } from '../facts/plausible.ts'
import { dateColumn, localDate } from '../../../platform/times.ts'
import { taskValues } from '../queries/task-form.ts'
import { clubReach } from '../queries/plausible.ts'
import type { TaskInput } from '../schemas/task.ts'
import { changed } from './changed.ts'
import { lockTask } from './found.ts'
import { tieMaterials, type MaterialRow } from './materials.ts'

export const taskUrl = (buildId: string, taskId: string) => `/builds/${buildId}/tasks/${taskId}`

/** Adds a task at the end of its phase, or after another task of the build. */
export async function addTask(tx: Tx, ctx: Ctx, buildId: string, input: TaskInput & { after: string | null }): Promise<Result<Done, Refusal>> {
  const build = await tx.build.findUniqueOrThrow({ where: { id: buildId }, select: { name: true } })
  const checked = await check(tx, ctx, buildId, input)
  if (!checked.ok) return checked
  const phaseId = await phaseOf(tx, buildId, input)
  if (phaseId === null) return refused(422, 'That phase is not there any more.', { fields: { phaseId: 'Choose another' } })
  const materials = await tieMaterials(tx, input.materials, input.productId)
  if (!materials.ok) return materials
  const position = await makeRoom(tx, buildId, phaseId, input.after)
  const task = await tx.task.create({ data: { ...columns(input), buildId, phaseId, position } })
  await saveParts(tx, task.id, input, materials.value)
  await audit(tx, ctx, { what: 'task added', entity: 'task', entityId: task.id, buildId, after: columns(input) })
  await changed(tx, ctx, buildId, `“${input.name}” added (${build.name})`)
  return ok({ location: taskUrl(buildId, task.id), flash: `“${input.name}” is added. Link it to what it waits for, and to what waits for it.` })
}

/** Saves a task as typed, unless somebody else saved it since the page was opened. */
export async function editTask(tx: Tx, ctx: Ctx, buildId: string, taskId: string, input: TaskInput & { version: number }): Promise<Result<Done, Refusal>> {
  const locked = await lockTask(tx, buildId, taskId)
  if (!locked.ok) return locked
  const task = locked.value
  if (task.version !== input.version) {
    return refused(409, 'Somebody saved this task while you were typing. Nothing of yours is saved yet: where the two differ, both are shown. Send it again to keep yours.', {
      current: await taskValues(tx, buildId, taskId),
    })
  }
  const checked = await check(tx, ctx, buildId, input, task.id)
  if (!checked.ok) return checked
  const phaseId = await phaseOf(tx, buildId, input)
  if (phaseId === null) return refused(422, 'That phase is not there any more.', { fields: { phaseId: 'Choose another' } })
  const materials = await tieMaterials(tx, input.materials, input.productId, await tx.taskMaterial.findMany({ where: { taskId }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }))
  if (!materials.ok) return materials
  const before = await taskValues(tx, buildId, taskId)
  await tx.task.update({ where: { id: task.id }, data: { ...columns(input), phaseId, version: { increment: 1 } } })
  await saveParts(tx, task.id, input, materials.value)
  await audit(tx, ctx, { what: 'task edited', entity: 'task', entityId: task.id, buildId, before, after: await taskValues(tx, buildId, taskId) })
  await changed(tx, ctx, buildId, `“${input.name}” changed (${task.build.name})`)
  return ok({ location: taskUrl(buildId, task.id), flash: `“${input.name}” is saved.` })
}

/** Only a task that nobody worked on; what it stood between is linked through. */
export async function deleteTask(tx: Tx, ctx: Ctx, buildId: string, taskId: string): Promise<Result<Done, Refusal>> {
  const locked = await lockTask(tx, buildId, taskId)
  if (!locked.ok) return locked
  const task = locked.value
  const logs = await tx.workLog.count({ where: { taskId } })
  if (logs > 0 || task.finishedAt !== null || task.coat !== null) {
    return refused(422, `“${task.name}” has been worked on, so it stays in her history. If no more is to be done, mark it finished.`)
  }
  const links = await tx.link.findMany({ where: { buildId, OR: [{ fromId: taskId }, { toId: taskId }] } })
  const into = links.filter((l) => l.toId === taskId)
  const outOf = links.filter((l) => l.fromId === taskId)
  if ((await tx.stockEntry.count({ where: { taskId } })) + (await tx.batch.count({ where: { taskId } })) > 0) {
    return refused(422, `The stores’ ledger has entries of “${task.name}”, and nothing is ever taken out of it: if no more is to be done, mark the task finished.`)
  }
  const holds = await tx.hold.count({ where: { OR: [{ fromTaskId: taskId }, { toTaskId: taskId }] } })
  if (holds > 0) return refused(422, `“${task.name}” begins or ends a hold of a tool or her bay: change the hold first.`)
  await tx.task.delete({ where: { id: taskId } })
  for (const a of into) {
    for (const b of outOf) {
      // A cure that was waited for before it is still waited for after it.
      const kept = a.kind === 'stage' ? { kind: 'stage' as const, stage: a.stage } : { kind: 'finish' as const }
      await tx.link.createMany({ data: { buildId, fromId: a.fromId, toId: b.toId, ...kept }, skipDuplicates: true })
    }
  }
  await audit(tx, ctx, { what: 'task deleted', entity: 'task', entityId: taskId, buildId, before: { task, links } })
  await changed(tx, ctx, buildId, `“${task.name}” deleted (${task.build.name})`)
  const through = into.length > 0 && outOf.length > 0 ? ' What it stood between is linked directly now.' : ''
  return ok({ location: `/builds/${buildId}`, flash: `“${task.name}” is deleted.${through}` })
}

async function check(tx: Tx, ctx: Ctx, buildId: string, input: TaskInput, taskId?: string): Promise<Result<null, Refusal>> {
  const bad = (field: string, message: string) => refused(422, 'Nothing was changed: see the note at the field.', { fields: { [field]: message } })
  const far = beyondReach(
    { name: input.name, kind: input.kind, workLikelyMin: input.likely, handsFrom: input.handsFrom, handsTo: input.handsTo, smallestMin: input.smallest, setUpMin: input.setUp, clearUpMin: input.clearUp },
    await clubReach(tx, dateColumn(localDate(ctx.clubZone, ctx.now))))
  if (far) return bad(far.field, far.message)
  if (input.productId !== null && (await tx.cureProduct.count({ where: { id: input.productId } })) === 0) return bad('productId', 'This cure product is not there any more')
  if (input.where === 'places' && (await tx.place.count({ where: { id: { in: input.places } } })) !== new Set(input.places).size) return bad('places', 'One of these places is not there any more')
  const tools = await tx.tool.findMany({ where: { id: { in: input.tools.map((t) => t.toolId) } }, select: { id: true, name: true, count: true } })
  for (const asked of input.tools) {
    const tool = tools.find((t) => t.id === asked.toolId)
    if (!tool) return bad('tools', 'One of these tools is not there any more')
    if (asked.count > tool.count) return bad(`tool.${tool.id}`, `The club has ${tool.count} of “${tool.name}”: ask for at most that, or enter more of them among the tools`)
  }
  if ((await tx.competence.count({ where: { id: { in: input.competences } } })) !== new Set(input.competences).size) return bad('competences', 'One of these competences is not there any more')
  if (taskId && input.productId === null) {
    const links = await tx.link.findMany({
      where: { OR: [{ fromId: taskId, kind: { in: ['stage', 'window'] } }, { toId: taskId, kind: 'window' }] },
      select: { from: { select: { name: true } }, to: { select: { name: true } } },
    })
    const first = links[0]
    if (first) return bad('productId', `The link from “${first.from.name}” to “${first.to.name}” waits for a cure: unlink the two before taking the product off`)
  }
  return ok(null)
}

const columns = (v: TaskInput) => ({
  name: v.name, note: v.note, caution: v.caution, kind: v.kind, workLowMin: v.low, workLikelyMin: v.likely, workHighMin: v.high,
  handsFrom: v.kind === 'unattended' ? 0 : v.handsFrom, handsTo: v.kind === 'unattended' ? 0 : v.handsTo, smallestMin: v.kind === 'unattended' ? null : v.smallest,
  setUpMin: v.kind === 'unattended' ? 0 : v.setUp, clearUpMin: v.kind === 'unattended' ? 0 : v.clearUp, portable: v.where === 'anywhere', dusty: v.dusty, craft: v.craft, productId: v.productId,
  minAir: v.minAir, maxAir: v.maxAir, maxHumidity: v.maxHumidity, dewPointMargin: v.dewPointMargin, releaseOn: v.releaseOn === null ? null : dateColumn(v.releaseOn),
})

async function phaseOf(tx: Tx, buildId: string, input: TaskInput): Promise<string | null> {
  if (input.newPhase !== '') {
    const last = await tx.phase.aggregate({ where: { buildId }, _max: { position: true } })
    return (await tx.phase.create({ data: { buildId, name: input.newPhase, position: (last._max.position ?? 0) + 1 } })).id
  }
  return (await tx.phase.findFirst({ where: { id: input.phaseId ?? '', buildId }, select: { id: true } }))?.id ?? null
}

/** A free position after a task, or after the last of the phase; those behind move on by one. */
export async function makeRoom(tx: Tx, buildId: string, phaseId: string, after: string | null): Promise<number> {
  const before = after === null ? await tx.task.findFirst({ where: { buildId, phaseId }, orderBy: { position: 'desc' } }) : await tx.task.findFirst({ where: { id: after, buildId } })
  const last = before ?? (await tx.task.findFirst({ where: { buildId }, orderBy: { position: 'desc' } }))
  const position = (last?.position ?? 0) + 1
  await tx.task.updateMany({ where: { buildId, position: { gte: position } }, data: { position: { increment: 1 } } })
  return position
}

/** Places, tools, competences, materials and steps as typed. A step whose words stay keeps its tick. */
async function saveParts(tx: Tx, taskId: string, input: TaskInput, materials: readonly MaterialRow[]): Promise<void> {
  await tx.taskPlace.deleteMany({ where: { taskId } })
  if (input.where === 'places') await tx.taskPlace.createMany({ data: [...new Set(input.places)].map((placeId) => ({ taskId, placeId })) })
  await tx.taskTool.deleteMany({ where: { taskId } })
  await tx.taskTool.createMany({ data: input.tools.map((t) => ({ taskId, ...t })) })
  await tx.taskCompetence.deleteMany({ where: { taskId } })
  await tx.taskCompetence.createMany({ data: [...new Set(input.competences)].map((competenceId) => ({ taskId, competenceId })) })
  await tx.taskMaterial.deleteMany({ where: { taskId } })
  await tx.taskMaterial.createMany({ data: materials.map((m) => ({ taskId, ...m })) })
  const steps = await tx.step.findMany({ where: { taskId }, orderBy: [{ position: 'asc' }, { id: 'asc' }] })
  const kept = new Set<string>()
  for (const [i, text] of input.stepTexts.entries()) {
    const same = steps.find((s) => s.text === text && !kept.has(s.id))
    if (same) {
      kept.add(same.id)
      await tx.step.update({ where: { id: same.id }, data: { position: i + 1 } })
    } else {
      kept.add((await tx.step.create({ data: { taskId, text, position: i + 1 } })).id)
    }
  }
  await tx.step.deleteMany({ where: { taskId, id: { notIn: [...kept] } } })
}
