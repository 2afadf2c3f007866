/**
 * A whole total in whole shares by largest remainder (the method of Hamilton): each share is its exact quota rounded down, and what
 * is left over goes, one each, to the largest remainders; equal remainders in the order given. The shares add up to the total, and
 * none is off its quota by 1 or more. A negative total is shared as its amount, with the sign put back.
 *
 * Where all weights are 0 the shares are equal (as if all weights were 1).
 *
 * @param total whole number (cents, thousandths, steps).
 * @param weights whole numbers from 0.
 * @throws RangeError for numbers that are not whole, negative weights, or a total other than 0 with nobody to bear it.
 */
export function largestRemainder(total: number, weights: readonly number[]): number[] {
  if (!Number.isSafeInteger(total)) throw new RangeError(`a total to share must be a whole number, got ${total}`)
  if (weights.some((w) => !Number.isSafeInteger(w) || w < 0)) throw new RangeError('weights must be whole numbers from 0')
  if (weights.length === 0) {
    if (total !== 0) throw new RangeError(`nobody to bear a share of ${total}`)
    return []
  }
  const sum = weights.reduce((all, w) => all + BigInt(w), 0n)
  const wide = sum === 0n ? weights.map(() => 1n) : weights.map(BigInt)
  const by = sum === 0n ? BigInt(weights.length) : sum
  const amount = BigInt(Math.abs(total))
  const quotas = wide.map((w, at) => ({ at, share: Number((amount * w) / by), rest: (amount * w) % by }))
  const shares = quotas.map(({ share }) => share)
  let over = Math.abs(total) - shares.reduce((all, share) => all + share, 0)
  const largestFirst = quotas.toSorted((a, b) => (a.rest === b.rest ? a.at - b.at : a.rest < b.rest ? 1 : -1))
  for (const { at } of largestFirst) {
    if (over === 0) break
    shares[at]! += 1
    over -= 1
  }
  return total < 0 ? shares.map((share) => (share === 0 ? 0 : -share)) : shares
}
