import { addDays, instantToLocal, localToInstant, weekdayOf, type OffsetTable } from '../../../core/calendar/index.ts'
import { instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { dateColumn, toInstant } from '../../../platform/times.ts'
import { loadZone } from '../../sessions/public.ts'
import type { EarnTask } from './earn.ts'

/** More weeks than this, before and ahead, no chart shows. */
const LONGEST = 104
const DAY = 1440

const mondayOf = (date: string): string => addDays(date, 1 - weekdayOf(date))
const midnight = (zone: OffsetTable, date: string): number => localToInstant(zone, { date, time: '00:00' })

/** Mondays from her first week to the one after the last planned work, or after this week. */
export async function weeksOf(db: Reader, startedOn: string, tasks: readonly EarnTask[], at: number): Promise<{ zone: OffsetTable; mondays: string[]; edges: number[] }> {
  const far = LONGEST * 7 * DAY
  const events = tasks.flatMap((t) => [t.startsAt, t.endsAt, t.finishedAt]).filter((t) => t !== null)
  const [from, until] = [Math.max(at - far, Math.min(at, ...events)), Math.min(at + far, Math.max(at, ...events))]
  const started = toInstant(dateColumn(startedOn))
  const zone = await loadZone(db, instant(Math.min(from, Math.max(started, at - far)) - 14 * DAY), instant(until + 14 * DAY))
  const day = (t: number) => instantToLocal(zone, instant(t)).date
  const first = started < from && started > at - far ? startedOn : day(from)
  const mondays: string[] = []
  for (let m = mondayOf(first); mondays.length === 0 || midnight(zone, mondays.at(-1)!) <= until; m = addDays(m, 7)) mondays.push(m)
  return { zone, mondays, edges: mondays.map((m) => midnight(zone, m)) }
}
