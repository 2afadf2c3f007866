import type { OffsetTable } from '../core/calendar/types.ts'
import { instant, MINUTES_PER_DAY, type Instant } from '../core/units/index.ts'

const MS = 60_000

/** Whether the platform's zone data know this name ('Europe/Berlin'). Bare offsets ('+02:00') are refused: they have no rules. */
export function isZone(name: string): boolean {
  if (!/^[A-Za-z]/.test(name)) return false
  try {
    new Intl.DateTimeFormat('en-US', { timeZone: name })
    return true
  } catch {
    return false
  }
}

/**
 * UTC offsets of a zone from `from` to `until` (minutes since 1970-01-01T00:00Z), exact to the minute at each change of clocks.
 * Offsets with seconds, as before standard time, are rounded down to whole minutes.
 * @throws RangeError for a zone the platform doesn't know
 */
export function offsetTable(zone: string, from: Instant, until: Instant): OffsetTable {
  const offset = offsetReader(zone)
  const rows = [{ from, offset: offset(from) }]
  // No zone changes twice within a day.
  for (let t: number = from; t < until; t += MINUTES_PER_DAY) {
    const end = Math.min(t + MINUTES_PER_DAY, until)
    const after = offset(end)
    if (after === rows.at(-1)!.offset) continue
    let low = t
    let high = end
    while (high - low > 1) {
      const middle = Math.floor((low + high) / 2)
      if (offset(middle) === after) high = middle
      else low = middle
    }
    rows.push({ from: instant(high), offset: after })
  }
  return rows
}

/** One for each zone that was asked for: making one takes longer than using it. */
const formats = new Map<string, Intl.DateTimeFormat>()

function formatIn(zone: string): Intl.DateTimeFormat {
  let format = formats.get(zone)
  if (!format) {
    format = new Intl.DateTimeFormat('en-US', {
      timeZone: zone, calendar: 'gregory', numberingSystem: 'latn', hourCycle: 'h23', era: 'short',
      year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', second: '2-digit',
    })
    formats.set(zone, format)
  }
  return format
}

function offsetReader(zone: string): (t: number) => number {
  const format = formatIn(zone)
  return (t) => {
    const part: Record<string, string> = {}
    for (const { type, value } of format.formatToParts(t * MS)) part[type] = value
    const local = Date.UTC(Number(part.year), Number(part.month) - 1, Number(part.day), Number(part.hour), Number(part.minute), Number(part.second))
    return Math.floor((local - t * MS) / MS)
  }
}
