/** A date column as 'YYYY-MM-DD'. */
export const isoDate = (day: Date): string => day.toISOString().slice(0, 10)
/** 'YYYY-MM-DD' as a date column takes it. */
export const dateColumn = (iso: string): Date => new Date(`${iso}T00:00:00Z`)

/** Today's date in a zone. */
export function localToday(zone: string, now: Date): string {
  const parts = new Intl.DateTimeFormat('en-CA', { timeZone: zone, calendar: 'gregory', numberingSystem: 'latn', year: 'numeric', month: '2-digit', day: '2-digit' }).formatToParts(now)
  const part = (type: string) => parts.find((p) => p.type === type)?.value ?? ''
  return `${part('year')}-${part('month')}-${part('day')}`
}
