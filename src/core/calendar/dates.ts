/**
 * Calendar dates as 'YYYY-MM-DD' (proleptic Gregorian, years 0001 to 9999) and ISO 8601 weeks, by arithmetic on day numbers.
 * Day 0 is 1970-01-01. Civil date <-> day number: H. Hinnant, "chrono-Compatible Low-Level Date Algorithms" (2014).
 */

/** Day number of a civil date; month 1-12. Days beyond the month run on into the next. */
export function dayNumber(year: number, month: number, day: number): number {
  const y = month <= 2 ? year - 1 : year
  const era = Math.floor(y / 400)
  const yearOfEra = y - era * 400
  const dayOfYear = Math.floor((153 * (month > 2 ? month - 3 : month + 9) + 2) / 5) + day - 1
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear
  return era * 146097 + dayOfEra - 719468
}

/** Civil date of a day number. */
export function civil(day: number): { readonly year: number; readonly month: number; readonly day: number } {
  const z = day + 719468
  const era = Math.floor(z / 146097)
  const dayOfEra = z - era * 146097
  const yearOfEra = Math.floor(
    (dayOfEra - Math.floor(dayOfEra / 1460) + Math.floor(dayOfEra / 36524) - Math.floor(dayOfEra / 146096)) / 365)
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100))
  const shifted = Math.floor((5 * dayOfYear + 2) / 153)
  const month = shifted < 10 ? shifted + 3 : shifted - 9
  return {
    year: yearOfEra + era * 400 + (month <= 2 ? 1 : 0),
    month,
    day: dayOfYear - Math.floor((153 * shifted + 2) / 5) + 1,
  }
}

const DATE = /^(\d{4})-(\d{2})-(\d{2})$/
const WEEK = /^(\d{4})-W(\d{2})$/

/** Whether the text is a date that exists, written 'YYYY-MM-DD'. */
export function isDate(text: string): boolean {
  const parts = DATE.exec(text)
  if (parts === null) return false
  const [year, month, day] = [Number(parts[1]), Number(parts[2]), Number(parts[3])]
  if (year < 1 || month < 1 || month > 12 || day < 1) return false
  const back = civil(dayNumber(year, month, day))
  return back.month === month && back.day === day
}

/** Day number of 'YYYY-MM-DD'. @throws RangeError unless it is a date that exists. */
export function dayOf(date: string): number {
  if (!isDate(date)) throw new RangeError(`not a date (YYYY-MM-DD): ${date}`)
  return dayNumber(Number(date.slice(0, 4)), Number(date.slice(5, 7)), Number(date.slice(8, 10)))
}

/** 'YYYY-MM-DD' of a day number. @throws RangeError outside the years 0001 to 9999. */
export function dateOf(day: number): string {
  const { year, month, day: dayOfMonth } = civil(day)
  if (!Number.isInteger(day) || year < 1 || year > 9999) throw new RangeError(`no date for day number ${day}`)
  return `${pad(year, 4)}-${pad(month, 2)}-${pad(dayOfMonth, 2)}`
}

export const addDays = (date: string, days: number): string => dateOf(dayOf(date) + days)

/** Days from one date to another; negative when `to` is earlier. */
export const daysBetween = (from: string, to: string): number => dayOf(to) - dayOf(from)

/** ISO weekday of a day number, 1 = Monday to 7 = Sunday. Day 0 was a Thursday. */
export const weekdayOfDay = (day: number): number => mod(day + 3, 7) + 1

/** ISO weekday, 1 = Monday to 7 = Sunday. */
export const weekdayOf = (date: string): number => weekdayOfDay(dayOf(date))

/** ISO 8601 week: it starts on Monday and belongs to the year that holds its Thursday. */
export function isoWeek(date: string): { readonly year: number; readonly week: number; readonly weekday: number } {
  const day = dayOf(date)
  const weekday = weekdayOfDay(day)
  const thursday = day - weekday + 4
  const { year } = civil(thursday)
  return { year, week: Math.floor((thursday - dayNumber(year, 1, 1)) / 7) + 1, weekday }
}

/** ISO week of a date as '2026-W53'. */
export function weekLabel(date: string): string {
  const { year, week } = isoWeek(date)
  return `${pad(year, 4)}-W${pad(week, 2)}`
}

/** Monday of an ISO week '2026-W53'. @throws RangeError unless that week exists. */
export function weekStart(label: string): string {
  const parts = WEEK.exec(label)
  if (parts === null) throw new RangeError(`not a week (YYYY-Www): ${label}`)
  const fourth = dayNumber(Number(parts[1]), 1, 4)
  const monday = dateOf(fourth - (weekdayOfDay(fourth) - 1) + (Number(parts[2]) - 1) * 7)
  if (weekLabel(monday) !== label) throw new RangeError(`no such week: ${label}`)
  return monday
}

/** Whether the text is an ISO week that exists, written 'YYYY-Www'. */
export function isWeek(text: string): boolean {
  if (!WEEK.test(text)) return false
  try {
    weekStart(text)
    return true
  } catch {
    return false
  }
}

const HM = /^([01]\d|2[0-3]):([0-5]\d)$/

/** Minutes after midnight of 'HH:MM' (00:00 to 23:59), or null when it is not a time of day ('24:00' ends a day: see localToInstant). */
export function parseHm(text: string): number | null {
  const parts = HM.exec(text)
  return parts === null ? null : Number(parts[1]) * 60 + Number(parts[2])
}

/** 'HH:MM' of minutes after midnight. @throws RangeError outside 0 to 1439 or when not whole. */
export function formatHm(minuteOfDay: number): string {
  if (!Number.isInteger(minuteOfDay) || minuteOfDay < 0 || minuteOfDay > 1439) throw new RangeError(`not a minute of a day: ${minuteOfDay}`)
  return `${pad(Math.floor(minuteOfDay / 60), 2)}:${pad(minuteOfDay % 60, 2)}`
}

const pad = (n: number, width: number): string => String(n).padStart(width, '0')
const mod = (n: number, by: number): number => ((n % by) + by) % by
