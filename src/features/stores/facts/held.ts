import { addDays } from '../../../core/calendar/index.ts'

/** The club's row in `holder`. */
export const CLUB_HOLDER = '00000000-0000-4000-8000-000000000001'

/** The last day that a can is good for: its own date, or so many days after it was opened, whichever comes first. */
export function lastDayOf(expires: string | null, opened: string | null, openedLifeDays: number | null): string | null {
  const fromOpening = opened === null || openedLifeDays === null ? null : addDays(opened, openedLifeDays)
  if (expires === null || fromOpening === null) return expires ?? fromOpening
  return fromOpening < expires ? fromOpening : expires
}
