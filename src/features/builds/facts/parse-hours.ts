/** Hours as people write them. Pure. */

export type ParsedHours = { ok: true; minutes: number } | { ok: false; message: string }

const DECIMAL = /^(\d+(?:[.,]\d*)?|[.,]\d+)\s*(?:h|hrs?|hours?)?$/i
const CLOCK = /^(\d+)\s*(?::|h)\s*([0-5]?\d)\s*(?:m|min)?$/i
const MINUTES = /^(\d+)\s*(?:m|min|mins|minutes)$/i

/** '1.5', '1,5', '1:30', '1h30', '90 min' → whole minutes. */
export function parseHours(text: string): ParsedHours {
  const typed = text.trim()
  if (typed === '') return { ok: false, message: 'Say how long: 1.5 or 1:30 is an hour and a half' }
  if (/^[-−]/.test(typed)) return { ok: false, message: `“${typed}” is less than nothing: to take hours back, use “take back” at the entry` }
  const minutes = MINUTES.exec(typed)
  if (minutes) return { ok: true, minutes: Number(minutes[1]) }
  const clock = CLOCK.exec(typed)
  if (clock) return { ok: true, minutes: Number(clock[1]) * 60 + Number(clock[2]) }
  const decimal = DECIMAL.exec(typed)
  if (decimal) return { ok: true, minutes: Math.round(Number(decimal[1]!.replace(',', '.')) * 60) }
  return { ok: false, message: `“${typed}” is not a number of hours: write 1.5 or 1:30` }
}

/** Minutes as a form shows hours: '1.5', '1:20'. */
export function hoursField(minutes: number): string {
  if (minutes % 6 === 0) return String(minutes / 60)
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`
}
