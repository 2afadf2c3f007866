import { addDays, localToInstant, type OffsetTable } from '../../core/calendar/index.ts'
import { instant, type Instant } from '../../core/units/index.ts'

const MS = 60_000
export const DAY = 1440

/** The minute in force; seconds are dropped. */
export const toInstant = (at: Date): Instant => instant(Math.floor(at.getTime() / MS))
/** The first whole minute that is not over yet: nothing is planned into the past. */
export const nowInstant = (at: Date): Instant => instant(Math.ceil(at.getTime() / MS))
export const toDate = (t: number): Date => new Date(t * MS)
/** A date column as 'YYYY-MM-DD'. */
export const isoDate = (day: Date): string => day.toISOString().slice(0, 10)
export const dateColumn = (iso: string): Date => new Date(`${iso}T00:00:00Z`)

/** A session's local time; 24:00 is the next midnight. */
export const localAt = (zone: OffsetTable, date: string, time: string): Instant =>
  time === '24:00' ? localToInstant(zone, { date: addDays(date, 1), time: '00:00' }) : localToInstant(zone, { date, time })

/** A date column some days on. */
export const addDaysTo = (iso: string, days: number): Date => dateColumn(addDays(iso, days))
