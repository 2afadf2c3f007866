import { ok, type Result } from '../../../core/result.ts'
import { addDays } from '../../../core/calendar/index.ts'
import { cents } from '../../../core/units/index.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { dateColumn } from '../../../platform/times.ts'
import { refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { refusalWords } from '../facts/ledger-words.ts'
import { asMilli, bookOn, CLUB_HOLDER, lockAccount, mayHold, save, todayOf } from './ledger-base.ts'

export type ReceiveStock = {
  itemId: string
  qtyMilli: number
  valueCents: number
  receivedOn: string
  /** The supplier's lot code, '' where none is on it. */
  code: string
  supplierId?: string | null | undefined
  /** Else by the item's shelf life, where it has one. */
  expiresOn?: string | null | undefined
  openedOn?: string | null | undefined
  tareMg?: number | null | undefined
  holderId?: string | undefined
  orderId?: string | undefined
  note?: string | undefined
}

/** One delivery of an item: a lot of its own with its receipt. */
export async function receiveStock(tx: Tx, ctx: Ctx, input: ReceiveStock): Promise<Result<{ lotId: string; number: number; entryId: string }, Refusal>> {
  const holderId = input.holderId ?? CLUB_HOLDER
  const wrong = faultsOf(input, todayOf(ctx))
  if (Object.keys(wrong).length > 0) return refused(422, Object.values(wrong)[0] ?? '', { fields: wrong })
  if (holderId === CLUB_HOLDER ? !ctx.may('stores.book') : !(await mayHold(tx, ctx, holderId))) {
    return refused(403, holderId === CLUB_HOLDER ? 'The storekeeper books what comes in for the club.' : 'That is another member’s own stock.')
  }
  const item = await tx.item.findUnique({ where: { id: input.itemId }, select: { name: true, shelfLifeDays: true, isActive: true, supplierId: true } })
  if (!item) return refused(404, 'This item is not in the stores any more.')
  const expiresOn = input.expiresOn === undefined ? (item.shelfLifeDays === null ? null : addDays(input.receivedOn, item.shelfLifeDays)) : input.expiresOn
  const to = await lockAccount(tx, ctx, input.itemId, holderId, [])
  if (!to) return refused(404, 'This item is not in the stores any more.')
  if (input.orderId !== undefined) {
    const refusal = await fillOrder(tx, input.orderId, input.itemId, input.qtyMilli)
    if (refusal) return refusal
  }
  const date = (iso: string | null | undefined) => (iso ? dateColumn(iso) : null)
  const lot = await tx.lot.create({
    data: {
      itemId: input.itemId, code: input.code.trim(), supplierId: input.supplierId === undefined ? item.supplierId : input.supplierId, receivedOn: dateColumn(input.receivedOn),
      expiresOn: date(expiresOn), openedOn: date(input.openedOn), tareMg: input.tareMg ?? null, note: input.note ?? '',
    },
    select: { id: true, number: true },
  })
  const draft = { kind: 'receipt', qty: asMilli(input.qtyMilli), value: cents(input.valueCents) } as const
  const booked = bookOn(to, lot.id, draft, { kind: 'receipt', on_date: input.receivedOn, why: input.note ?? '', order_id: input.orderId ?? null })
  if (!booked.ok) return refused(422, refusalWords(booked.refusal, to.unit), { fields: { [booked.refusal.kind === 'too-large' && booked.refusal.of === 'value' ? 'cost' : 'amount']: refusalWords(booked.refusal, to.unit) } })
  await save(tx, ctx, to)
  if (holderId === CLUB_HOLDER) await requestReplan(tx, `${item.name} came in`, ctx)
  return ok({ lotId: lot.id, number: lot.number, entryId: booked.value.id })
}

function faultsOf({ qtyMilli, valueCents, receivedOn, expiresOn, openedOn, tareMg }: ReceiveStock, today: string): Record<string, string> {
  return {
    ...(!Number.isSafeInteger(qtyMilli) || qtyMilli <= 0 ? { amount: 'Say how much came: more than nothing.' } : {}),
    ...(!Number.isSafeInteger(valueCents) || valueCents < 0 ? { cost: 'Say what it cost: 0 or more.' } : {}),
    ...(receivedOn > today ? { receivedOn: 'That day is still to come: a lot is booked when it has arrived.' } : {}),
    ...(receivedOn < addDays(today, -LONGEST_AGO) ? { receivedOn: 'That is very long ago: look at the year.' } : {}),
    ...(expiresOn && expiresOn < receivedOn ? { expiresOn: 'It would have gone off before it came: look at both dates.' } : {}),
    ...(openedOn && openedOn > today ? { openedOn: 'That day is still to come.' } : {}),
    ...(tareMg !== undefined && tareMg !== null && tareMg < 0 ? { tare: 'An empty can weighs something.' } : {}),
  }
}

/** 20 years: old resin is opened, older books are not. */
const LONGEST_AGO = 7305

/** Books what came against the open lines of the order, the first lines first; more than was ordered goes to the last. */
async function fillOrder(tx: Tx, orderId: string, itemId: string, qtyMilli: number) {
  const [order] = await tx.$queryRaw<{ state: string; number: number }[]>`select state::text, number from stock_order where id = ${orderId}::uuid for update`
  if (!order) return refused(404, 'This order is not there any more.')
  if (order.state !== 'open') return refused(409, `Order ${order.number} is ${order.state} already.`)
  const lines = await tx.orderLine.findMany({ where: { orderId, itemId }, orderBy: { id: 'asc' } })
  if (lines.length === 0) return refused(422, 'This item is not on the order: book it by itself.', { fields: { itemId: 'This item is not on the order: book it by itself.' } })
  let rest = qtyMilli
  for (const [at, line] of lines.entries()) {
    const open = Number(line.qtyMilli - line.receivedMilli)
    const here = at === lines.length - 1 ? rest : Math.max(0, Math.min(open, rest))
    if (here === 0) continue
    await tx.orderLine.update({ where: { id: line.id }, data: { receivedMilli: { increment: here } } })
    rest -= here
  }
  await setOrderState(tx, orderId)
  return null
}

/** An order is received when every line is. */
async function setOrderState(tx: Tx, orderId: string): Promise<void> {
  await tx.$executeRaw`
    update stock_order set version = version + 1,
      state = case when exists (select from order_line where order_id = ${orderId}::uuid and received_milli < qty_milli) then 'open' else 'received' end::"OrderState"
    where id = ${orderId}::uuid and state <> 'cancelled'`
}

/** The receipt of an order's line was reversed: its line is open again. */
export async function unfillOrder(tx: Tx, orderId: string, itemId: string, qtyMilli: number): Promise<void> {
  await tx.$queryRaw`select from stock_order where id = ${orderId}::uuid for update`
  let rest = qtyMilli
  for (const line of await tx.orderLine.findMany({ where: { orderId, itemId }, orderBy: { id: 'desc' } })) {
    const here = Math.min(Number(line.receivedMilli), rest)
    if (here === 0) continue
    await tx.orderLine.update({ where: { id: line.id }, data: { receivedMilli: { decrement: here } } })
    rest -= here
  }
  await setOrderState(tx, orderId)
}
