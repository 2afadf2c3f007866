import type { ItemKind, StockUnit } from '../../src/features/stores/schemas/items.ts'
import { format, type Option, type PageClub } from '../shared/index.ts'

export const ITEM_KIND_WORDS: Record<ItemKind, string> = {
  resin: 'Resin', hardener: 'Hardener', filler: 'Filler', cloth: 'Cloth', tape: 'Tape', ply: 'Plywood', timber: 'Timber', fastener: 'Fasteners', paint: 'Paint and varnish',
  solvent: 'Solvent', abrasive: 'Abrasives', protective: 'Protective gear', other: 'Other',
}
export const UNIT_CHOICES: readonly Option[] = [
  { value: 'g', label: 'grams' }, { value: 'ml', label: 'millilitres' }, { value: 'm', label: 'metres' }, { value: 'm2', label: 'square metres' }, { value: 'pcs', label: 'pieces or sheets' },
]
/** Beside a field in which an amount of it is typed. */
export const UNIT_SIGNS: Record<StockUnit, string> = { g: 'g', ml: 'mL', m: 'm', m2: 'm²', pcs: 'pieces' }

/** Thousandths of the unit in the club's own way. */
export function milliText(milli: number, unit: string, club: PageClub | null): string {
  if (unit === 'pcs') return `${format.number(milli / 1000, club ?? undefined, 3)} ${Math.abs(milli) === 1000 ? 'piece' : 'pieces'}`
  return format.amount(milli / 1000, unit, club)
}

/** A price, or that nobody has put one in. */
export const priceText = (cents: number, club: PageClub | null): string => (cents === 0 ? 'no price yet' : format.money(cents, club))

export const supplierOptions = (suppliers: readonly { id: string; name: string; isActive: boolean }[], chosen?: string): Option[] =>
  suppliers.filter((s) => s.isActive || s.id === chosen).map((s) => ({ value: s.id, label: s.isActive ? s.name : `${s.name} (given up)` }))

/** A date column's day in the club's way: "Sat 6 June 2026". */
export const dayText = (iso: string, club: PageClub | null): string =>
  new Intl.DateTimeFormat(club?.locale ?? 'en-GB', { timeZone: 'UTC', weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' }).format(new Date(`${iso.slice(0, 10)}T00:00:00Z`))
