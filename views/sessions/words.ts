export const WEEKDAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'] as const
export const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'] as const

/** A calendar date, "Sat, 28 Nov 2026": no zone moves it. */
export const dateText = (date: string, locale = 'en-GB'): string =>
  new Intl.DateTimeFormat(locale, { timeZone: 'UTC', weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' }).format(new Date(`${date}T00:00:00Z`))

export const weekdayOptions = WEEKDAYS.map((label, i) => ({ value: i + 1, label }))
/** As a browser's time field takes it. */
export const shownTime = (time: string): string => (time === '24:00' ? '00:00' : time)
export const choices = (rows: readonly { id: string; name: string }[]) => rows.map(({ id, name }) => ({ value: id, label: name }))
export const everyWords = (weeks: number): string => (weeks === 1 ? 'every week' : `every ${weeks} weeks`)
