import { stateOn, type LotState } from '../../../core/stock/index.ts'
import type { Material, Supply } from '../../../core/schedule/problem.ts'
import { instant, minutes, MINUTES_PER_DAY, type Instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import type { ItemKind, StockUnit } from '../../../platform/generated/enums.ts'
import { isoDate, localDate, localMoment, toInstant } from '../../../platform/times.ts'
import { CLUB_HOLDER, lastDayOf } from '../facts/held.ts'

/** What the club holds of an item by what it is good for, in thousandths of its unit; `total` has what is to be discarded too. */
export type OnHand = { fresh: number; notStructural: number; testFirst: number; total: number }

type LotRow = {
  item_id: string
  state: LotState
  expires_on: Date | null
  opened_on: Date | null
  opened_life_days: number | null
  tested_until: Date | null
  milli: bigint
}
const day = (at: Date | null): string | null => (at === null ? null : isoDate(at))

/** What is there on a day, of all items or of some; an item of which nothing is held is not in the map. */
export async function stockOf(db: Reader, today: string, itemIds?: readonly string[]): Promise<Map<string, OnHand>> {
  const rows = await db.$queryRaw<LotRow[]>`
    select l.item_id, l.state::text, l.expires_on, l.opened_on, i.opened_life_days, sum(b.qty_milli)::bigint as milli,
      (select max(t.expires_on) from lot_test t where t.lot_id = l.id and t.state = 'fresh') as tested_until
    from lot_balance b join lot l on l.id = b.lot_id join item i on i.id = l.item_id
    where b.holder_id = ${CLUB_HOLDER}::uuid and b.qty_milli > 0 and (${itemIds === undefined} or l.item_id = any(${itemIds ?? []}::uuid[]))
    group by l.id, i.id`
  const there = new Map<string, OnHand>()
  for (const row of rows) {
    const opened = day(row.opened_on)
    const state = stateOn({ state: row.state, expires: lastDayOf(day(row.expires_on), opened, row.opened_life_days), testedUntil: day(row.tested_until) }, today)
    const one = there.get(row.item_id) ?? { fresh: 0, notStructural: 0, testFirst: 0, total: 0 }
    const milli = Number(row.milli)
    one.total += milli
    if (state === 'fresh') one.fresh += milli
    else if (state === 'not_structural') one.notStructural += milli
    else if (state === 'test_first') one.testFirst += milli
    there.set(row.item_id, one)
  }
  return there
}

export async function itemNames(db: Reader): Promise<Map<string, { name: string; unit: StockUnit }>> {
  const rows = await db.item.findMany({ select: { id: true, name: true, unit: true } })
  return new Map(rows.map(({ id, name, unit }) => [id, { name, unit }]))
}

export type ItemChoice = { id: string; name: string; unit: StockUnit; kind: ItemKind; isActive: boolean }
export const itemChoices = (db: Reader): Promise<ItemChoice[]> =>
  db.item.findMany({ select: { id: true, name: true, unit: true, kind: true, isActive: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })

/**
 * The stores as the planner takes them: on hand by what it is good for, and open orders at the end of the day they are expected (a day
 * from now where that has passed). What must be tested first does not count, nor members' own stock.
 */
export async function loadMaterials(db: Reader, now: Instant, at: Date): Promise<Material[]> {
  const club = await db.club.findUnique({ where: { id: 1 }, select: { zone: true } })
  const zone = club?.zone ?? 'UTC'
  const items = await db.item.findMany({ select: { id: true, leadDays: true }, orderBy: { id: 'asc' } })
  const there = await stockOf(db, localDate(zone, at))
  const lines = await db.orderLine.findMany({ where: { order: { state: 'open' } }, select: { itemId: true, qtyMilli: true, receivedMilli: true, order: { select: { expectedOn: true } } } })
  const coming = new Map<string, Supply[]>()
  for (const { itemId, qtyMilli, receivedMilli, order } of lines) {
    const amount = Number(qtyMilli - receivedMilli)
    if (amount <= 0) continue
    const due = toInstant(localMoment(zone, isoDate(order.expectedOn), '24:00'))
    coming.set(itemId, [...(coming.get(itemId) ?? []), { at: due > now ? due : instant(now + MINUTES_PER_DAY), amount, fit: 'structure' }])
  }
  return items.map(({ id, leadDays }) => {
    const here = there.get(id)
    const onHand: Supply[] = [
      ...(here && here.fresh > 0 ? [{ at: now, amount: here.fresh, fit: 'structure' as const }] : []),
      ...(here && here.notStructural > 0 ? [{ at: now, amount: here.notStructural, fit: 'any' as const }] : []),
    ]
    return { id, supplies: [...onHand, ...merged(coming.get(id) ?? [])], leadTime: minutes(leadDays * MINUTES_PER_DAY) }
  })
}

/** Of one instant, one supply. */
function merged(supplies: readonly Supply[]): Supply[] {
  const at = new Map<Instant, number>()
  for (const s of supplies) at.set(s.at, (at.get(s.at) ?? 0) + s.amount)
  return [...at].map(([when, amount]) => ({ at: when, amount, fit: 'structure' as const })).sort((a, b) => a.at - b.at)
}

/** What tasks have drawn, less what came back and what was reversed: thousandths by task and item. */
export async function drawnOn(db: Reader, taskIds: readonly string[]): Promise<Map<string, Map<string, number>>> {
  const drawn = new Map<string, Map<string, number>>()
  if (taskIds.length === 0) return drawn
  const rows = await db.stockEntry.groupBy({ by: ['taskId', 'itemId'], where: { taskId: { in: [...taskIds] } }, _sum: { qtyMilli: true } })
  for (const { taskId, itemId, _sum } of rows) {
    if (taskId === null) continue
    const of = drawn.get(taskId) ?? new Map<string, number>()
    of.set(itemId, 0 - Number(_sum.qtyMilli ?? 0n))
    drawn.set(taskId, of)
  }
  return drawn
}

export type BuildCost = { cents: number; byItem: { itemId: string; name: string; unit: StockUnit; milli: number; cents: number }[] }

/** What a build has cost so far: the values of its entries with the sign turned. */
export async function buildCost(db: Reader, buildId: string): Promise<BuildCost> {
  const rows = await db.stockEntry.groupBy({ by: ['itemId'], where: { buildId }, _sum: { qtyMilli: true, valueCents: true } })
  const items = new Map((await db.item.findMany({ where: { id: { in: rows.map((row) => row.itemId) } }, select: { id: true, name: true, unit: true } })).map((item) => [item.id, item]))
  const byItem = rows
    .map(({ itemId, _sum }) => ({ itemId, name: items.get(itemId)?.name ?? '', unit: items.get(itemId)?.unit ?? ('pcs' as const), milli: 0 - Number(_sum.qtyMilli ?? 0n), cents: 0 - (_sum.valueCents ?? 0) }))
    .sort((a, b) => b.cents - a.cents || (a.name < b.name ? -1 : 1))
  return { cents: byItem.reduce((sum, { cents }) => sum + cents, 0), byItem }
}
