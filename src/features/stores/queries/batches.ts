import type { Reader } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { found } from '../../../platform/errors.ts'
import { isUuid } from '../../../platform/request.ts'
import { stockAsMass } from './systems.ts'

const shape = {
  id: true, number: true, mixedAt: true, massMg: true, ratio: true, note: true, byId: true,
  by: { select: { name: true } },
  product: { select: { id: true, name: true, potLifeMin: true, potMassG: true, potTemp: true, hazard: true, densityA: true, densityB: true, system: { select: { resinItemId: true } } } },
  build: { select: { id: true, name: true } },
  task: { select: { id: true, name: true } },
  entries: {
    where: { kind: 'draw' },
    select: {
      id: true, qtyMilli: true, byId: true, chargedTo: { select: { name: true } }, reversedBy: { select: { why: true, by: { select: { name: true } } } },
      lot: { select: { id: true, number: true, code: true } },
      item: { select: { id: true, name: true, unit: true, density: true, signalWord: true, pictograms: true, hazards: true, precautions: true, supplier: { select: { name: true, address: true, phone: true } } } },
    },
    orderBy: { seq: 'asc' },
  },
} satisfies Prisma.BatchSelect
type Row = Prisma.BatchGetPayload<{ select: typeof shape }>

function batchOf(row: Row) {
  const { product } = row
  const parts = row.entries.map((e) => {
    const isResin = product.system?.resinItemId === e.item.id
    const density = e.item.density ?? (isResin ? product.densityA : product.densityB)
    return {
      entryId: e.id, isResin, itemId: e.item.id, name: e.item.name, unit: e.item.unit, milli: -Number(e.qtyMilli), mg: stockAsMass({ unit: e.item.unit, density }, -Number(e.qtyMilli)),
      lotId: e.lot.id, lot: e.lot.number, code: e.lot.code, byId: e.byId, label: e.item,
    }
  }).toSorted((a, b) => Number(b.isResin) - Number(a.isResin))
  const undone = row.entries.flatMap((e) => e.reversedBy ?? [])
  return {
    id: row.id, number: row.number, mixedAt: row.mixedAt, massMg: Number(row.massMg), ratio: row.ratio, note: row.note, by: row.by.name, byId: row.byId,
    product: { id: product.id, name: product.name, hazard: product.hazard }, potLife: product.potLifeMin === null ? null : { minutes: product.potLifeMin, massG: product.potMassG, temp: product.potTemp },
    build: row.build, task: row.task, parts, chargedTo: row.entries.find((e) => e.chargedTo !== null)?.chargedTo?.name ?? null,
    undone: row.entries.length > 0 && undone.length === row.entries.length ? { why: undone[0]!.why, by: undone[0]!.by.name } : null,
  }
}
export type BatchLine = ReturnType<typeof batchOf>

/** Batches of a task, or the latest that went to no build; newest first. */
export async function batchLines(db: Reader, of: { taskId: string } | { buildId: null }, most = 40): Promise<BatchLine[]> {
  return (await db.batch.findMany({ where: of, select: shape, orderBy: [{ mixedAt: 'desc' }, { number: 'desc' }], take: most })).map(batchOf)
}

/** Mixed for a task so far, in mg, by product; batches taken back count no more. */
export async function mixedFor(db: Reader, taskId: string): Promise<Map<string, number>> {
  const rows = await db.batch.findMany({ where: { taskId, entries: { some: { kind: 'draw', reversedBy: null } } }, select: { productId: true, massMg: true } })
  const mixed = new Map<string, number>()
  for (const { productId, massMg } of rows) mixed.set(productId, (mixed.get(productId) ?? 0) + Number(massMg))
  return mixed
}

/** One batch; of a build that a person may not see, none. */
export async function batchPage(db: Reader, batchId: string, member: { id: string; roles: readonly string[] }): Promise<BatchLine> {
  const row = found(isUuid(batchId) ? await db.batch.findUnique({ where: { id: batchId }, select: { ...shape, build: { select: { id: true, name: true, visibility: true, team: { where: { memberId: member.id }, select: { memberId: true } } } } } }) : null)
  const { build } = row
  found(build === null || build.visibility === 'club' || build.team.length > 0 || member.roles.includes('officer') ? row : null)
  return batchOf(row)
}
