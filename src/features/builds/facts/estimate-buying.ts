/** What is still to buy for an estimate: what her tasks have yet to draw, less what the stores have and what is on order. Pure. */
import { packsFor } from '../../../core/stock/index.ts'
import { cents, milli } from '../../../core/units/index.ts'
import type { StoreItem } from './material-choice.ts'
import type { PricedItem } from './prices.ts'

/** Thousandths of the item's unit. here: fit for use, of the whole club; coming: on order. */
export type ToBuy = {
  readonly itemId: string
  readonly name: string
  readonly unit: string
  readonly leftMilli: number
  readonly drawnMilli: number
  readonly hereMilli: number
  readonly comingMilli: number
  readonly shortMilli: number
  /** The cheapest packs that are not short; none where nothing is short, or where no packs were put in. */
  readonly packs: readonly { readonly name: string; readonly count: number }[]
  /** What they cost; null: no price known. */
  readonly cents: number | null
}
export type Left = { readonly itemId: string; readonly leftMilli: number; readonly drawnMilli: number }

export function toBuyOf(left: readonly Left[], items: ReadonlyMap<string, PricedItem & StoreItem>, here: ReadonlyMap<string, number>, coming: ReadonlyMap<string, number>): ToBuy[] {
  const sums = new Map<string, Left>()
  for (const { itemId, leftMilli, drawnMilli } of left) {
    const sum = sums.get(itemId)
    sums.set(itemId, { itemId, leftMilli: (sum?.leftMilli ?? 0) + leftMilli, drawnMilli: (sum?.drawnMilli ?? 0) + drawnMilli })
  }
  return [...sums.values()]
    .flatMap(({ itemId, leftMilli, drawnMilli }): ToBuy[] => {
      const item = items.get(itemId)
      if (item === undefined) return []
      const [hereMilli, comingMilli] = [here.get(itemId) ?? 0, coming.get(itemId) ?? 0]
      const shortMilli = Math.max(0, Math.ceil(leftMilli - hereMilli - comingMilli - 1e-6))
      return [{ itemId, name: item.name, unit: item.unit, leftMilli, drawnMilli, hereMilli, comingMilli, shortMilli, ...purchase(item, shortMilli) }]
    })
    .sort((a, b) => Number(b.shortMilli > 0) - Number(a.shortMilli > 0) || a.name.localeCompare(b.name))
}

function purchase({ packs, held }: PricedItem, shortMilli: number): Pick<ToBuy, 'packs' | 'cents'> {
  if (shortMilli === 0) return { packs: [], cents: 0 }
  const priced = packs.filter((p) => p.priceCents > 0)
  // A pack without a price would look as if it cost nothing.
  const sold = priced.length > 0 ? priced : packs
  const bought = packsFor(milli(shortMilli), sold.map((p, i) => ({ id: String(i), qty: milli(p.milli), priceCents: cents(p.priceCents) })))
  if (!bought.ok) return { packs: [], cents: held.milli > 0 && held.cents > 0 ? Math.round((held.cents * shortMilli) / held.milli) : null }
  return { packs: bought.value.packs.map(({ id, count }) => ({ name: sold[Number(id)]!.name, count })), cents: priced.length > 0 ? bought.value.priceCents : null }
}
