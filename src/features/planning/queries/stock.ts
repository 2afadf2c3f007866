/** What planning reads of the stores: items, what is there and on order, and what the work plan asks for. */
import { addDays, dayOf, instantToLocal, type OffsetTable } from '../../../core/calendar/index.ts'
import type { DatedUse } from '../../../core/stock/index.ts'
import { instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { CLUB_HOLDER, stockOf } from '../../stores/public.ts'
import { LOOK_BACK_DAYS, lookAhead, type Ahead, type Days, type Question } from '../outlook.ts'
import type { StockNeed, StockOrder, StockPack } from '../stock-model.ts'
import { DAY, dateColumn, isoDate, localAt, nowInstant, toInstant } from '../times.ts'
import { planNeeds, type PlanNeed } from './needs.ts'
import { SHOWN } from './plans.ts'
import { zoneAround } from './sessions.ts'

/** The least that is looked ahead, in days. */
const LEAST_AHEAD_DAYS = 56
/** An order whose day has gone by is taken to come so soon. */
const OVERDUE_COMES = DAY

export type Stock = {
  readonly days: Days
  readonly questions: readonly Question[]
  readonly planId: bigint | null
  /** The plan's last day with a need of any item, or eight weeks from now: so far is looked ahead by itself. */
  readonly until: number
  /** Sessions are entered up to here; beyond, people are only assumed to come. */
  readonly knownUntil: number
}

const daysOf = (zone: OffsetTable, at: Date): Days => {
  const now = nowInstant(at)
  return {
    now,
    today: instantToLocal(zone, now).date,
    dateAt: (t) => instantToLocal(zone, instant(t)).date,
    endOf: (date) => localAt(zone, date, '24:00'),
  }
}

export type StockAsk = { readonly itemIds?: readonly string[]; /** With how the items are sold, for buying. */ readonly packs?: boolean }

/** Items in use, or those named; in order of name. */
export async function loadStock(db: Reader, at: Date, { itemIds, packs = false }: StockAsk = {}): Promise<Stock> {
  const days = daysOf(await zoneAround(db, at), at)
  const some = itemIds ? { in: [...itemIds] } : undefined
  const plan = await db.plan.findFirst({ where: { status: { in: SHOWN } }, orderBy: { id: 'desc' }, select: { id: true, fromAt: true } })
  const needs = byItem(plan ? await planNeeds(db, { id: plan.id, fromAt: toInstant(plan.fromAt) }, itemIds ? { itemIds } : {}) : [])
  const lastNeed = plan ? await db.planNeed.aggregate({ where: { planId: plan.id }, _max: { wantedAt: true } }) : null
  const items = await db.item.findMany({
    where: some ? { id: some } : { OR: [{ isActive: true }, { id: { in: [...needs.keys()] } }, { accounts: { some: { qtyMilli: { gt: 0 } } } }] },
    select: ITEM, orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const ids = items.map((i) => i.id)
  const sold = packs ? await packsOf(db, ids) : new Map<string, StockPack[]>()
  const there = await stockOf(db, days.today, ids)
  const orders = await ordersOf(db, days, ids)
  const unplanned = ids.filter((id) => !needs.has(id))
  const draws = await drawsOf(db, days.today, unplanned)
  const since = await firstDays(db, unplanned)
  const lastSession = await db.session.aggregate({ where: { state: { not: 'cancelled' } }, _max: { date: true } })
  const last = lastNeed?._max.wantedAt
  return {
    days, planId: plan?.id ?? null,
    until: Math.max(days.now + LEAST_AHEAD_DAYS * DAY, last ? days.endOf(days.dateAt(toInstant(last))) : 0),
    knownUntil: lastSession._max.date ? days.endOf(isoDate(lastSession._max.date)) : days.now,
    questions: items.map((row): Question => ({
      item: { ...row, safetyMilli: Number(row.safetyMilli), packs: sold.get(row.id) ?? [] },
      there: thereOf(there.get(row.id)),
      orders: orders.get(row.id) ?? [],
      needs: needs.get(row.id) ?? [],
      draws: needs.has(row.id) ? null : (draws.get(row.id) ?? []),
      since: since.get(row.id) ?? null,
    })),
  }
}

/** Every item ahead to the end of the plan. */
export const aheadOf = ({ questions, days }: Stock, until: number | null = null, withUndated = false): Ahead[] =>
  questions.map((q) => lookAhead(q, days, until, withUndated))

const NAMED = { select: { id: true, name: true } } as const
const ITEM = { id: true, name: true, unit: true, shelf: true, leadDays: true, safetyMilli: true, supplier: NAMED } satisfies Prisma.ItemSelect

async function packsOf(db: Reader, ids: readonly string[]): Promise<Map<string, StockPack[]>> {
  const rows = await db.itemPack.findMany({
    where: { itemId: { in: [...ids] }, isActive: true }, orderBy: [{ qtyMilli: 'asc' }, { id: 'asc' }],
    select: { id: true, itemId: true, name: true, qtyMilli: true, priceCents: true, orderCode: true, supplier: NAMED },
  })
  const packs = new Map<string, StockPack[]>()
  for (const { itemId, qtyMilli, ...p } of rows) packs.set(itemId, [...(packs.get(itemId) ?? []), { ...p, milli: Number(qtyMilli) }])
  return packs
}

const thereOf = (of: { fresh: number | bigint; notStructural: number | bigint; testFirst: number | bigint } | undefined) =>
  ({ fresh: Number(of?.fresh ?? 0), notStructural: Number(of?.notStructural ?? 0), testFirst: Number(of?.testFirst ?? 0) })

function byItem(rows: readonly PlanNeed[]): Map<string, StockNeed[]> {
  const needs = new Map<string, StockNeed[]>()
  for (const { itemId, wantedAt, ...r } of rows) needs.set(itemId, [...(needs.get(itemId) ?? []), { ...r, at: wantedAt }])
  return needs
}

async function ordersOf(db: Reader, days: Days, ids: readonly string[]): Promise<Map<string, StockOrder[]>> {
  const rows = await db.orderLine.findMany({
    where: { itemId: { in: [...ids] }, order: { state: 'open' } },
    select: {
      itemId: true, qtyMilli: true, receivedMilli: true,
      order: { select: { id: true, number: true, expectedOn: true, supplier: { select: { name: true } } } },
    },
    orderBy: [{ order: { expectedOn: 'asc' } }, { order: { number: 'asc' } }, { id: 'asc' }],
  })
  const orders = new Map<string, StockOrder[]>()
  for (const { itemId, qtyMilli, receivedMilli, order } of rows) {
    const left = Number(qtyMilli - receivedMilli)
    if (left <= 0) continue
    const due = isoDate(order.expectedOn)
    const end = days.endOf(due)
    const isOverdue = end <= days.now
    const one: StockOrder = {
      orderId: order.id, number: order.number, supplier: order.supplier?.name ?? null, due, at: isOverdue
        ? days.now + OVERDUE_COMES : end, milli: left, isOverdue,
    }
    orders.set(itemId, [...(orders.get(itemId) ?? []), one])
  }
  return orders
}

/** What the club drew by day for what no task had asked for, returns counted against it, without what was reversed: in one pass over the entries of these items. */
async function drawsOf(db: Reader, today: string, ids: readonly string[]): Promise<Map<string, DatedUse[]>> {
  const rows = ids.length === 0 ? [] : await db.$queryRaw<{ item_id: string; on_date: Date; qty: bigint }[]>`
    with mine as materialized (
      select id, item_id, task_id, on_date, kind, qty_milli, reverses_id from stock_entry
      where item_id = any(${[...ids]}::uuid[]) and holder_id = ${CLUB_HOLDER}::uuid and kind in ('draw', 'return', 'reversal')),
    undone as materialized (select reverses_id as id from mine where kind = 'reversal')
    select e.item_id, e.on_date, sum(-e.qty_milli)::bigint as qty
    from mine e
    where e.kind in ('draw', 'return') and e.on_date >= ${dateColumn(addDays(today, -LOOK_BACK_DAYS))} and e.on_date <= ${dateColumn(today)}
      and not exists (select 1 from undone u where u.id = e.id)
      and not exists (select 1 from task_material m where m.task_id = e.task_id and m.item_id = e.item_id)
    group by e.item_id, e.on_date
    order by e.item_id, e.on_date`
  const draws = new Map<string, DatedUse[]>()
  for (const r of rows) draws.set(r.item_id, [...(draws.get(r.item_id) ?? []), { day: dayOf(isoDate(r.on_date)), qty: Number(r.qty) }])
  return draws
}

async function firstDays(db: Reader, ids: readonly string[]): Promise<Map<string, string>> {
  const rows = await db.lot.groupBy({ by: ['itemId'], where: { itemId: { in: [...ids] } }, _min: { receivedOn: true } })
  return new Map(rows.flatMap((r) => (r._min.receivedOn ? [[r.itemId, isoDate(r._min.receivedOn)]] : [])))
}
