import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { isUuid } from '../../../platform/request.ts'
import { shortestApplication } from '../facts/work-left.ts'
import { hours } from '../facts/words.ts'
import { followRework } from '../snags/commands/snags.ts'
import { changed, tellPages } from './changed.ts'
import { logCoat } from './coat.ts'
import { setFinished } from './finished.ts'
import { lockTask } from './found.ts'
import { firstWork } from './log-work.ts'

type OnTask = { buildId: string; taskId: string }
type Said = Result<{ text: string }, Refusal>

/** Ticks or unticks a step. Ticked twice, the first tick stays: who and when are its. */
export async function tickStep(tx: Tx, ctx: Ctx, input: OnTask & { stepId: string; ticked: boolean }): Promise<Said> {
  const locked = await lockTask(tx, input.buildId, input.taskId)
  if (!locked.ok) return locked
  const task = locked.value
  const step = isUuid(input.stepId) ? await tx.step.findFirst({ where: { id: input.stepId, taskId: task.id } }) : null
  if (!step) return refused(404, 'This step is not there any more. Open the task again.')
  let startedAt = task.startedAt
  if (input.ticked) {
    await tx.step.updateMany({ where: { id: step.id, tickedAt: null }, data: { tickedAt: ctx.now, tickedBy: ctx.member.id } })
    startedAt ??= ctx.now
  } else {
    await audit(tx, ctx, { what: 'step unticked', entity: 'step', entityId: step.id, buildId: input.buildId, before: { tickedAt: step.tickedAt, tickedBy: step.tickedBy } })
    await tx.step.update({ where: { id: step.id }, data: { tickedAt: null, tickedBy: null } })
    startedAt = await firstWork(tx, task.id)
  }
  // A tick earns progress and moves no work; only a first one, or the last taken off, says more.
  if (task.finishedAt === null && startedAt?.getTime() !== task.startedAt?.getTime()) {
    await tx.task.update({ where: { id: task.id }, data: { startedAt } })
    await changed(tx, ctx, input.buildId, `“${task.name}” ${startedAt === null ? 'is not begun after all' : 'begun'} (${task.build.name})`)
  } else {
    await tellPages(tx, input.buildId)
  }
  return ok({ text: input.ticked ? `“${step.text}” ticked.` : `“${step.text}” is open again.` })
}

/** Marks a task finished; a coat whose time nobody logged counts as put on just before. */
export async function finishTask(tx: Tx, ctx: Ctx, input: OnTask & { at?: Date }): Promise<Said> {
  const locked = await lockTask(tx, input.buildId, input.taskId)
  if (!locked.ok) return locked
  const task = locked.value
  if (task.finishedAt !== null) return ok({ text: `“${task.name}” was finished already.` })
  const at = input.at ?? ctx.now
  if (at > ctx.now) return refused(422, 'It can’t be finished in the future: leave the time empty for now.', { fields: { at: 'In the future' } })
  if (task.productId !== null && task.coat === null) {
    const startedAt = new Date(at.getTime() - shortestApplication(task) * 60_000)
    const coat = await logCoat(tx, ctx, { buildId: input.buildId, taskId: task.id, startedAt, endedAt: at, note: 'Time taken from when it was marked finished' })
    return coat.ok ? ok({ text: `${coat.value.text} Its time was taken as until now: correct it below if it went on earlier.` }) : coat
  }
  const mended = await setFinished(tx, ctx, task, at)
  const open = await tx.step.count({ where: { taskId: task.id, tickedAt: null } })
  const steps = open === 0 ? '' : ` ${open} of its steps ${open === 1 ? 'is' : 'are'} not ticked.`
  const launched = task.build.launchTaskId === task.id ? ` ${task.build.name} is launched: fair winds! Her record takes the day she is put into service.` : ''
  return ok({ text: `“${task.name}” is finished.${steps}${mended}${launched}` })
}

/** Takes "finished" back, and with it the coat: its time is kept in the audit trail. */
export async function reopenTask(tx: Tx, ctx: Ctx, input: OnTask): Promise<Said> {
  const locked = await lockTask(tx, input.buildId, input.taskId)
  if (!locked.ok) return locked
  const task = locked.value
  if (task.finishedAt === null) return ok({ text: `“${task.name}” is open already.` })
  if (task.coat !== null) await tx.coat.delete({ where: { id: task.coat.id } })
  await tx.task.update({ where: { id: task.id }, data: { finishedAt: null, finishedBy: null } })
  await tx.task.update({ where: { id: task.id }, data: { startedAt: await firstWork(tx, task.id) } })
  // A window that was told missed by this coat's time is open to be met again.
  if (task.coat !== null) await tx.link.updateMany({ where: { toId: task.id, washStartedAt: null, washDoneAt: null }, data: { missedAt: null } })
  if (task.build.launchTaskId === task.id) await tx.build.update({ where: { id: task.buildId }, data: { state: 'active', version: { increment: 1 } } })
  await followRework(tx, ctx, task, null)
  await audit(tx, ctx, { what: 'reopened', entity: 'task', entityId: task.id, buildId: task.buildId, before: { finishedAt: task.finishedAt, coat: task.coat } })
  await changed(tx, ctx, input.buildId, `“${task.name}” reopened (${task.build.name})`)
  return ok({ text: `“${task.name}” is open again.${task.coat === null ? '' : ' Its coat was taken out.'}` })
}

/** Work left as a person sees it; it counts from now on, less what is logged later. */
export async function stateLeft(tx: Tx, ctx: Ctx, input: OnTask & { leftMin: number }): Promise<Said> {
  const locked = await lockTask(tx, input.buildId, input.taskId)
  if (!locked.ok) return locked
  const task = locked.value
  if (task.finishedAt !== null) return refused(422, `“${task.name}” is finished: reopen it before saying what is left.`)
  if (!Number.isSafeInteger(input.leftMin) || input.leftMin > 1_000_000) return refused(422, 'That is more work than any boat has.', { fields: { left: 'Too much' } })
  if (input.leftMin < 1) return refused(422, 'Nothing left? Then mark it finished instead.', { fields: { left: 'More than nothing, or mark it finished' } })
  await tx.task.update({ where: { id: task.id }, data: { statedLeftMin: input.leftMin, statedLeftAt: ctx.now } })
  await audit(tx, ctx, {
    what: 'work left stated', entity: 'task', entityId: task.id, buildId: input.buildId, before: { statedLeftMin: task.statedLeftMin }, after: { statedLeftMin: input.leftMin },
  })
  await changed(tx, ctx, input.buildId, `${hours(input.leftMin)} left on “${task.name}” (${task.build.name})`)
  return ok({ text: `${hours(input.leftMin)} left on “${task.name}”.` })
}
