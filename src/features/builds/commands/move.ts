import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { audit, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { lockTask } from './found.ts'

/** One place up or down in the order of the page; at the edge of its phase it moves into the next. What waits for what stays as it is. */
export async function moveTask(tx: Tx, ctx: Ctx, buildId: string, taskId: string, to: 'up' | 'down'): Promise<Result<Done, Refusal>> {
  const locked = await lockTask(tx, buildId, taskId)
  if (!locked.ok) return locked
  const task = locked.value
  const phases = await tx.phase.findMany({ where: { buildId }, select: { id: true, name: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] })
  const rows = await tx.task.findMany({ where: { buildId }, select: { id: true, phaseId: true, position: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] })
  const order = phases.map((p) => rows.filter((r) => r.phaseId === p.id).map((r) => r.id))
  const at = phases.findIndex((p) => p.id === task.phaseId)
  const inPhase = order[at]!
  const i = inPhase.indexOf(taskId)
  const step = to === 'up' ? -1 : 1
  let flash = `“${task.name}” moved ${to}.`
  if (i + step >= 0 && i + step < inPhase.length) {
    inPhase.splice(i, 1)
    inPhase.splice(i + step, 0, taskId)
  } else if (phases[at + step]) {
    inPhase.splice(i, 1)
    if (to === 'up') order[at + step]!.push(taskId)
    else order[at + step]!.unshift(taskId)
    await tx.task.update({ where: { id: taskId }, data: { phaseId: phases[at + step]!.id } })
    flash = `“${task.name}” is now in “${phases[at + step]!.name}”.`
  } else {
    flash = `“${task.name}” is the ${to === 'up' ? 'first' : 'last'} already.`
  }
  for (const [n, id] of order.flat().entries()) await tx.task.updateMany({ where: { id, position: { not: n + 1 } }, data: { position: n + 1 } })
  await audit(tx, ctx, { what: `task moved ${to}`, entity: 'task', entityId: taskId, buildId })
  return ok({ location: `/builds/${buildId}#task-${taskId}`, flash })
}
