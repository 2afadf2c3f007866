import type { Tx } from '../../platform/database.ts'
import { defaultCureProducts } from './defaults.ts'

/** Puts in the usual products that are not there yet by name. @returns how many are new */
export async function seedCureProducts(tx: Tx): Promise<number> {
  const { count } = await tx.cureProduct.createMany({ data: defaultCureProducts.map((row) => ({ ...row })), skipDuplicates: true })
  return count
}
