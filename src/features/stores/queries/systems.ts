import { massRatio, split, type Densities, type MassRatio, type Ratio } from '../../../core/stock/index.ts'
import { milli, milligrams, type Milli, type Milligrams } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import type { StockUnit } from '../../../platform/generated/enums.ts'

/** An item of a system. Resin that is sold by volume has its density, so that a mass of it is known. */
export type PartItem = { id: string; name: string; unit: StockUnit; density: number | null }

/** A cure product with its resin and hardener in the stores, and how it is mixed. */
export type StoresSystem = {
  productId: string
  name: string
  resin: PartItem
  hardener: PartItem
  /** As its data sheet says it; null where nobody put it in. */
  ratio: Ratio | null
  densities: Densities | null
  /** null: no ratio, or one by volume without the densities. Nothing is split then. */
  massRatio: MassRatio | null
  batchLimitMg: Milligrams
  scaleStepMg: Milligrams
  strokes: { aMg: Milligrams; bMg: Milligrams } | null
  potLifeMin: number | null
  potMassG: number | null
  potTemp: number | null
  hazard: string
}
export type Systems = ReadonlyMap<string, StoresSystem>

const part = { select: { id: true, name: true, unit: true, density: true } } as const

/** As the data sheet says it: the database keeps no parts without by what. */
export const ratioOf = ({ ratioBy: by, ratioA: a, ratioB: b }: { ratioBy: Ratio['by'] | null; ratioA: number | null; ratioB: number | null }): Ratio | null =>
  by === null || a === null || b === null ? null : { by, a, b }

/** All systems, by their cure product. */
export async function loadSystems(db: Reader): Promise<Map<string, StoresSystem>> {
  const rows = await db.system.findMany({ include: { resin: part, hardener: part, product: true }, orderBy: { product: { name: 'asc' } } })
  return new Map(rows.map(({ product: p, ...row }): [string, StoresSystem] => {
    const densityA = p.densityA ?? row.resin.density
    const densityB = p.densityB ?? row.hardener.density
    const densities = densityA === null || densityB === null ? null : { a: densityA, b: densityB }
    const ratio = ratioOf(p)
    const byMass = ratio === null ? null : massRatio(ratio, densities)
    const { strokeResinMg: a, strokeHardenerMg: b } = row
    return [row.productId, {
      productId: row.productId,
      name: p.name,
      resin: { ...row.resin, density: row.resin.density ?? p.densityA },
      hardener: { ...row.hardener, density: row.hardener.density ?? p.densityB },
      ratio,
      densities,
      massRatio: byMass?.ok ? byMass.value : null,
      batchLimitMg: milligrams(Number(row.batchLimitMg)),
      scaleStepMg: milligrams(Number(row.scaleStepMg)),
      strokes: a === null || b === null ? null : { aMg: milligrams(Number(a)), bMg: milligrams(Number(b)) },
      potLifeMin: p.potLifeMin,
      potMassG: p.potMassG,
      potTemp: p.potTemp,
      hazard: p.hazard,
    }]
  }))
}

/** A mass of an item in thousandths of its unit; null where the item is counted in something else, or its density is not known. */
export function massAsStock({ unit, density }: Pick<PartItem, 'unit' | 'density'>, mg: number): Milli | null {
  if (unit === 'g') return milli(Math.round(mg))
  return unit === 'ml' && density !== null ? milli(Math.round(mg / density)) : null
}

/** What a stock amount weighs; null as above. */
export function stockAsMass({ unit, density }: Pick<PartItem, 'unit' | 'density'>, qtyMilli: number): Milligrams | null {
  if (unit === 'g') return milligrams(Math.round(qtyMilli))
  return unit === 'ml' && density !== null ? milligrams(Math.round(qtyMilli * density)) : null
}

/** A task's material as it stands in its row: `likely` in `unit`. */
export type NeedRow = { itemId: string | null; productId: string | null; unit: string; likely: number; structural: boolean }
export type ItemNeed = { itemId: string; milli: Milli; structural: boolean }

/**
 * Needs of items: a mixed mass (g) becomes resin and hardener by its product's ratio; needs of one item are summed, those that must be
 * fit for structure apart. What is not in the stores (no item, no system, no ratio) is left out.
 */
export function itemNeeds(rows: readonly NeedRow[], systems: Systems): ItemNeed[] {
  const sums = new Map<string, { itemId: string; milli: number; structural: boolean }>()
  const add = (itemId: string, amount: number | null, structural: boolean) => {
    if (amount === null || amount <= 0) return
    const key = `${itemId} ${structural}`
    const sum = sums.get(key)
    if (sum) sum.milli += amount
    else sums.set(key, { itemId, milli: amount, structural })
  }
  for (const row of rows) {
    if (row.itemId !== null) add(row.itemId, Math.round(row.likely * 1000), row.structural)
    const system = row.productId === null ? undefined : systems.get(row.productId)
    if (!system?.massRatio || row.unit !== 'g') continue
    const { a, b } = split(milligrams(Math.round(row.likely * 1000)), system.massRatio)
    add(system.resin.id, massAsStock(system.resin, a), row.structural)
    add(system.hardener.id, massAsStock(system.hardener, b), row.structural)
  }
  return [...sums.values()].map((sum) => ({ ...sum, milli: milli(sum.milli) }))
}
