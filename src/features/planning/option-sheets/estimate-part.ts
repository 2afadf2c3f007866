/** Of an option's estimate, what the sheet compares. Pure. */
import { addSpread } from '../../../core/estimate/index.ts'
import type { Boat, Coefficients, MaterialUnit, Panel, Skill, Spread } from '../../../core/estimate/types.ts'
import type { OptionResult, SheetOption, TypedPrice, Unpriced } from './model.ts'
import { panelResult } from './panel.ts'

export type EstimatePart = Pick<OptionResult, 'cents' | 'unpriced' | 'kg' | 'epoxyG' | 'sheets' | 'panel' | 'hours'>

type Priced = { readonly cents: Spread | null }
/** What is read of the builds' estimate. */
export type EstimateSeen = {
  readonly view: {
    readonly panels: readonly Panel[]
    readonly boat: Pick<Boat, 'surfaces'>
    readonly figures: readonly { readonly def: { readonly key: string }; readonly figure: { readonly value: number } }[]
    readonly settings: { readonly skill: Skill; readonly coefficients: Coefficients }
  }
  /** `sheets`: plywood is bought whole. */
  readonly lines: readonly (Priced & { readonly material: string; readonly unit: MaterialUnit; readonly gross: Spread; readonly sheets: Spread | null })[]
  readonly rest: readonly (Priced & { readonly name: string; readonly unit: string; readonly amount: Spread })[]
  readonly totals: { readonly cents: Spread; readonly kg: Spread; readonly epoxyG: Spread; readonly hours: Spread; readonly sheets: number }
}

export function estimatePart({ view, lines, rest, totals }: EstimateSeen, prices: SheetOption['prices'], varied: readonly string[]): EstimatePart {
  const without = [
    ...lines.filter((l) => l.cents === null && l.gross.high > 0).map((l) => ({ material: l.material, unit: l.unit, amount: l.sheets ?? l.gross })),
    ...rest.filter((r) => r.cents === null && r.amount.high > 0).map((r) => ({ material: r.name, unit: r.unit as MaterialUnit, amount: r.amount })),
  ]
  const typed = without.flatMap((u) => {
    const price = prices[u.material]
    return price && price.unit === u.unit ? [costOf(u.amount, price)] : []
  })
  const open = without.filter((u) => prices[u.material]?.unit !== u.unit)
  const spanMm = view.figures.find((f) => f.def.key === 'frameSpan')?.figure.value ?? 0
  return {
    cents: typed.reduce(addSpread, plain(totals.cents)), unpriced: together(open),
    kg: plain(totals.kg), epoxyG: plain(totals.epoxyG), hours: plain(totals.hours), sheets: totals.sheets,
    panel: panelResult({ panels: view.panels, surfaces: view.boat.surfaces, coefficients: view.settings.coefficients, skill: view.settings.skill, spanMm, varied }),
  }
}

const plain = ({ low, likely, high }: Spread): Spread => ({ low, likely, high })

/** Grams are paid by the kilogram, millilitres by the litre, the rest by its unit. */
const pricedBy = (unit: MaterialUnit): number => (unit === 'g' || unit === 'ml' ? 1000 : 1)

export function costOf(amount: Spread, { cents, unit }: TypedPrice): Spread {
  const one = (n: number) => Math.round((n / pricedBy(unit)) * cents)
  return { low: one(amount.low), likely: one(amount.likely), high: one(amount.high) }
}

function together(rows: readonly { material: string; unit: MaterialUnit; amount: Spread }[]): Unpriced[] {
  const sums = new Map<string, Unpriced>()
  for (const { material, unit, amount } of rows) {
    const key = `${material}|${unit}`
    sums.set(key, { material, unit, amount: (sums.get(key)?.amount ?? 0) + amount.likely })
  }
  return [...sums.values()].sort((a, b) => (a.material < b.material ? -1 : 1))
}
