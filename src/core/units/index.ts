/**
 * Units as types. A plain number can't be passed where a unit is asked; arithmetic on branded values
 * yields plain numbers again, so a result is named with its unit anew.
 */
declare const unit: unique symbol
type Branded<U extends string> = number & { readonly [unit]: U }

/** Whole elapsed minutes. */
export type Minutes = Branded<'min'>
/** Whole minutes since an origin of the caller's choosing (the service uses 1970-01-01T00:00Z). */
export type Instant = Branded<'instant-min'>
/** Degrees Celsius, float: never compared with ===. */
export type Celsius = Branded<'degC'>
/** Whole cents of the club's currency. */
export type Cents = Branded<'cent'>
/** Whole milligrams. */
export type Milligrams = Branded<'mg'>
/** Whole thousandths of an item's unit: mg for g, µl for ml, mm for m, 1/1000 m² for m2, 1/1000 piece for pcs. */
export type Milli = Branded<'milli'>

function whole(n: number, what: string): number {
  if (!Number.isSafeInteger(n)) throw new RangeError(`${what} must be a whole number, got ${n}`)
  return n
}

/** @throws RangeError unless n is a safe integer. */
export const minutes = (n: number): Minutes => whole(n, 'minutes') as Minutes
/** @throws RangeError unless n is a safe integer. */
export const instant = (n: number): Instant => whole(n, 'instant') as Instant
/** @throws RangeError unless n is a safe integer. */
export const cents = (n: number): Cents => whole(n, 'cents') as Cents
/** @throws RangeError unless n is a safe integer. */
export const milligrams = (n: number): Milligrams => whole(n, 'milligrams') as Milligrams
/** @throws RangeError unless n is a safe integer. */
export const milli = (n: number): Milli => whole(n, 'thousandths') as Milli
/** @throws RangeError when n is not finite or below absolute zero. */
export function celsius(n: number): Celsius {
  if (!Number.isFinite(n) || n < -273.15) throw new RangeError(`not a temperature in °C: ${n}`)
  return n as Celsius
}

export const MINUTES_PER_HOUR = 60
export const MINUTES_PER_DAY = 1440
