/** Prices that people typed for what the stores have no price for. Pure. */
import { parseMoney } from '../../stores/public.ts'
import type { Results, SheetOption, TypedPrice } from './model.ts'
import { PRICE, type WorkInput } from './schemas.ts'

/** What a price can be typed for: what had none, and what one was typed for before; in order of name. */
export function askedPrices(options: readonly SheetOption[], results: Results | null): { material: string; unit: TypedPrice['unit']; cents: number | null }[] {
  const asked = new Map<string, { unit: TypedPrice['unit']; cents: number | null }>()
  for (const { material, unit } of (results?.options ?? []).flatMap((o) => o.unpriced)) asked.set(material, { unit, cents: null })
  for (const [material, price] of Object.entries(options[0]?.prices ?? {})) asked.set(material, price)
  return [...asked].map(([material, p]) => ({ material, ...p })).sort((a, b) => (a.material < b.material ? -1 : 1))
}

/** The options with the prices that were typed; a field that is empty takes a price away, one that was not sent leaves it. */
export function withPrices(options: readonly SheetOption[], results: Results | null, typed: WorkInput['prices']): { options: SheetOption[]; fields: Record<string, string> } {
  const fields: Record<string, string> = {}
  const prices: Record<string, TypedPrice> = { ...options[0]?.prices }
  const known = new Map(askedPrices(options, results).map((a) => [a.material, a.unit]))
  for (const { material, typed: text } of typed) {
    const unit = known.get(material)
    if (unit === undefined) continue
    if (text === '') {
      delete prices[material]
      continue
    }
    const money = parseMoney(text)
    if (!money.ok) fields[`${PRICE}${material}`] = `${material}: ${money.message}`
    else prices[material] = { cents: money.cents, unit }
  }
  return { options: options.map((o) => ({ ...o, prices })), fields }
}
