/** Whole-number arithmetic that loses nothing where a product leaves the safe range of a number. */

function wholeFrom0(n: number, what: string): void {
  if (!Number.isSafeInteger(n) || n < 0) throw new RangeError(`${what} must be a whole number from 0, got ${n}`)
}

/**
 * a × b ÷ divisor, rounded half up; a, b whole and from 0, divisor whole and above 0.
 * @throws RangeError for other numbers, or a result that is not a safe integer.
 */
export function mulDivHalfUp(a: number, b: number, divisor: number): number {
  wholeFrom0(a, 'a factor')
  wholeFrom0(b, 'a factor')
  wholeFrom0(divisor, 'a divisor')
  if (divisor === 0) throw new RangeError('division by 0')
  const product = a * b
  if (Number.isSafeInteger(product)) {
    const rest = product % divisor
    return (product - rest) / divisor + (rest >= divisor - rest ? 1 : 0)
  }
  const wide = BigInt(a) * BigInt(b)
  const by = BigInt(divisor)
  const rest = wide % by
  const rounded = Number(wide / by + (rest * 2n >= by ? 1n : 0n))
  if (!Number.isSafeInteger(rounded)) throw new RangeError(`${a} × ${b} ÷ ${divisor} is too large`)
  return rounded
}

/** Greatest common divisor of two whole numbers from 0. */
export function gcd(a: number, b: number): number {
  while (b !== 0) [a, b] = [b, a % b]
  return a
}
