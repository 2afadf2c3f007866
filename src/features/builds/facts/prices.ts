/** What a material costs: by the packs it is sold in, else by what the stock itself cost. Whole cents come last, a price is not rounded. Pure. */
import type { Spread } from '../../../core/estimate/types.ts'
import type { Ratio } from '../../../core/stock/index.ts'
import { inUnitOf, type Measure } from './amounts.ts'

/** `milli`: thousandths of the item's unit. A price of 0 is none that anybody put in. */
export type PackPrice = { readonly name: string; readonly milli: number; readonly priceCents: number }
export type PricedItem = Measure & {
  readonly id: string
  readonly name: string
  /** Those that are sold now. */
  readonly packs: readonly PackPrice[]
  /** What the club has, and what it cost. */
  readonly held: { readonly milli: number; readonly cents: number }
}
/** `cents` for one of `unit`, not rounded. from: what it comes from, in words that a page can show. */
export type UnitPrice = { readonly cents: number; readonly unit: string; readonly from: 'pack' | 'average' | 'parts'; readonly pack: string | null }

/** By the pack that is cheapest by quantity; where none has a price, what the stock cost on average; null where neither is known. */
export function unitPrice({ packs, held, unit }: Pick<PricedItem, 'packs' | 'held' | 'unit'>): UnitPrice | null {
  const priced = packs.filter((p) => p.priceCents > 0 && p.milli > 0)
  const best = priced.reduce<PackPrice | null>((least, p) => (least === null || p.priceCents * least.milli < least.priceCents * p.milli ? p : least), null)
  if (best !== null) return { cents: (best.priceCents * 1000) / best.milli, unit, from: 'pack', pack: best.name }
  return held.milli > 0 && held.cents > 0 ? { cents: (held.cents * 1000) / held.milli, unit, from: 'average', pack: null } : null
}

/** A system whose parts are mixed a to b by mass. */
export type PricedMix = { readonly resin: PricedItem; readonly hardener: PricedItem; readonly ratio: Pick<Ratio, 'a' | 'b'> }

/** One gram mixed: (a × a gram of resin + b × a gram of hardener) ÷ (a + b). Null where one of the parts has no price, or is sold by volume and its density is not known. */
export function mixPrice({ resin, hardener, ratio }: PricedMix): UnitPrice | null {
  const [a, b] = [perGram(resin), perGram(hardener)]
  return a === null || b === null ? null : { cents: (ratio.a * a + ratio.b * b) / (ratio.a + ratio.b), unit: 'g', from: 'parts', pack: null }
}

function perGram(item: PricedItem): number | null {
  const price = unitPrice(item)
  const perUnit = inUnitOf(1, 'g', item)
  return price === null || perUnit === null ? null : price.cents * perUnit
}

/** What an amount costs, each end in whole cents; `goods` is what it is bought as. Null where the amount can't be said in the unit that the price is for. */
export function centsFor(amount: Spread, unit: string, price: UnitPrice, goods: Omit<Measure, 'unit'>): Spread | null {
  const one = (n: number): number | null => {
    const inPrice = inUnitOf(n, unit, { ...goods, unit: price.unit })
    return inPrice === null ? null : Math.round(inPrice * price.cents)
  }
  const [low, likely, high] = [one(amount.low), one(amount.likely), one(amount.high)]
  return low === null || likely === null || high === null ? null : { low, likely, high }
}
