import { instant, type Instant } from '../../../core/units/index.ts'

const MS = 60_000

/** Minutes since 1970-01-01T00:00Z, seconds dropped. */
export const toInstant = (at: Date): Instant => instant(Math.floor(at.getTime() / MS))
export const toDate = (at: number): Date => new Date(at * MS)
/** A date column as 'YYYY-MM-DD'. */
export const isoDate = (day: Date): string => day.toISOString().slice(0, 10)
/** 'YYYY-MM-DD' as a date column takes it. */
export const dateColumn = (iso: string): Date => new Date(`${iso}T00:00:00Z`)
