import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { isUuid } from '../../../platform/request.ts'
import { toCore, type CureProductRow, type NamedCureProduct } from './core-shape.ts'
import { curesAt } from './cures-at.ts'

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

export async function productsPage(db: Reader) {
  const rows = await db.cureProduct.findMany({ orderBy: [{ isActive: 'desc' }, { kind: 'asc' }, { name: 'asc' }, { id: 'asc' }] })
  return rows.map(({ id, name, kind, isActive, source, referenceTemp, opensMin, closesMin, closesCapMin, sandableMin, fullCureMin }) => ({
    id, name, kind, isActive, isFromMemory: /from memory/i.test(source), referenceTemp, opensMin, closesMin: closesMin ?? closesCapMin, sandableMin, fullCureMin,
  }))
}
export type ProductLine = Awaited<ReturnType<typeof productsPage>>[number]

export async function productPage(db: Reader, productId: string) {
  const row = found(isUuid(productId) ? await db.cureProduct.findUnique({ where: { id: productId } }) : null)
  const open = await db.task.count({ where: { productId, finishedAt: null } })
  return { product: row, table: curesAt(toCore(row)), openTasks: open, values: productValues(row) }
}
export type ProductPageModel = Awaited<ReturnType<typeof productPage>>

/** A product as its form sends it. */
export function productValues(p: CureProductRow): Record<string, string | string[]> {
  const n = (v: number | null) => (v === null ? '' : String(v))
  return {
    version: String(p.version), name: p.name, kind: p.kind, source: p.source, hazard: p.hazard, referenceTemp: n(p.referenceTemp),
    workable: lagText(p.workableMin), dustFree: lagText(p.dustFreeMin), opens: lagText(p.opensMin), closes: lagText(p.closesMin), closesCap: lagText(p.closesCapMin),
    sandable: lagText(p.sandableMin), handleable: lagText(p.handleableMin), fullCure: lagText(p.fullCureMin),
    filmEnergyLow: n(p.filmEnergyLow), filmEnergyHigh: n(p.filmEnergyHigh), potEnergy: n(p.potEnergy), cureFloor: n(p.cureFloor), minAir: n(p.minAir), maxAir: n(p.maxAir),
    maxHumidity: n(p.maxHumidity), dewPointMargin: n(p.dewPointMargin), potLifeMin: n(p.potLifeMin), potMassG: n(p.potMassG), potTemp: n(p.potTemp),
    ratioA: n(p.ratioA), ratioB: n(p.ratioB), ratioBy: p.ratioBy ?? '', densityA: n(p.densityA), densityB: n(p.densityB),
    ...(p.dustSensitive ? { dustSensitive: 'on' } : {}),
  }
}

/** Minutes as data sheets write them: '90 min', '3 h', '7 d'. */
export function lagText(min: number | null): string {
  if (min === null) return ''
  if (min >= 2 * 1440 && min % 1440 === 0) return `${min / 1440} d`
  return min >= 60 && min % 30 === 0 ? `${min / 60} h` : `${min} min`
}
