import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { isUuid } from '../../../platform/request.ts'

type SystemFigures = { resinItemId: string; hardenerItemId: string; batchLimitMg: bigint; scaleStepMg: bigint; strokeResinMg: bigint | null; strokeHardenerMg: bigint | null }

/** A system as its form sends it. */
export function systemValues(row: SystemFigures): Record<string, string> {
  const g = (v: bigint | null) => (v === null ? '' : String(Number(v) / 1000))
  return {
    resinItemId: row.resinItemId, hardenerItemId: row.hardenerItemId, batchLimit: g(row.batchLimitMg), scaleStep: g(row.scaleStepMg),
    strokeResin: g(row.strokeResinMg), strokeHardener: g(row.strokeHardenerMg),
  }
}

export async function systemFormPage(db: Reader, productId: string) {
  const product = found(isUuid(productId) ? await db.cureProduct.findUnique({ where: { id: productId }, include: { system: true } }) : null)
  const items = await db.item.findMany({
    where: { unit: { in: ['g', 'ml'] } },
    select: { id: true, name: true, kind: true, isActive: true }, orderBy: [{ isActive: 'desc' }, { name: 'asc' }, { id: 'asc' }],
  })
  return {
    product: {
      id: product.id, name: product.name, hazard: product.hazard,
      ratio: product.ratioA === null || product.ratioB === null || product.ratioBy === null ? null : { a: product.ratioA, b: product.ratioB, by: product.ratioBy },
      potLifeMin: product.potLifeMin, potMassG: product.potMassG,
    },
    version: product.system?.version ?? 0,
    values: product.system ? systemValues(product.system) : { batchLimit: '300', scaleStep: '1' },
    items,
  }
}
export type SystemFormModel = Awaited<ReturnType<typeof systemFormPage>>
