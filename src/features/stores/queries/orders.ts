import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { isoDate } from '../../../platform/times.ts'
import { supplierChoices } from './items.ts'

/** Orders under way first; of those that are done, the newest. */
export async function ordersPage(db: Reader) {
  const select = {
    id: true, number: true, orderedOn: true, expectedOn: true, state: true, supplier: { select: { name: true } },
    lines: { select: { priceCents: true, item: { select: { name: true } } }, orderBy: { item: { name: 'asc' } } },
  } as const
  const open = await db.stockOrder.findMany({ where: { state: 'open' }, select, orderBy: [{ expectedOn: 'asc' }, { number: 'asc' }] })
  const done = await db.stockOrder.findMany({ where: { state: { not: 'open' } }, select, orderBy: { number: 'desc' }, take: 50 })
  const line = (row: (typeof open)[number]) => ({
    id: row.id, number: row.number, state: row.state, supplier: row.supplier?.name ?? null, orderedOn: isoDate(row.orderedOn), expectedOn: isoDate(row.expectedOn),
    items: [...new Set(row.lines.map(({ item }) => item.name))], priceCents: row.lines.reduce((sum, { priceCents }) => sum + priceCents, 0),
  })
  return { open: open.map(line), done: done.map(line) }
}
export type OrdersModel = Awaited<ReturnType<typeof ordersPage>>

/** What can be ordered: packs, and items loose in their unit. */
export async function orderChoices(db: Reader) {
  const items = await db.item.findMany({
    where: { isActive: true },
    select: { id: true, name: true, unit: true, packs: { where: { isActive: true }, select: { id: true, name: true, qtyMilli: true, priceCents: true }, orderBy: [{ qtyMilli: 'asc' }, { name: 'asc' }] } },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  return items.map((item) => ({ ...item, packs: item.packs.map((pack) => ({ ...pack, qtyMilli: Number(pack.qtyMilli) })) }))
}

export async function newOrderPage(db: Reader, today: string, supplierId = '', values: Record<string, string> = {}) {
  return { choices: await orderChoices(db), suppliers: await supplierChoices(db), values: { orderedOn: today, supplierId, ...values } as Record<string, string> }
}
export type NewOrderModel = Awaited<ReturnType<typeof newOrderPage>>

export async function orderPage(db: Reader, orderId: string) {
  const row = found(await db.stockOrder.findUnique({
    where: { id: orderId },
    include: {
      supplier: { select: { id: true, name: true, phone: true } }, by: { select: { name: true } },
      lines: { include: { item: { select: { id: true, name: true, unit: true } }, pack: { select: { name: true, orderCode: true } } }, orderBy: [{ item: { name: 'asc' } }, { id: 'asc' }] },
      entries: { where: { kind: 'receipt' }, select: { id: true, lot: { select: { id: true, number: true } } }, orderBy: { seq: 'asc' } },
    },
  }))
  return {
    order: {
      id: row.id, number: row.number, state: row.state, orderedOn: isoDate(row.orderedOn), expectedOn: isoDate(row.expectedOn), note: row.note, version: row.version, by: row.by.name, supplier: row.supplier,
    },
    lines: row.lines.map((line) => ({
      id: line.id, item: line.item, pack: line.pack, packs: line.packs, qtyMilli: Number(line.qtyMilli), receivedMilli: Number(line.receivedMilli), priceCents: line.priceCents,
    })),
    lots: [...new Map(row.entries.map(({ lot }) => [lot.id, lot])).values()],
  }
}
export type OrderModel = Awaited<ReturnType<typeof orderPage>>
