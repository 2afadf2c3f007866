import { cents, type Cents, type Milli } from '../units/index.ts'
import { largestRemainder } from './shares.ts'

/** What a lot of `received` has become: `left` in stock, each of `draws` (or write-offs, transfers) less what came back of it. */
export type CorrectionQuestion<Key> = {
  /** By how much all of the lot cost more (or, negative, less) than was booked. */
  readonly delta: Cents
  readonly received: Milli
  readonly left: Milli
  readonly draws: readonly { readonly key: Key; readonly qty: Milli }[]
}

export type CorrectionShares<Key> = {
  readonly stock: Cents
  readonly draws: readonly { readonly key: Key; readonly share: Cents }[]
  /** Of what was received and is neither in stock nor among the draws. */
  readonly rest: Cents
}

/**
 * A price correction of a lot goes where the lot went: by quantity, by largest remainder (stock first among equal remainders, then the
 * draws as given). All shares add up to delta.
 */
export function spreadCorrection<Key>({ delta, received, left, draws }: CorrectionQuestion<Key>): CorrectionShares<Key> {
  const known = draws.reduce((sum, { qty }) => sum + qty, left as number)
  const shares = largestRemainder(delta, [left, ...draws.map(({ qty }) => qty), Math.max(0, received - known)])
  return {
    stock: cents(shares[0]!),
    draws: draws.map(({ key }, i) => ({ key, share: cents(shares[i + 1]!) })),
    rest: cents(shares.at(-1)!),
  }
}
