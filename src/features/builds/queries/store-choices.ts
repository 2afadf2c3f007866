import type { Reader } from '../../../platform/database.ts'
import { remembered, type Choice, type Mix, type StoreItem } from '../facts/material-choice.ts'

/** What a material can be tied to: items in use (and those that are named), and cure products with resin and hardener in the stores. */
export async function storeChoices(db: Reader): Promise<{ items: StoreItem[]; products: Mix[]; mixes: Mix[] }> {
  const items = await db.item.findMany({
    select: { id: true, name: true, kind: true, unit: true, density: true, widthMm: true, arealMass: true, thicknessMm: true, isActive: true },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const rows = await db.cureProduct.findMany({
    select: { id: true, name: true, kind: true, system: { select: { productId: true } } },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const products = rows.map(({ system: _system, ...p }) => p)
  return { items, products, mixes: rows.filter((r) => r.system !== null).map(({ system: _system, ...p }) => p) }
}
export type StoreChoices = Awaited<ReturnType<typeof storeChoices>>

/** What the club has said that names stand for. */
export async function knownNames(db: Reader): Promise<Map<string, Choice>> {
  return new Map((await db.materialName.findMany({ orderBy: { name: 'asc' } })).map((row) => [row.name, remembered(row)]))
}
