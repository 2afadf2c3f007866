/** Between the database's times (Date, `date` columns) and core's (whole minutes, 'YYYY-MM-DD'), said once for all features. */
import { instantToLocal, localToInstant } from '../core/calendar/index.ts'
import { instant, MINUTES_PER_DAY, type Instant } from '../core/units/index.ts'
import { offsetTable } from './zone.ts'

const MS = 60_000

/** Minutes since 1970-01-01T00:00Z, seconds dropped. */
export const toInstant = (at: Date): Instant => instant(Math.floor(at.getTime() / MS))
export const toDate = (at: number): Date => new Date(at * MS)
/** A `date` column as 'YYYY-MM-DD'. Not for a moment in time: which day that is depends on the zone (`localDate`). */
export const isoDate = (day: Date): string => day.toISOString().slice(0, 10)
/** 'YYYY-MM-DD' as a `date` column takes it. */
export const dateColumn = (iso: string): Date => new Date(`${iso}T00:00:00Z`)

/** A moment by the clock of a zone: 'YYYY-MM-DD' and 'HH:MM'. */
export function localParts(zone: string, at: Date): { date: string; time: string } {
  const t = toInstant(at)
  const { date, time } = instantToLocal(offsetTable(zone, t, instant(t + 1)), t)
  return { date, time }
}
/** The day that it is in a zone. */
export const localDate = (zone: string, at: Date): string => localParts(zone, at).date

/** The moment of a local date and time ('24:00' is the next midnight). */
export function localMoment(zone: string, date: string, time: string): Date {
  const around = toInstant(dateColumn(date))
  return toDate(localToInstant(offsetTable(zone, instant(around - 2 * MINUTES_PER_DAY), instant(around + 3 * MINUTES_PER_DAY)), { date, time }))
}
