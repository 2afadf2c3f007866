import type { ItemKind } from '../../src/features/stores/schemas/items.ts'
import { dateFormat, format, type Option, type PageClub } from '../shared/index.ts'

export const ITEM_KIND_WORDS: Record<ItemKind, string> = {
  resin: 'Resin', hardener: 'Hardener', filler: 'Filler', cloth: 'Cloth', tape: 'Tape', ply: 'Plywood', timber: 'Timber', fastener: 'Fasteners', paint: 'Paint and varnish',
  solvent: 'Solvent', abrasive: 'Abrasives', protective: 'Protective gear', other: 'Other',
}
export const UNIT_CHOICES: readonly Option[] = [
  { value: 'g', label: 'grams' }, { value: 'ml', label: 'millilitres' }, { value: 'm', label: 'metres' }, { value: 'm2', label: 'square metres' }, { value: 'pcs', label: 'pieces or sheets' },
]
/** A price, or that nobody has put one in. */
export const priceText = (cents: number, club: PageClub | null): string => (cents === 0 ? 'no price yet' : format.money(cents, club))

export const supplierOptions = (suppliers: readonly { id: string; name: string; isActive: boolean }[], chosen?: string): Option[] =>
  suppliers.filter((s) => s.isActive || s.id === chosen).map((s) => ({ value: s.id, label: s.isActive ? s.name : `${s.name} (given up)` }))

/** A date column's day in the club's way: "Sat 6 June 2026". */
export const dayText = (iso: string, club: PageClub | null): string =>
  dateFormat(club?.locale ?? 'en-GB', { timeZone: 'UTC', weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' }).format(new Date(`${iso.slice(0, 10)}T00:00:00Z`))
