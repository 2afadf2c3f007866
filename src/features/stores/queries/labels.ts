import type { Reader } from '../../../platform/database.ts'
import { qrSquares } from '../../../platform/qr.ts'
import { LABEL_COLUMNS } from './items.ts'

/** All items to choose from, and a label for each that is chosen; `base` is this service's own address. */
export async function labelsPage(db: Reader, chosen: ReadonlySet<string>, base: string) {
  const rows = await db.item.findMany({
    where: { OR: [{ isActive: true }, { id: { in: [...chosen] } }] },
    select: { id: true, unit: true, kind: true, shelf: true, ...LABEL_COLUMNS },
    orderBy: [{ shelf: 'asc' }, { name: 'asc' }, { id: 'asc' }],
  })
  return {
    items: rows.map(({ id, name, shelf }) => ({ id, name, shelf, isChosen: chosen.has(id) })),
    labels: rows.filter(({ id }) => chosen.has(id)).map(({ id, unit, shelf, ...part }) => {
      const address = `${base}/stores/items/${id}`
      return { id, unit, shelf, part, address, qr: qrSquares(address) }
    }),
    /** An address that only the machine itself can open. */
    isLocal: /^https?:\/\/(localhost|127\.|\[::1\])/.test(base),
  }
}
export type LabelsModel = Awaited<ReturnType<typeof labelsPage>>
