import { instant, MINUTES_PER_DAY, type Instant } from '../units/index.ts'
import { dateOf, dayOf, formatHm, parseHm, weekdayOfDay } from './dates.ts'
import type { OffsetTable } from './types.ts'

/** A date and a time of day on the wall clock of the zone. */
export interface Local { readonly date: string; readonly time: string }
export interface LocalInstant extends Local { readonly weekday: number; readonly minuteOfDay: number }

/** No zone was ever further from UTC than this, so a local minute read as UTC is at most this far off. */
const FURTHEST = MINUTES_PER_DAY

/** Index of the row in force at t. @throws RangeError when the table is empty. */
export function rowAt(zone: OffsetTable, t: number): number {
  if (zone.length === 0) throw new RangeError('an offset table needs at least one row')
  let low = 0
  let high = zone.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (zone[middle]!.from <= t) low = middle
    else high = middle - 1
  }
  return low
}

/** UTC offset in minutes at t: local = UTC + offset. The first row also serves everything before it. */
export const offsetAt = (zone: OffsetTable, t: Instant): number => zone[rowAt(zone, t)]!.offset

/**
 * The instant of a local date and time, in minutes since 1970-01-01T00:00Z. A local time that the clocks skip (spring) moves
 * forward by the gap, one that comes twice (autumn) means the first. '24:00' is the next midnight, as in ISO 8601.
 * @throws RangeError for a date that doesn't exist or a time that isn't HH:MM.
 */
export function localToInstant(zone: OffsetTable, local: Local): Instant {
  const minuteOfDay = local.time === '24:00' ? MINUTES_PER_DAY : parseHm(local.time)
  if (minuteOfDay === null) throw new RangeError(`not a time (HH:MM): ${local.time}`)
  return localMinuteToInstant(zone, dayOf(local.date) * MINUTES_PER_DAY + minuteOfDay)
}

/** As localToInstant, from local minutes since 1970-01-01 00:00 on the wall clock. */
export function localMinuteToInstant(zone: OffsetTable, localMinute: number): Instant {
  const first = rowAt(zone, localMinute - FURTHEST)
  let best = localMinute - zone[first]!.offset
  for (let i = first + 1; i < zone.length; i++) {
    const { from, offset } = zone[i]!
    // The row before reads this local minute within its own time; were there a second reading, the first counts.
    if (best < from) break
    // Skipped by the clocks: too late for the row before, too early for this one. Read as the row before does.
    if (localMinute - offset < from) break
    best = localMinute - offset
  }
  return instant(best)
}

/** Wall clock at an instant given in minutes since 1970-01-01T00:00Z; weekday 1 = Monday to 7 = Sunday. */
export function instantToLocal(zone: OffsetTable, t: Instant): LocalInstant {
  const localMinute = t + offsetAt(zone, t)
  const day = Math.floor(localMinute / MINUTES_PER_DAY)
  const minuteOfDay = localMinute - day * MINUTES_PER_DAY
  return { date: dateOf(day), time: formatHm(minuteOfDay), weekday: weekdayOfDay(day), minuteOfDay }
}
