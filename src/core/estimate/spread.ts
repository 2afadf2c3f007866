import type { Spread } from './types.ts'

/** @throws RangeError unless the three are finite and rise. */
export function spread(low: number, likely: number, high: number): Spread {
  if (!(Number.isFinite(low) && Number.isFinite(high) && low <= likely && likely <= high)) {
    throw new RangeError(`low, likely and high must rise, got ${low}, ${likely}, ${high}`)
  }
  return { low, likely, high }
}

/** One figure that has no range. */
export const exactly = (value: number): Spread => ({ low: value, likely: value, high: value })
export const NOTHING: Spread = exactly(0)

/** Ends with ends: what makes one figure high makes the other high too, so a sum is never too narrow. */
export const addSpread = (a: Spread, b: Spread): Spread => ({ low: a.low + b.low, likely: a.likely + b.likely, high: a.high + b.high })
export const sumSpreads = (spreads: readonly Spread[]): Spread => spreads.reduce(addSpread, NOTHING)

/** @throws RangeError for a negative factor, which would turn the ends round. */
export function scaleSpread(s: Spread, by: number): Spread {
  if (!(by >= 0)) throw new RangeError(`a spread is scaled by 0 or more, got ${by}`)
  return { low: s.low * by, likely: s.likely * by, high: s.high * by }
}

/** Ends with ends; both at least 0. */
export const timesSpread = (a: Spread, b: Spread): Spread => ({ low: a.low * b.low, likely: a.likely * b.likely, high: a.high * b.high })

/** @throws RangeError naming what is not a finite number of at least 0. */
export function notNegative(value: number, what: string): number {
  if (!(Number.isFinite(value) && value >= 0)) throw new RangeError(`${what} must be 0 or more, got ${value}`)
  return value
}
