import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { dateColumn, isoDate, localDate } from '../../../platform/times.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { parseAmount, parseMoney } from '../facts/amount-text.ts'
import type { EditOrderInput, OrderInput } from '../schemas/buying.ts'

type Saved = Promise<Result<Done, Refusal>>

/** A line of an order: whole packs, or an amount in the item's unit (`packId` null, `packs` 1). */
export type NewOrderLine = { itemId: string; packId: string | null; packs: number; qtyMilli: number; priceCents: number }
export type NewOrder = { supplierId: string | null; orderedOn: string; expectedOn: string; note?: string; lines: readonly NewOrderLine[] }

/** Writes an order that was checked already: what the buying list makes, and the order form. @returns its id and number */
export async function placeOrder(tx: Tx, ctx: Ctx, { supplierId, orderedOn, expectedOn, note = '', lines }: NewOrder): Promise<{ orderId: string; number: number }> {
  const order = await tx.stockOrder.create({
    data: {
      supplierId, orderedOn: dateColumn(orderedOn), expectedOn: dateColumn(expectedOn), note, byId: ctx.member.id,
      lines: { create: lines.map(({ qtyMilli, ...line }) => ({ ...line, qtyMilli: BigInt(qtyMilli) })) },
    },
    select: { id: true, number: true },
  })
  await audit(tx, ctx, { what: 'stock ordered', entity: 'stock_order', entityId: order.id, after: { supplierId, orderedOn, expectedOn, lines } })
  await requestReplan(tx, `Order ${order.number} is under way`, ctx)
  return { orderId: order.id, number: order.number }
}

type Row = OrderInput['rows'][number]

async function readRow(tx: Tx, row: Row): Promise<Result<NewOrderLine, Record<string, string>>> {
  const bad = (field: 'what' | 'qty' | 'price', message: string) => ({ ok: false as const, refusal: { [`${field}${row.at}`]: `Line ${row.at + 1}: ${message}` } })
  const [kind, id = ''] = row.what.split(':')
  const isUuid = /^[0-9a-f-]{36}$/i.test(id)
  const pack = kind === 'pack' && isUuid ? await tx.itemPack.findUnique({ where: { id }, select: { itemId: true, qtyMilli: true, priceCents: true } }) : null
  const item = kind === 'item' && isUuid ? await tx.item.findUnique({ where: { id }, select: { id: true, unit: true, density: true, widthMm: true } }) : null
  if (!pack && !item) return bad('what', 'choose what is ordered')
  const money = row.price === '' ? null : parseMoney(row.price)
  if (money && !money.ok) return bad('price', money.message)
  if (item) {
    const amount = parseAmount(row.qty, item.unit, item)
    if (!amount.ok) return bad('qty', amount.message)
    if (amount.milli === 0) return bad('qty', 'more than nothing')
    return ok({ itemId: item.id, packId: null, packs: 1, qtyMilli: amount.milli, priceCents: money?.cents ?? 0 })
  }
  const packs = /^\d{1,5}$/.test(row.qty) ? Number(row.qty) : 0
  if (packs === 0) return bad('qty', row.qty === '' ? 'say how many packs' : `“${row.qty}” is no number of packs: write a whole number from 1 on`)
  return ok({ itemId: pack!.itemId, packId: id, packs, qtyMilli: packs * Number(pack!.qtyMilli), priceCents: money?.cents ?? packs * pack!.priceCents })
}

export async function orderStock(tx: Tx, ctx: Ctx, { rows, ...input }: OrderInput): Saved {
  if (rows.length === 0) return refused(422, 'Nothing is on this order yet.', { fields: { what0: 'Line 1: choose what is ordered' } })
  const today = localDate(ctx.clubZone, ctx.now)
  const fields: Record<string, string> = {}
  if (input.orderedOn > today) fields['orderedOn'] = 'Ordered on: not in the future; write the order when it is made'
  if (input.supplierId !== null && !(await tx.supplier.findUnique({ where: { id: input.supplierId }, select: { id: true } }))) fields['supplierId'] = 'Supplier: choose from the list'
  const lines: NewOrderLine[] = []
  for (const row of rows) {
    const read = await readRow(tx, row)
    if (read.ok) lines.push(read.value)
    else Object.assign(fields, read.refusal)
  }
  if (Object.keys(fields).length > 0) return refused(422, 'Nothing was ordered: see the notes at the lines.', { fields })
  const { orderId, number } = await placeOrder(tx, ctx, { ...input, lines })
  return ok({ location: `/stores/orders/${orderId}`, flash: `Order ${number} is under way; plans count on it from ${input.expectedOn} on.` })
}

export async function changeOrder(tx: Tx, ctx: Ctx, orderId: string, { version, expectedOn, note }: EditOrderInput): Saved {
  const before = await tx.stockOrder.findUnique({ where: { id: orderId } })
  if (!before) return refused(404, 'This order is not there any more.')
  if (before.state !== 'open') return refused(422, 'This order is not open any more.')
  if (expectedOn < isoDate(before.orderedOn)) return refused(422, 'Nothing was changed: see the note at the field.', { fields: { expectedOn: 'Expected on: before it was ordered' } })
  const { count } = await tx.stockOrder.updateMany({ where: { id: orderId, version }, data: { expectedOn: dateColumn(expectedOn), note, version: { increment: 1 } } })
  if (count === 0) return refused(409, 'Somebody changed this order meanwhile.', { current: { expectedOn: isoDate(before.expectedOn), note: before.note } })
  await audit(tx, ctx, { what: 'order changed', entity: 'stock_order', entityId: orderId, before, after: { expectedOn, note } })
  if (expectedOn !== isoDate(before.expectedOn)) await requestReplan(tx, `Order ${before.number} is expected on ${expectedOn}`, ctx)
  return ok({ location: `/stores/orders/${orderId}`, flash: 'Saved.' })
}

/** Nothing more will come: an order of which something came is done, else it is called off. */
export async function endOrder(tx: Tx, ctx: Ctx, orderId: string, version: number): Saved {
  const before = await tx.stockOrder.findUnique({ where: { id: orderId }, include: { lines: { select: { receivedMilli: true } } } })
  if (!before) return refused(404, 'This order is not there any more.')
  if (before.state !== 'open') return refused(422, 'This order is not open any more.')
  const state = before.lines.some(({ receivedMilli }) => receivedMilli > 0n) ? 'received' : 'cancelled'
  const { count } = await tx.stockOrder.updateMany({ where: { id: orderId, version }, data: { state, version: { increment: 1 } } })
  if (count === 0) return refused(409, 'Somebody changed this order meanwhile: look at it again.')
  await audit(tx, ctx, { what: state === 'cancelled' ? 'order called off' : 'rest of an order given up', entity: 'stock_order', entityId: orderId })
  await requestReplan(tx, `Order ${before.number} brings nothing more`, ctx)
  return ok({ location: `/stores/orders/${orderId}`, flash: state === 'cancelled' ? `Order ${before.number} is called off.` : `Order ${before.number} is done; its rest is not counted on any more.` })
}
