/** Phrases, rules and links that several parts of the dinghy list share. */
import type { LinkDef, MaterialRule, Quantity, ScaleRule } from '../types.ts'

export const EPOXY_SKIN = 'Uncured epoxy sensitises skin and airways: nitrile gloves, sleeves, fresh air; never clean skin with solvent. Mixed pots heat up: spread them thin, set leftovers outside on something that can’t burn. Follow the data sheet.'
export const WOOD_DUST = 'Wood and ply dust harms: extractor on, P3 half mask or FFP3 that fits. Follow local rules.'
export const GLASS_DUST = 'Dust of cured resin, glass and ply: wash first, extractor on, P3/P100 mask, gloves; never dry-sand green epoxy. Follow the data sheet and local rules.'
export const MACHINE = 'Machine work only by people checked on it, guards on; minors never alone. Follow the machine’s instructions and the club’s rules.'
export const LIFT = 'Lifting together: one person gives the words, fingers clear, padded supports in place first.'
export const OILY_RAGS = 'Rags with drying oil or varnish heat up by themselves: into a covered metal can, or spread flat outside.'
export const PAINT = 'Two-pack paints with isocyanates are never sprayed here; brush or roll with fresh air and the protection the data sheet asks for.'

/** Hours go roughly with length times beam (kit-builders' comparison: 0.55 of the hours at 0.57 of L x B). */
export const boatSize: ScaleRule = { by: ['length', 'beam'], share: 0.8 }

/** The next coat inside the recoat window; missed: wash and sand, by the area. */
export const coatLink = (from: string, to: string, washMinutes: number, by: string[]): LinkDef => ({ kind: 'window', from, to, wash: washMinutes, washScale: { by, share: 0.8 } })
export const nextCoat = (washMinutes: number, by: string[]) => ({ kind: 'window' as const, wash: washMinutes, washScale: { by, share: 0.8 } })

export const glueLine = (area: Quantity): MaterialRule => ({ name: 'Mixed epoxy, thickened', unit: 'g', per: [300, 370, 450], of: area, rule: 'hand-clamped glue line about 370 g/m² (2.7 m²/kg, boat handbook read)' })
export const fillet = (): MaterialRule => ({ name: 'Mixed epoxy, thickened', unit: 'g', per: [60, 95, 140], of: { times: 0.33, of: ['seams'] }, rule: 'r = 18 mm at about 90–100°: 50–70 mL per m by geometry, plus 20–50 % for gaps (from memory), about 1.15 g/mL' })
export const tape = (): MaterialRule[] => [
  { name: 'Glass tape 75 mm, 200 g/m²', unit: 'm', per: [1, 1.05, 1.1], of: { times: 0.33, of: ['seams'] }, rule: 'one layer along the seam and its overlaps' },
  { name: 'Mixed epoxy', unit: 'g', per: [15, 22, 30], of: { times: 0.33, of: ['seams'] }, rule: '75 mm of 200 g/m² glass is 15 g/m; resin once to twice its mass' },
]
export const coatEpoxy = (area: string, first: boolean): MaterialRule => first
  ? { name: 'Mixed epoxy', unit: 'g', per: [110, 140, 170], of: { times: 1, of: [area] }, rule: 'first coat on bare ply about 140 g/m² (7.1 m²/kg, boat handbook read)' }
  : { name: 'Mixed epoxy', unit: 'g', per: [95, 122, 150], of: { times: 1, of: [area] }, rule: 'later coats about 122 g/m² (8.2 m²/kg, boat handbook read)' }
export const paint = (name: string, area: string): MaterialRule => ({ name, unit: 'ml', per: [80, 100, 125], of: { times: 1, of: [area] }, rule: 'spreading about 10 m²/L in practice: 40 µm dry at 45 % solids and 10–15 % loss by roller' })
