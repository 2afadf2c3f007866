import { addDays, instantToLocal, weekdayOf, type Interval, type OffsetTable } from '../../core/calendar/index.ts'
import type { TaskSpec, Wash, Work } from '../../core/schedule/problem.ts'
import { instant } from '../../core/units/index.ts'

/** Monday ('YYYY-MM-DD') of the local ISO week of an instant. */
export function mondayOf(zone: OffsetTable, t: number): string {
  const { date } = instantToLocal(zone, instant(t))
  return addDays(date, 1 - weekdayOf(date))
}

/** Person-minutes by week; a piece counts in the week it starts in, for each of its people. */
export function personMinutes(zone: OffsetTable, pieces: readonly { start: number; end: number; people: readonly unknown[] }[]): Map<string, number> {
  const sums = new Map<string, number>()
  for (const p of pieces) add(sums, mondayOf(zone, p.start), (p.end - p.start) * p.people.length)
  return sums
}

/** Minutes that the team could come, by week. */
export function availableMinutes(zone: OffsetTable, presence: ReadonlyMap<string, readonly Interval[]>, team: readonly string[]): Map<string, number> {
  const sums = new Map<string, number>()
  for (const id of team) for (const row of presence.get(id) ?? []) add(sums, mondayOf(zone, row.start), row.end - row.start)
  return sums
}

const add = (sums: Map<string, number>, key: string, by: number) => sums.set(key, (sums.get(key) ?? 0) + by)

/** Hands-on minutes still to do: hands × minutes where many are needed at once; waiting is no work. */
export function workLeft(tasks: readonly Pick<TaskSpec, 'work' | 'finished'>[], washes: readonly Wash[] = []): number {
  const open = tasks.filter((t) => t.finished === null).map((t) => t.work)
  const missed = washes.filter((x) => x.state === 'missed').map((x) => x.work)
  return [...open, ...missed].reduce((sum, work) => sum + handsOn(work), 0)
}

export function handsOn(work: Work): number {
  if (work.kind === 'shared') return work.work
  return work.kind === 'together' ? work.minutes * work.hands : 0
}
