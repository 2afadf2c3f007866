import { ok, type Result } from '../../../core/result.ts'
import type { z } from 'zod'
import type { Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import type { SplitForm } from '../schemas/task.ts'
import { drawnOn } from '../../stores/public.ts'
import { changed } from './changed.ts'
import { lockTask } from './found.ts'
import { taskUrl } from './task.ts'

/**
 * Makes two tasks of one: work and materials shared, both keep the tools, places, competences and the links of the one. One after the other, what came
 * before waits for the first and what comes after for the second; side by side (port and starboard), each has all links.
 */
export async function splitTask(tx: Tx, ctx: Ctx, buildId: string, taskId: string, input: z.output<typeof SplitForm>): Promise<Result<Done, Refusal>> {
  const locked = await lockTask(tx, buildId, taskId)
  if (!locked.ok) return locked
  const task = locked.value
  if (task.version !== input.version) return refused(409, 'Somebody saved this task meanwhile: look at it again, then split it.', { current: { name: task.name } })
  if (task.finishedAt !== null) return refused(422, `“${task.name}” is finished: reopen it before splitting it.`)
  if ((await tx.workLog.count({ where: { taskId } })) > 0 || task.coat !== null) {
    return refused(422, `Hours are logged on “${task.name}”, and nobody can say on which half: say what is left, and add a new task for the part that is apart.`)
  }
  const drawn = [...((await drawnOn(tx, [taskId])).get(taskId) ?? new Map<string, number>()).values()]
  if (drawn.some((milli) => milli > 0)) {
    return refused(422, `Something was drawn from the stores for “${task.name}”, and nobody can say for which half: put it back first, or add a new task for the part that is apart.`)
  }
  const share = input.share / 100
  const parts = (min: number): [number, number] => {
    const first = Math.min(min, Math.max(min > 1 ? 1 : 0, Math.round(min * share)))
    return [first, min - first]
  }
  const [low, likely, high] = [parts(task.workLowMin), parts(task.workLikelyMin), parts(task.workHighMin)]
  if (task.kind !== 'unattended' && likely[1] < 1) return refused(422, 'There is too little work in it to split.', { fields: { share: 'Too little left for the second' } })
  const work = (i: 0 | 1) => ({ workLowMin: Math.min(low[i], likely[i]), workLikelyMin: likely[i], workHighMin: Math.max(high[i], likely[i]) })
  await tx.task.updateMany({ where: { buildId, position: { gt: task.position } }, data: { position: { increment: 1 } } })
  const { id: _id, version: _version, build: _build, coat: _coat, places: _places, ...row } = task
  const second = await tx.task.create({ data: { ...row, ...work(1), name: input.secondName, position: task.position + 1, listKey: null, statedLeftMin: null, statedLeftAt: null, startedAt: null } })
  await tx.task.update({ where: { id: taskId }, data: { ...work(0), name: input.firstName, statedLeftMin: null, statedLeftAt: null, version: { increment: 1 } } })
  await copyParts(tx, taskId, second.id, share)
  await shareLinks(tx, buildId, taskId, second.id, input.order)
  if (task.build.launchTaskId === taskId) await tx.build.update({ where: { id: buildId }, data: { launchTaskId: second.id } })
  await tx.hold.updateMany({ where: { toTaskId: taskId }, data: { toTaskId: second.id } })
  await tx.pin.deleteMany({ where: { taskId } })
  // A snag is mended when the last part of its rework is done.
  if (input.order === 'after') await tx.snag.updateMany({ where: { reworkTaskId: taskId }, data: { reworkTaskId: second.id } })
  await audit(tx, ctx, { what: 'task split', entity: 'task', entityId: taskId, buildId, before: { name: task.name, likely: task.workLikelyMin }, after: { first: input.firstName, second: input.secondName, secondId: second.id, likely } })
  await changed(tx, ctx, buildId, `“${task.name}” split in two (${task.build.name})`)
  return ok({ location: taskUrl(buildId, taskId), flash: `“${task.name}” is now “${input.firstName}” and “${input.secondName}”; its links were kept. Steps stayed with the first: share them out if need be.` })
}

async function copyParts(tx: Tx, from: string, to: string, share: number): Promise<void> {
  const places = await tx.taskPlace.findMany({ where: { taskId: from } })
  await tx.taskPlace.createMany({ data: places.map((p) => ({ ...p, taskId: to })) })
  const tools = await tx.taskTool.findMany({ where: { taskId: from } })
  await tx.taskTool.createMany({ data: tools.map((t) => ({ ...t, taskId: to })) })
  const competences = await tx.taskCompetence.findMany({ where: { taskId: from } })
  await tx.taskCompetence.createMany({ data: competences.map((c) => ({ ...c, taskId: to })) })
  const materials = await tx.taskMaterial.findMany({ where: { taskId: from } })
  for (const { id, ...m } of materials) {
    const second = { low: m.low * (1 - share), likely: m.likely * (1 - share), high: m.high * (1 - share) }
    await tx.taskMaterial.create({ data: { ...m, ...second, taskId: to } })
    // What is left, so that the two add up to what there was.
    await tx.taskMaterial.update({ where: { id }, data: { low: m.low - second.low, likely: m.likely - second.likely, high: m.high - second.high } })
  }
}

async function shareLinks(tx: Tx, buildId: string, firstId: string, secondId: string, order: 'after' | 'beside'): Promise<void> {
  const links = await tx.link.findMany({ where: { buildId, OR: [{ fromId: firstId }, { toId: firstId }] } })
  for (const { id, ...link } of links) {
    const out = link.fromId === firstId
    if (order === 'beside') await tx.link.create({ data: { ...link, ...(out ? { fromId: secondId } : { toId: secondId }) } })
    else if (out) await tx.link.update({ where: { id }, data: { fromId: secondId, version: { increment: 1 } } })
  }
  if (order === 'after') await tx.link.create({ data: { buildId, fromId: firstId, toId: secondId, kind: 'finish' } })
}
