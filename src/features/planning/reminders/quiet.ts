import { dateOf, dayOf, instantToLocal, parseHm, type OffsetTable } from '../../../core/calendar/index.ts'
import { instant, MINUTES_PER_DAY, type Instant } from '../../../core/units/index.ts'

/** Hours of the day in which nothing is sent; `from` after `to` runs over midnight, both the same: none. */
export type Quiet = { readonly from: string; readonly to: string }

const minuteOf = (time: string): number => (parseHm(time) ?? 0) % MINUTES_PER_DAY

/** Whether an instant lies in the quiet hours: from the first minute on, up to but not with the last. */
export function isQuiet(zone: OffsetTable, t: Instant, { from, to }: Quiet): boolean {
  const [a, b] = [minuteOf(from), minuteOf(to)]
  const { minuteOfDay: m } = instantToLocal(zone, t)
  return a <= b ? m >= a && m < b : m >= a || m < b
}

/**
 * The first instant at or after `t` that is not quiet. Quiet hours end where the wall clock reaches their end, or jumps past it at a
 * change of clocks; where it strikes that time twice, only once the hours are really over. `zone` must serve the two days from t on.
 */
export function afterQuiet(zone: OffsetTable, t: Instant, quiet: Quiet): Instant {
  if (!isQuiet(zone, t, quiet)) return t
  const today = dayOf(instantToLocal(zone, t).date)
  const ends = [0, 1, 2].flatMap((day) => [...new Set(zone.map((row) => row.offset))].map((offset) => (today + day) * MINUTES_PER_DAY + minuteOf(quiet.to) - offset))
  const candidates = [...ends, ...zone.map((row) => row.from)].filter((at) => at > t).sort((x, y) => x - y)
  const found = candidates.find((at) => !isQuiet(zone, instant(at), quiet))
  if (found === undefined) throw new RangeError(`quiet hours without an end: ${quiet.from}–${quiet.to} from ${dateOf(today)}`)
  return instant(found)
}
