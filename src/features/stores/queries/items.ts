import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { amountField, moneyField } from '../facts/amount-text.ts'
import type { LabelPart } from '../../../core/stock/label.ts'

export const LABEL_COLUMNS = {
  name: true, signalWord: true, pictograms: true, hazards: true, precautions: true, supplier: { select: { name: true, address: true, phone: true } },
} as const
export type { LabelPart }

export type SupplierChoice = { id: string; name: string; isActive: boolean }
export const supplierChoices = (db: Reader): Promise<SupplierChoice[]> =>
  db.supplier.findMany({ select: { id: true, name: true, isActive: true }, orderBy: [{ isActive: 'desc' }, { name: 'asc' }, { id: 'asc' }] })

/** What an empty form begins with. */
export const NEW_ITEM: Record<string, string> = { kind: 'resin', unit: 'g', leadDays: '14' }

export const newItemPage = async (db: Reader) => ({ item: null, values: NEW_ITEM as Record<string, string | string[]>, suppliers: await supplierChoices(db), packs: [], label: null })

export async function editItemPage(db: Reader, itemId: string) {
  const row = found(await db.item.findUnique({
    where: { id: itemId },
    include: {
      supplier: { select: LABEL_COLUMNS.supplier.select },
      packs: { include: { supplier: { select: { name: true } } }, orderBy: [{ isActive: 'desc' }, { qtyMilli: 'asc' }, { name: 'asc' }] },
    },
  }))
  return {
    item: { id: row.id, name: row.name, unit: row.unit, version: row.version, isActive: row.isActive },
    values: itemValues(row),
    suppliers: await supplierChoices(db),
    packs: row.packs.map((pack) => ({
      id: pack.id, name: pack.name, qtyMilli: Number(pack.qtyMilli), priceCents: pack.priceCents, isActive: pack.isActive, supplier: pack.supplier?.name ?? null, orderCode: pack.orderCode,
      values: { name: pack.name, amount: amountField(pack.qtyMilli), price: pack.priceCents === 0 ? '' : moneyField(pack.priceCents), orderCode: pack.orderCode, supplierId: pack.supplierId ?? '' },
    })),
    label: { name: row.name, signalWord: row.signalWord, pictograms: row.pictograms, hazards: row.hazards, precautions: row.precautions, supplier: row.supplier } satisfies LabelPart,
  }
}
export type ItemFormModel = Awaited<ReturnType<typeof editItemPage>> | Awaited<ReturnType<typeof newItemPage>>

type ItemFigures = {
  name: string; kind: string; unit: string; density: number | null; widthMm: number | null; lengthMm: number | null; thicknessMm: number | null; arealMass: number | null
  shelf: string; leadDays: number; safetyMilli: bigint; shelfLifeDays: number | null; openedLifeDays: number | null; isShared: boolean; supplierId: string | null; note: string
  signalWord: string; pictograms: string[]; hazards: string[]; precautions: string[]
}

/** An item as its form sends it. */
export function itemValues(row: ItemFigures): Record<string, string | string[]> {
  const n = (v: number | null) => (v === null ? '' : String(v))
  return {
    name: row.name, kind: row.kind, unit: row.unit, density: n(row.density), widthMm: n(row.widthMm), lengthMm: n(row.lengthMm), thicknessMm: n(row.thicknessMm), arealMass: n(row.arealMass),
    shelf: row.shelf, leadDays: n(row.leadDays), safety: row.safetyMilli === 0n ? '' : amountField(row.safetyMilli), shelfLifeDays: n(row.shelfLifeDays), openedLifeDays: n(row.openedLifeDays),
    ...(row.isShared ? { isShared: 'on' } : {}), supplierId: row.supplierId ?? '', note: row.note,
    signalWord: row.signalWord, pictograms: row.pictograms, hazards: row.hazards.join('\n'), precautions: row.precautions.join('\n'),
  }
}
