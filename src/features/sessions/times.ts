import { addDays, localToInstant, type OffsetTable } from '../../core/calendar/index.ts'
import { instant, MINUTES_PER_DAY, type Instant } from '../../core/units/index.ts'
import { offsetTable } from '../../platform/zone.ts'

const MS = 60_000
/** Local time at a place is never further from UTC than this. */
const SLACK = 2 * MINUTES_PER_DAY

/** Minutes since 1970-01-01T00:00Z, seconds dropped. */
export const toInstant = (at: Date): Instant => instant(Math.floor(at.getTime() / MS))
export const toDate = (t: number): Date => new Date(t * MS)
/** A date column as 'YYYY-MM-DD'. */
export const isoDate = (day: Date): string => day.toISOString().slice(0, 10)
/** 'YYYY-MM-DD' as a date column takes it. */
export const dateColumn = (iso: string): Date => new Date(`${iso}T00:00:00Z`)

/** The zone from the day before `date` to some days after it: for one session's hours. */
export function zoneOnDate(zone: string, date: string, days = 1): OffsetTable {
  const from = Math.floor(dateColumn(date).getTime() / MS)
  return offsetTable(zone, instant(from - SLACK), instant(from + days * MINUTES_PER_DAY + SLACK))
}

/** Hours of a date as instants; 24:00 is the next midnight. */
export const hoursOf = (zone: OffsetTable, s: { date: Date; starts: string; ends: string }): { start: Instant; end: Instant } => ({
  start: localToInstant(zone, { date: isoDate(s.date), time: s.starts }),
  end: localToInstant(zone, { date: isoDate(s.date), time: s.ends }),
})

/** Today's date in a zone. */
export const today = (zone: string, now: Date): string => localParts(zone, now).date

/** Local date and time of a moment. */
export function localParts(zone: string, at: Date): { date: string; time: string } {
  const t = toInstant(at)
  const [row] = offsetTable(zone, t, instant(t + 1))
  const local = new Date((t + row!.offset) * MS).toISOString()
  return { date: local.slice(0, 10), time: local.slice(11, 16) }
}

/** Moment of a local date and time. */
export const localMoment = (zone: string, date: string, time: string): Date => toDate(localToInstant(zoneOnDate(zone, date), { date, time }))

export const weeksBetween = (from: number, to: number): number => Math.max(0, Math.ceil((to - from) / (7 * MINUTES_PER_DAY)))

export { addDays }
