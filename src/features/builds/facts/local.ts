/** Local dates and times of the club as instants. */
import { instantToLocal, localToInstant } from '../../../core/calendar/index.ts'
import { instant } from '../../../core/units/index.ts'
import { offsetTable } from '../../../platform/zone.ts'
import { toDate, toInstant } from './times.ts'

const table = (zone: string, around: number) => offsetTable(zone, instant(around - 2880), instant(around + 2880))

/** 'YYYY-MM-DD' and 'HH:MM' by the club's clock. */
export function localNow(zone: string, now: Date): { date: string; time: string } {
  const at = toInstant(now)
  const { date, time } = instantToLocal(table(zone, at), at)
  return { date, time }
}

export const localToDate = (zone: string, date: string, time: string): Date =>
  toDate(localToInstant(table(zone, toInstant(new Date(`${date}T12:00:00Z`))), { date, time }))
