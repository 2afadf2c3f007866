import { civil, dayOf, weekdayOf } from '../../core/calendar/index.ts'
import { isoDate } from './times.ts'

const DAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun']
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'June', 'July', 'Aug', 'Sept', 'Oct', 'Nov', 'Dec']
export const WEEKDAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'] as const

/** "Sat 6 June", for messages and causes. */
export function dateWords(date: string): string {
  const { month, day } = civil(dayOf(date))
  return `${DAYS[weekdayOf(date) - 1]} ${day} ${MONTHS[month - 1]}`
}

/** "Sat 6 June 10:00": how a session is named. */
export const dayWords = (s: { date: Date; starts: string }): string => `${dateWords(isoDate(s.date))} ${s.starts}`
