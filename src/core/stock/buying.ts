import { ok, refuse, type Result } from '../result.ts'
import { cents, milli, type Cents, type Milli } from '../units/index.ts'
import { gcd } from './exact.ts'

/** A size in which an item is sold. */
export type Pack = { readonly id: string; readonly qty: Milli; readonly priceCents: Cents }

export type Purchase = {
  /** In the order in which the packs were given, those not bought left out. */
  readonly packs: readonly { readonly id: string; readonly count: number }[]
  readonly qty: Milli
  /** Beyond what was short: less than the smallest of the packs bought. */
  readonly over: Milli
  readonly priceCents: Cents
}

/** Steps of the table; a need of more is bought first in the pack that is cheapest by quantity. */
const MOST_STEPS = 200_000
/** More packs than this are a slip of the pen. */
const MOST_PACKS = 1_000_000

/**
 * The cheapest packs that are not short: among equally cheap ones the fewest, then those with the least over, then by the order given.
 * No pack of it could be left out. Packs without a price (0) are taken as free, so give none or all.
 *
 * A table over the need in steps of the packs' common divisor gives the optimum. Beyond 200,000 steps (200 kg by the gram) most of the
 * need is bought in the pack that is cheapest by quantity, and where packs are of odd sizes, steps are made coarser by rounding packs
 * down: still never short, and close to the cheapest.
 *
 * @param short what is missing; 0 and below needs nothing.
 * @throws RangeError for a pack of no quantity or of a negative price.
 */
export function packsFor(short: Milli, packs: readonly Pack[]): Result<Purchase, { readonly kind: 'no-packs' | 'too-many' }> {
  for (const { id, qty, priceCents } of packs) {
    if (!(qty > 0) || !(priceCents >= 0)) throw new RangeError(`no pack: ${id} of ${qty} thousandths at ${priceCents} cents`)
  }
  if (short <= 0) return ok({ packs: [], qty: milli(0), over: milli(0), priceCents: cents(0) })
  if (packs.length === 0) return refuse({ kind: 'no-packs' })

  const counts = packs.map(() => 0)
  const step = packs.reduce((common, { qty }) => gcd(common, qty), 0)
  let need: number = short
  if (need > MOST_STEPS * step) {
    const bulk = cheapestByQuantity(packs)
    const tableReach = Math.max(MOST_STEPS * step, 2 * Math.max(...packs.map(({ qty }) => qty)))
    counts[bulk] = Math.max(0, Math.ceil((need - tableReach) / packs[bulk]!.qty))
    need -= counts[bulk] * packs[bulk]!.qty
  }
  const coarse = Math.max(step, Math.ceil(need / MOST_STEPS))
  fill(need, coarse, packs).forEach((count, i) => (counts[i]! += count))
  leaveOut(counts, packs, short)
  if (counts.reduce((sum, count) => sum + count, 0) > MOST_PACKS) return refuse({ kind: 'too-many' })

  const qty = counts.reduce((sum, count, i) => sum + count * packs[i]!.qty, 0)
  return ok({
    packs: packs.map(({ id }, i) => ({ id, count: counts[i]! })).filter(({ count }) => count > 0),
    qty: milli(qty),
    over: milli(qty - short),
    priceCents: cents(counts.reduce((sum, count, i) => sum + count * packs[i]!.priceCents, 0)),
  })
}

function cheapestByQuantity(packs: readonly Pack[]): number {
  let best = 0
  packs.forEach(({ qty, priceCents }, i) => {
    const than = packs[best]!
    const difference = priceCents * than.qty - than.priceCents * qty
    if (difference < 0 || (difference === 0 && qty > than.qty)) best = i
  })
  return best
}

/** For every number of steps from 0 to the need the best last pack: a knapsack to be filled, not to be kept within. */
function fill(need: number, step: number, packs: readonly Pack[]): number[] {
  const steps = Math.ceil(need / step)
  // A step is small against the largest pack; packs of less than one are left out of so large a purchase.
  const sizes = packs.map(({ qty }) => Math.floor(qty / step))
  const price = new Float64Array(steps + 1)
  const count = new Float64Array(steps + 1)
  const total = new Float64Array(steps + 1)
  const last = new Int32Array(steps + 1)
  for (let at = 1; at <= steps; at++) {
    price[at] = Infinity
    packs.forEach(({ qty, priceCents }, i) => {
      if (sizes[i] === 0) return
      const before = Math.max(0, at - sizes[i]!)
      const better =
        price[before]! + priceCents - price[at]! || count[before]! + 1 - count[at]! || total[before]! + qty - total[at]!
      if (better >= 0) return
      price[at] = price[before]! + priceCents
      count[at] = count[before]! + 1
      total[at] = total[before]! + qty
      last[at] = i
    })
  }
  const counts = packs.map(() => 0)
  for (let at = steps; at > 0; at = Math.max(0, at - sizes[last[at]!]!)) counts[last[at]!]! += 1
  return counts
}

/** Leaves out packs that nothing misses: the dearest first, then the smallest. */
function leaveOut(counts: number[], packs: readonly Pack[], short: number): void {
  let over = counts.reduce((sum, count, i) => sum + count * packs[i]!.qty, 0) - short
  const order = packs.map((_, i) => i).sort((a, b) => packs[b]!.priceCents - packs[a]!.priceCents || packs[a]!.qty - packs[b]!.qty || a - b)
  for (const i of order) {
    const spare = Math.min(counts[i]!, Math.floor(over / packs[i]!.qty))
    counts[i]! -= spare
    over -= spare * packs[i]!.qty
  }
}
