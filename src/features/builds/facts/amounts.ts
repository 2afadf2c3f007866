/** What a task asks for, in the unit of the item that it is. Pure. */

export type Measure = { unit: string; density: number | null; widthMm: number | null }

const UNIT: Record<string, string> = { g: 'g', ml: 'ml', m: 'm', m2: 'm²', pcs: 'pieces' }
export const unitWord = (unit: string): string => UNIT[unit] ?? unit

/** The kinds of item that carry load; the others may be drawn from what is not fit for structure. */
const LOAD_BEARING = new Set(['resin', 'hardener', 'filler', 'cloth', 'tape', 'ply', 'timber', 'fastener'])
export const carriesLoad = (kind: string): boolean => LOAD_BEARING.has(kind)
/** Of a mixed amount, by the kind of its cure product: paint, primer, varnish and fairing carry none. */
export const mixCarriesLoad = (productKind: string): boolean => productKind === 'epoxy' || productKind === 'glue'

/**
 * An amount in another unit, only where that is exact: the same unit, g and ml by the density (g/cm³), m and m² by the width of the
 * goods. Null where it can't be said: a sheet is no number of m², for nobody knows the offcuts.
 */
export function inUnitOf(amount: number, unit: string, item: Measure): number | null {
  if (unit === item.unit) return amount
  const width = item.widthMm === null ? null : item.widthMm / 1000
  switch (`${unit} ${item.unit}`) {
    case 'g ml': return item.density === null ? null : amount / item.density
    case 'ml g': return item.density === null ? null : amount * item.density
    case 'm m2': return width === null ? null : amount * width
    case 'm2 m': return width === null ? null : amount / width
    default: return null
  }
}

/** Why an amount can't be said in the item's unit, for beside the field; null when it can. */
export function mismatch(unit: string, item: Measure & { name: string }): string | null {
  if (inUnitOf(1, unit, item) !== null) return null
  const both = `asked for in ${unitWord(unit)}, and “${item.name}” is kept in ${unitWord(item.unit)}`
  const pair = [unit, item.unit].sort().join(' ')
  if (pair === 'g ml') return `${both}: enter its density at the item, or another unit here`
  if (pair === 'm m2') return `${both}: enter its width at the item, or another unit here`
  return `${both}, which can’t be worked out: choose another item, or another unit`
}

export const MIXED_IN_G = 'a mixed amount is weighed: ask for it in g, or choose an item'
