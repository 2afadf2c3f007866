/**
 * What is earned, and what was meant to be by when (design: earned minutes = baseline minutes × share). Planned work counts by the very rule
 * by which it is earned, so that a task without steps is not behind until its end has passed. Instants in epoch minutes. Pure.
 */
import { earnedSchedule } from '../../../core/forecast/index.ts'

export type EarnStep = { readonly weight: number; readonly tickedAt: number | null }
export type EarnTask = {
  readonly taskId: string
  readonly name: string
  readonly phase: string
  /** As agreed, or as estimated where nothing is. */
  readonly minutes: number
  /** Null: not in the plan that was agreed. */
  readonly startsAt: number | null
  readonly endsAt: number | null
  readonly cents: number
  /** Earned at the agreement already. */
  readonly shareDone: number
  readonly bySteps: boolean
  readonly finishedAt: number | null
  readonly steps: readonly EarnStep[]
  /** It was taken off her since. */
  readonly isGone: boolean
}

/** Steps alone never finish a task. */
export const MOST_BY_STEPS = 0.9
const WEEK = 7 * 1440

/** Share of a task that is earned at a moment: 1 when finished, else the weights of ticked steps, at most 0.9. */
export function shareAt(task: Pick<EarnTask, 'finishedAt' | 'steps' | 'isGone' | 'shareDone'>, t: number): number {
  // What was finished at the agreement stays earned; what was not is not going to be.
  if (task.isGone) return task.shareDone === 1 ? 1 : 0
  if (task.finishedAt !== null && task.finishedAt <= t) return 1
  const weight = (steps: readonly EarnStep[]) => steps.reduce((sum, s) => sum + s.weight, 0)
  const all = weight(task.steps)
  return all <= 0 ? 0 : Math.min(MOST_BY_STEPS, weight(task.steps.filter((s) => s.tickedAt !== null && s.tickedAt <= t)) / all)
}

export const earnedAt = (tasks: readonly EarnTask[], t: number): number => tasks.reduce((sum, task) => sum + task.minutes * shareAt(task, t), 0)

/** Share of a task that was meant to be earned by a moment after the agreement. `lastEnd`: when what had no place in the plan counts as due. */
function plannedShare(task: EarnTask, agreedAt: number, lastEnd: number, t: number): number {
  const end = task.endsAt ?? lastEnd
  if (task.shareDone === 1 || t >= end) return 1
  if (!task.bySteps) return task.shareDone
  const start = Math.max(task.startsAt ?? end, agreedAt)
  const gone = t <= start ? 0 : (t - start) / (end - start)
  return task.shareDone + Math.max(0, MOST_BY_STEPS - task.shareDone) * gone
}

/** What was meant to be earned by then: up to the agreement what was done, for that is what was agreed. */
export function plannedAt(tasks: readonly EarnTask[], agreedAt: number, t: number): number {
  if (t < agreedAt) return Math.min(earnedAt(tasks, t), agreedDone(tasks))
  const lastEnd = Math.max(agreedAt, ...tasks.map((task) => task.endsAt ?? agreedAt))
  return tasks.reduce((sum, task) => sum + task.minutes * plannedShare(task, agreedAt, lastEnd, t), 0)
}

const agreedDone = (tasks: readonly EarnTask[]): number => tasks.reduce((sum, task) => sum + task.minutes * task.shareDone, 0)

/**
 * Weeks behind the agreed plan, below 0 ahead, by earned schedule. Sessions are few: on a Wednesday the plan has not gone further than on the
 * Sunday before, so she is held against the work that it had meant by now and not against the middle of the week.
 * @param edges Mondays from the first week's to the one after the last planned work
 */
export function weeksBehind(tasks: readonly EarnTask[], agreedAt: number, edges: readonly number[], now: number): number {
  const [planned, earned] = [plannedAt(tasks, agreedAt, now), earnedAt(tasks, now)]
  const first = edges[0] ?? now
  const pv = rising(edges.map((t) => plannedAt(tasks, agreedAt, t)))
  const whole = pv.at(-1) ?? 0
  if (Math.abs(planned - earned) < 0.5 || whole <= 0) return 0
  const at = Math.max(0, (now - first) / WEEK)
  const meant = planned >= whole ? at : Math.min(at, earnedSchedule(pv, planned, at).es)
  return meant - earnedSchedule(pv, earned, at).es
}

/** A step that was taken back later leaves no dent. */
function rising(values: readonly number[]): number[] {
  let top = 0
  return values.map((v) => (top = Math.max(top, v)))
}

/** Material of what is done, by the same shares; what belongs to no task goes by the share of all work. */
export function earnedCents(tasks: readonly EarnTask[], budget: number, share: number, t: number): number {
  const own = tasks.reduce((sum, task) => sum + task.cents, 0)
  return Math.round(tasks.reduce((sum, task) => sum + task.cents * shareAt(task, t), 0) + Math.max(0, budget - own) * share)
}

/** If the rest costs what was agreed: of finished tasks what they took, of others the agreed or what they took by now, whichever is more. */
export function centsAtEnd(tasks: readonly EarnTask[], spentBy: ReadonlyMap<string, number>, money: { budget: number; spent: number; share: number }, t: number): number {
  const ids = new Set(tasks.map((task) => task.taskId))
  const own = tasks.reduce((sum, task) => sum + task.cents, 0)
  const ofTasks = tasks.reduce((sum, task) => {
    const spent = spentBy.get(task.taskId) ?? 0
    return sum + (task.isGone || shareAt(task, t) === 1 ? spent : Math.max(task.cents, spent))
  }, 0)
  const apart = money.spent - [...spentBy].reduce((sum, [id, cents]) => sum + (ids.has(id) ? cents : 0), 0)
  return Math.round(ofTasks + apart + Math.max(0, money.budget - own) * (1 - money.share))
}
