import { addDays, localToInstant, type OffsetTable } from '../../core/calendar/index.ts'
import { instant, MINUTES_PER_DAY, type Instant } from '../../core/units/index.ts'
import { dateColumn, isoDate, localDate as today, localMoment, localParts, toDate, toInstant } from '../../platform/times.ts'
import { offsetTable } from '../../platform/zone.ts'

/** Local time at a place is never further from UTC than this. */
const SLACK = 2 * MINUTES_PER_DAY

/** The zone from the day before `date` to some days after it: for one session's hours. */
export function zoneOnDate(zone: string, date: string, days = 1): OffsetTable {
  const from = toInstant(dateColumn(date))
  return offsetTable(zone, instant(from - SLACK), instant(from + days * MINUTES_PER_DAY + SLACK))
}

/** Hours of a date as instants; 24:00 is the next midnight. */
export const hoursOf = (zone: OffsetTable, s: { date: Date; starts: string; ends: string }): { start: Instant; end: Instant } => ({
  start: localToInstant(zone, { date: isoDate(s.date), time: s.starts }),
  end: localToInstant(zone, { date: isoDate(s.date), time: s.ends }),
})

export const weeksBetween = (from: number, to: number): number => Math.max(0, Math.ceil((to - from) / (7 * MINUTES_PER_DAY)))

export { addDays, dateColumn, isoDate, localMoment, localParts, toDate, today, toInstant }
