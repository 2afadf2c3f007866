/** The buying list: what must be ordered, in which packs, from whom. */
import { packsFor } from '../../core/stock/index.ts'
import { cents, milli } from '../../core/units/index.ts'
import type { Ahead } from './outlook.ts'
import type { Named, StockItem, StockPack } from './stock-model.ts'

export type BuyLine = {
  readonly ahead: Ahead
  /** Tasks would be short; only the safety stock would; use that nothing plans has come down to the reorder point. */
  readonly why: 'needs' | 'safety' | 'use'
  readonly supplier: Named | null
  /** Empty: no pack of it is entered. */
  readonly packs: readonly { readonly pack: StockPack; readonly count: number }[]
  readonly milli: number
  /** Beyond what is short: less than the smallest of these packs. */
  readonly over: number
  readonly costCents: number
  /** A pack without a price: the cost is not known. */
  readonly isPriced: boolean
}
export type BuyGroup = { readonly supplier: Named | null; readonly lines: readonly BuyLine[]; readonly costCents: number; readonly isPriced: boolean }

/** What must be ordered, by supplier in order of name, those without one last; within, the most urgent first. */
export function buyingList(ahead: readonly Ahead[]): BuyGroup[] {
  const lines = ahead.filter((a) => a.buy > 0).map(lineOf).sort(
    (a, b) => text(a.ahead.orderBy ?? '', b.ahead.orderBy ?? '') || text(a.ahead.item.name, b.ahead.item.name)
  )
  const suppliers = new Map(lines.map((l) => [l.supplier?.id ?? '', l.supplier]))
  return [...suppliers.values()].sort((a, b) => (a && b ? text(a.name, b.name) : a ? -1 : b ? 1 : 0)).map((supplier) => {
    const own = lines.filter((l) => l.supplier?.id === supplier?.id)
    return { supplier, lines: own, costCents: own.reduce((sum, l) => sum + l.costCents, 0), isPriced: own.every((l) => l.isPriced) }
  })
}

const text = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)

function lineOf(ahead: Ahead): BuyLine {
  const why = ahead.steps.some((s) => s.level < 0) ? 'needs' : ahead.fallsAt !== null ? 'safety' : 'use'
  return { ahead, why, ...purchase(ahead.item, ahead.buy) }
}

/** The cheapest packs of one supplier that are not short; of equally cheap ones the item's usual supplier. */
export function purchase(item: StockItem, short: number): Omit<BuyLine, 'ahead' | 'why'> {
  const none = { supplier: item.supplier, packs: [], milli: 0, over: 0, costCents: 0, isPriced: false }
  const from = new Map(item.packs.map((p) => [(p.supplier ?? item.supplier)?.id ?? '', p.supplier ?? item.supplier]))
  const offers = [...from.entries()].flatMap(([id, supplier]) => {
    const all = item.packs.filter((p) => ((p.supplier ?? item.supplier)?.id ?? '') === id)
    // A pack without a price would look as if it cost nothing.
    const priced = all.filter((p) => p.priceCents > 0)
    const packs = priced.length > 0 ? priced : all
    const bought = packsFor(milli(short), packs.map((p) => ({ id: p.id, qty: milli(p.milli), priceCents: cents(p.priceCents) })))
    if (!bought.ok) return []
    const { qty, over, priceCents } = bought.value
    const chosen = bought.value.packs.flatMap(({ id: packId, count }) => {
      const pack = packs.find((p) => p.id === packId)
      return pack ? [{ pack, count }] : []
    })
    return [{ supplier, packs: chosen, milli: qty, over, costCents: priceCents, isPriced: priced.length > 0 }]
  })
  const isUsual = (o: { supplier: Named | null }) => (o.supplier?.id === item.supplier?.id ? 0 : 1)
  return offers.sort((a, b) => Number(b.isPriced) - Number(a.isPriced) || a.costCents - b.costCents || isUsual(a) - isUsual(b))[0] ?? none
}
