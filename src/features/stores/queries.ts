import type { Reader } from '../../platform/database.ts'
import { toCore, type NamedCureProduct } from './core-shape.ts'

/** All cure products, retired ones too: coats that are on may still be curing. */
export async function loadCureProducts(db: Reader): Promise<NamedCureProduct[]> {
  const rows = await db.cureProduct.findMany({ orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  return rows.map(toCore)
}

export type ProductChoice = { id: string; name: string; kind: string; hazard: string; isActive: boolean }

/** For choosing one in a form. */
export async function productChoices(db: Reader): Promise<ProductChoice[]> {
  return db.cureProduct.findMany({
    select: { id: true, name: true, kind: true, hazard: true, isActive: true },
    orderBy: [{ isActive: 'desc' }, { kind: 'asc' }, { name: 'asc' }, { id: 'asc' }],
  })
}
