import { isoWeek } from '../../src/core/calendar/index.ts'

/** Times in the words of the club's own zone; t is an instant in minutes since 1970-01-01T00:00Z. */
export type TimeWords = {
  /** "14:00" */
  time(t: number): string
  /** "Sat" close by, else "Sat 28 Nov", further off with the year. */
  day(t: number): string
  /** "Sat 14:00" close by, else "Sat 28 Nov 14:00". */
  dayTime(t: number): string
  /** "28 Nov" */
  date(t: number): string
  /** "week 48 (from 23 Nov)" */
  week(t: number): string
  /** "14:00" when it is the same local day as `from`, else with its day. */
  timeOr(t: number, from: number): string
  /** 'YYYY-MM-DD' local. */
  localDate(t: number): string
  /** Minutes after local midnight. */
  minuteOfDay(t: number): number
  isNight(t: number): boolean
  readonly now: number
}

const MS = 60_000

// Made once each: a formatter of dates costs more than a row of a table.
const made = new Map<string, Intl.DateTimeFormat>()
/** A formatter of dates for a locale, kept for the next time. */
export function dateFormat(locale: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = `${locale} ${JSON.stringify(options)}`
  const known = made.get(key) ?? new Intl.DateTimeFormat(locale, options)
  made.set(key, known)
  return known
}
const DAY = 1440

export function timeWords(club: { readonly zone: string; readonly locale: string } | null, now: Date): TimeWords {
  const zone = club?.zone ?? 'UTC'
  const format = (options: Intl.DateTimeFormatOptions, locale = club?.locale ?? 'en-GB') => {
    const one = dateFormat(locale, { timeZone: zone, ...options })
    return (t: number) => one.format(t * MS)
  }
  const parts = dateFormat('en-GB', { timeZone: zone, year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', hourCycle: 'h23' })
  const part = (t: number) => Object.fromEntries(parts.formatToParts(t * MS).map((p) => [p.type, p.value]))
  const time = format({ hour: '2-digit', minute: '2-digit', hourCycle: 'h23' })
  const weekday = format({ weekday: 'short' })
  const date = format({ day: 'numeric', month: 'short' })
  const dateYear = format({ day: 'numeric', month: 'short', year: 'numeric' })
  const localDate = (t: number) => {
    const p = part(t)
    return `${p['year']}-${p['month']}-${p['day']}`
  }
  const minuteOfDay = (t: number) => {
    const p = part(t)
    return Number(p['hour']) * 60 + Number(p['minute'])
  }
  const here = Math.floor(now.getTime() / MS)
  const today = Date.parse(localDate(here))
  /** Local days from today. */
  const away = (t: number) => Math.round((Date.parse(localDate(t)) - today) / (DAY * MS))
  const isFar = (t: number) => Math.abs(t - here) > 180 * DAY
  const day = (t: number) => {
    const days = away(t)
    // A weekday alone is plain from yesterday to five days ahead.
    if (days >= -1 && days <= 5) return weekday(t)
    return `${weekday(t)} ${isFar(t) ? dateYear(t) : date(t)}`
  }
  return {
    time,
    day,
    dayTime: (t) => `${day(t)} ${time(t)}`,
    date: (t) => (isFar(t) ? dateYear(t) : date(t)),
    week(t) {
      const local = localDate(t)
      const { week, weekday: n } = isoWeek(local)
      const monday = t - (n - 1) * DAY - minuteOfDay(t) + 12 * 60
      return `week ${week} (from ${isFar(t) ? dateYear(monday) : date(monday)})`
    },
    timeOr: (t, from) => (localDate(t) === localDate(from) ? time(t) : `${day(t)} ${time(t)}`),
    localDate,
    minuteOfDay,
    isNight(t) {
      const minute = minuteOfDay(t)
      return minute >= 21 * 60 || minute < 7 * 60
    },
    now: here,
  }
}

/** "45 min", "2 h", "2 h 30 min". */
export function duration(minutes: number): string {
  const whole = Math.round(minutes)
  const hours = Math.floor(whole / 60)
  const rest = whole % 60
  if (hours === 0) return `${rest} min`
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`
}

/** Hours for sums: "61 h", "7.5 h"; no false precision above ten. */
export function hours(minutes: number): string {
  const value = minutes / 60
  return `${value >= 10 || Number.isInteger(value) ? Math.round(value) : Math.round(value * 10) / 10} h`
}

const LIST = new Intl.ListFormat('en-GB', { type: 'conjunction' })
/** "Ann, Ben and Cleo" */
export const list = (items: readonly string[]): string => LIST.format(items)

export const plural = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`

/** First letter large, full stop at the end. */
export function sentence(text: string): string {
  const end = /[.!?]$/.test(text) ? '' : '.'
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}${end}`
}

/** "week 48", of an ISO week such as '2026-W48'; with its year when that is not the year of `now`. */
export function weekWords(label: string, times?: TimeWords): string {
  const [year, week] = label.split('-W')
  return times && times.localDate(times.now).startsWith(`${year}`) ? `week ${Number(week)}` : `week ${Number(week)} of ${year}`
}
