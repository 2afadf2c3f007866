import { ok, type Result } from '../../../core/result.ts'
import { isTaken, type Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { hours } from '../facts/words.ts'
import { changed } from './changed.ts'
import { activeMembers, lockLink, lockTask } from './found.ts'

export type LogWork = {
  buildId: string
  taskId: string
  /** null: the stretch that ends now. */
  startedAt: Date | null
  /** Elapsed minutes, set-up and clear-up included. */
  elapsedMin: number
  /** Of these, minutes of progress; left out: all but the task's set-up and clear-up. */
  workedMin?: number
  people: readonly string[]
  sessionId: string | null
  note?: string
  /** The wash of this link's missed window, instead of the task itself. */
  linkId?: string | null
}

export const LONGEST_STRETCH_MIN = 16 * 60
/** Watches differ. */
const SLACK_MIN = 10

/** Adds hours worked; never changes what others logged. */
export async function logWork(tx: Tx, ctx: Ctx, input: LogWork): Promise<Result<{ workLogId: string; text: string }, Refusal>> {
  const locked = await lockTask(tx, input.buildId, input.taskId)
  if (!locked.ok) return locked
  const task = locked.value
  const people = await activeMembers(tx, input.people)
  if (!people.ok) return people
  if (people.value.length === 0) return refused(422, 'Nobody is named: say who worked.', { fields: { for: 'Say who worked' } })
  const { elapsedMin } = input
  if (elapsedMin < 1) return refused(422, 'Nothing was logged: less than a minute.', { fields: { hours: 'More than nothing' } })
  if (elapsedMin > LONGEST_STRETCH_MIN) {
    return refused(422, `${hours(elapsedMin)} is more than one stretch of work: log each day by itself.`, { fields: { hours: `At most ${hours(LONGEST_STRETCH_MIN)} at a time` } })
  }
  const startedAt = input.startedAt ?? new Date(ctx.now.getTime() - elapsedMin * 60_000)
  if (startedAt.getTime() + (elapsedMin - SLACK_MIN) * 60_000 > ctx.now.getTime()) {
    return refused(422, 'These hours would end in the future: check the day and the time.', { fields: { from: 'Ends in the future' } })
  }
  const workedMin = Math.min(elapsedMin, Math.max(0, input.workedMin ?? elapsedMin - (input.linkId ? 0 : task.setUpMin + task.clearUpMin)))
  if (input.linkId) {
    const link = await lockLink(tx, input.buildId, input.linkId)
    if (!link.ok) return link
    if (link.value.kind !== 'window' || link.value.toId !== task.id) return refused(422, 'That wash does not belong to this task.')
    await tx.link.update({
      where: { id: link.value.id },
      data: { missedAt: link.value.missedAt ?? startedAt, washStartedAt: link.value.washStartedAt ?? startedAt, washLoggedMin: { increment: workedMin * people.value.length } },
    })
  } else if ((task.startedAt === null || startedAt < task.startedAt) && (task.finishedAt === null || startedAt <= task.finishedAt)) {
    await tx.task.update({ where: { id: task.id }, data: { startedAt } })
  }
  const row = await tx.workLog.create({
    data: {
      buildId: input.buildId, taskId: task.id, sessionId: input.sessionId, linkId: input.linkId ?? null, startedAt, elapsedMin, workedMin,
      note: input.note ?? '', loggedBy: ctx.member.id, loggedAt: ctx.now,
      people: { create: people.value.map((p) => ({ memberId: p.id })) },
    },
    select: { id: true },
  })
  const what = input.linkId ? `washing before “${task.name}”` : `“${task.name}”`
  const text = `${hours(elapsedMin)} by ${people.value.map((p) => p.name).join(', ')} logged on ${what}.`
  await changed(tx, ctx, input.buildId, `${hours(elapsedMin)} logged on ${what} (${task.build.name})`)
  return ok({ workLogId: row.id, text })
}

/** A wrong entry is met by one that takes it back; both stay. */
export async function reverseWork(tx: Tx, ctx: Ctx, input: { buildId: string; workLogId: string; note?: string }): Promise<Result<{ taskId: string; text: string }, Refusal>> {
  const entry = await tx.workLog.findFirst({ where: { id: input.workLogId, buildId: input.buildId }, include: { people: true, task: { select: { id: true, name: true } } } })
  if (!entry) return refused(404, 'This entry is not there.')
  if (entry.reversesId !== null) return refused(422, 'This entry takes another one back already; log the hours anew instead.')
  const locked = await lockTask(tx, input.buildId, entry.taskId)
  if (!locked.ok) return locked
  try {
    await tx.workLog.create({
      data: {
        buildId: entry.buildId, taskId: entry.taskId, sessionId: entry.sessionId, linkId: entry.linkId, startedAt: entry.startedAt,
        elapsedMin: entry.elapsedMin, workedMin: entry.workedMin, note: input.note ?? '', loggedBy: ctx.member.id, loggedAt: ctx.now, reversesId: entry.id,
        people: { create: entry.people.map((p) => ({ memberId: p.memberId })) },
      },
    })
  } catch (error) {
    if (isTaken(error)) return refused(409, 'Somebody took this entry back meanwhile; it is out of the sums already.')
    throw error
  }
  if (entry.linkId !== null) {
    await tx.link.updateMany({ where: { id: entry.linkId, washLoggedMin: { gte: entry.workedMin * entry.people.length } }, data: { washLoggedMin: { decrement: entry.workedMin * entry.people.length } } })
  } else if (locked.value.finishedAt === null) {
    await tx.task.update({ where: { id: entry.taskId }, data: { startedAt: await firstWork(tx, entry.taskId) } })
  }
  await audit(tx, ctx, { what: 'hours taken back', entity: 'work_log', entityId: entry.id, buildId: entry.buildId, before: { elapsedMin: entry.elapsedMin, people: entry.people.map((p) => p.memberId) } })
  await changed(tx, ctx, input.buildId, `${hours(entry.elapsedMin)} on “${entry.task.name}” taken back`)
  return ok({ taskId: entry.taskId, text: `${hours(entry.elapsedMin)} on “${entry.task.name}” taken back.` })
}

/** When work on a task began, from what is still in the books: hours, else the first tick. */
export async function firstWork(tx: Tx, taskId: string): Promise<Date | null> {
  const [row] = await tx.$queryRaw<{ at: Date | null }[]>`
    select least(
      (select min(w.started_at) from work_log w where w.task_id = ${taskId}::uuid and w.link_id is null and w.reverses_id is null
         and not exists (select 1 from work_log r where r.reverses_id = w.id)),
      (select min(s.ticked_at) from step s where s.task_id = ${taskId}::uuid),
      (select c.started_at from coat c where c.task_id = ${taskId}::uuid)) as at`
  return row?.at ?? null
}
