import { addDays, localToInstant, type OffsetTable } from '../../core/calendar/index.ts'
import { instant, type Instant } from '../../core/units/index.ts'
import { dateColumn, isoDate, toDate, toInstant } from '../../platform/times.ts'

export { dateColumn, isoDate, toDate, toInstant }

const MS = 60_000
export const DAY = 1440

/** The first whole minute that is not over yet: nothing is planned into the past. */
export const nowInstant = (at: Date): Instant => instant(Math.ceil(at.getTime() / MS))

/** A session's local time; 24:00 is the next midnight. */
export const localAt = (zone: OffsetTable, date: string, time: string): Instant => localToInstant(zone, { date, time })

/** A date column some days on. */
export const addDaysTo = (iso: string, days: number): Date => dateColumn(addDays(iso, days))
