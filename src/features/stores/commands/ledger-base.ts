import { randomUUID } from 'node:crypto'
import { book, poolFromRows, poolToRows, type CostRule, type Draft, type LayerRow, type LedgerRefusal, type Lot, type LotState, type Pool } from '../../../core/stock/index.ts'
import type { Result } from '../../../core/result.ts'
import { milli, type Milli } from '../../../core/units/index.ts'
import type { Tx } from '../../../platform/database.ts'
import type { EntryKind, LoanKind, StockUnit } from '../../../platform/generated/enums.ts'
import { isoDate, localDate } from '../../../platform/times.ts'
import type { Ctx } from '../../../platform/write.ts'
import { CLUB_HOLDER, lastDayOf } from '../facts/held.ts'

export { CLUB_HOLDER }

/** A lot as it is held by somebody: `expires` counts from its opening too. */
export type LotHere = Lot & { readonly number: number; readonly code: string }

/** One item of one holder, its row locked: what is booked now comes after everything booked before. */
export type Account = {
  readonly itemId: string
  readonly holderId: string
  readonly name: string
  readonly unit: StockUnit
  readonly rule: CostRule
  pool: Pool
  readonly lots: Map<string, LotHere>
  /** The plan now shown has a need of it. */
  readonly isPlanned: boolean
  readonly entries: NewEntry[]
}

export type NewEntry = {
  id: string
  kind: EntryKind
  lot_id: string
  qty_milli: number
  value_cents: number
  on_date: string
  why: string
} & Partial<Links>

/** What an entry is about, besides its lot. */
export type Links = {
  build_id: string | null
  task_id: string | null
  batch_id: string | null
  charged_to_id: string | null
  of_entry_id: string | null
  reverses_id: string | null
  move_id: string | null
  loan: LoanKind | null
  count_id: string | null
  order_id: string | null
}

type AccountRow = { layers: LayerRow[]; name: string; unit: StockUnit; opened_life_days: number | null; rule: CostRule; is_planned: boolean }
type LotRow = {
  lot_id: string
  qty_milli: bigint | null
  number: number
  code: string
  state: LotState
  expires_on: Date | null
  opened_on: Date | null
  tested_until: Date | null
}

const day = (at: Date | null): string | null => (at === null ? null : isoDate(at))

function lotHere(row: LotRow, openedLifeDays: number | null): LotHere {
  const opened = day(row.opened_on)
  return {
    id: row.lot_id, number: row.number, code: row.code, left: milli(Number(row.qty_milli ?? 0)), state: row.state, opened,
    expires: lastDayOf(day(row.expires_on), opened, openedLifeDays), testedUntil: day(row.tested_until),
  }
}

const account = (itemId: string, holderId: string, row: AccountRow, lots: readonly LotRow[]): Account => ({
  itemId, holderId, name: row.name, unit: row.unit, rule: row.rule, pool: poolFromRows(row.layers), isPlanned: row.is_planned, entries: [],
  lots: new Map(lots.map((lot) => [lot.lot_id, lotHere(lot, row.opened_life_days)])),
})

/**
 * Locks the account and all lots that hold something (and one that is named besides), in one statement. What a lock waited for is read as
 * it is after the wait, for the rows of both tables are locked. Null where nothing is held.
 */
export async function lockStock(tx: Tx, ctx: Ctx, itemId: string, holderId: string, alsoLotId: string | null = null): Promise<Account | null> {
  const rows = await tx.$queryRaw<(AccountRow & LotRow)[]>`
    select a.layers, i.name, i.unit, i.opened_life_days,
      coalesce((select c.rule from cost_rule_change c where c.from_at <= ${ctx.now} order by c.from_at desc, c.id desc limit 1), 'average') as rule,
      exists (select from plan_need n where n.item_id = i.id and n.plan_id = (select max(p.id) from plan p where p.status in ('optimal', 'feasible', 'infeasible'))) as is_planned,
      b.lot_id, b.qty_milli, l.number, l.code, l.state, l.expires_on, l.opened_on,
      (select max(t.expires_on) from lot_test t where t.lot_id = l.id and t.state = 'fresh') as tested_until
    from stock_account a join item i on i.id = a.item_id join lot l on l.item_id = a.item_id
      join lot_balance b on b.lot_id = l.id and b.holder_id = a.holder_id
    where a.item_id = ${itemId}::uuid and a.holder_id = ${holderId}::uuid and (b.qty_milli > 0 or b.lot_id = ${alsoLotId}::uuid)
    for update of a, b`
  const first = rows[0]
  return first ? account(itemId, holderId, first, rows) : null
}

/** Locks the account, which is made where there is none yet, and reads the named lots of the item. Null: no such item. */
export async function lockAccount(tx: Tx, ctx: Ctx, itemId: string, holderId: string, lotIds: readonly string[]): Promise<Account | null> {
  const lock = () => tx.$queryRaw<AccountRow[]>`
    select a.layers, i.name, i.unit, i.opened_life_days,
      coalesce((select c.rule from cost_rule_change c where c.from_at <= ${ctx.now} order by c.from_at desc, c.id desc limit 1), 'average') as rule,
      exists (select from plan_need n where n.item_id = i.id and n.plan_id = (select max(p.id) from plan p where p.status in ('optimal', 'feasible', 'infeasible'))) as is_planned
    from stock_account a join item i on i.id = a.item_id
    where a.item_id = ${itemId}::uuid and a.holder_id = ${holderId}::uuid for update of a`
  let [row] = await lock()
  if (!row) {
    await tx.$executeRaw`
      insert into stock_account (item_id, holder_id) select i.id, h.id from item i, holder h where i.id = ${itemId}::uuid and h.id = ${holderId}::uuid
      on conflict do nothing`
    ;[row] = await lock()
  }
  if (!row) return null
  const lots = lotIds.length === 0 ? [] : await tx.$queryRaw<LotRow[]>`
    select l.id as lot_id, b.qty_milli, l.number, l.code, l.state, l.expires_on, l.opened_on,
      (select max(t.expires_on) from lot_test t where t.lot_id = l.id and t.state = 'fresh') as tested_until
    from lot l left join lot_balance b on b.lot_id = l.id and b.holder_id = ${holderId}::uuid
    where l.item_id = ${itemId}::uuid and l.id = any(${lotIds}::uuid[])`
  return account(itemId, holderId, row, lots)
}

/** Books a draft on the account in memory: its pool and the lot's rest move, and the entry waits for `save`. */
export function bookOn(to: Account, lotId: string, draft: Draft, entry: { kind: EntryKind; on_date: string; why: string } & Partial<Links>): Result<NewEntry, LedgerRefusal> {
  const lot = to.lots.get(lotId)
  const booked = book(to.pool, lot?.left ?? milli(0), draft, to.rule)
  if (!booked.ok) return booked
  const row: NewEntry = { ...entry, id: randomUUID(), lot_id: lotId, qty_milli: booked.value.qty, value_cents: booked.value.value }
  to.pool = booked.value.pool
  if (lot) to.lots.set(lotId, { ...lot, left: booked.value.lotQty })
  to.entries.push(row)
  return { ok: true, value: row }
}

/**
 * Writes what was booked on an account: all its entries in their order, and the layers they leave, in one statement. The trigger on
 * stock_entry moves the balances.
 */
export async function save(tx: Tx, ctx: Ctx, from: Account): Promise<void> {
  await insertEntries(tx, ctx, from, from.entries.splice(0))
}

/** The same for entries of several accounts that must lie in the book in another order (a transfer: out, then in). */
export async function insertEntries(tx: Tx, ctx: Ctx, from: Account, entries: readonly NewEntry[]): Promise<void> {
  await tx.$executeRaw`
    with booked as (
      insert into stock_entry (id, kind, item_id, lot_id, holder_id, qty_milli, value_cents, rule, on_date, at, by_id, why, build_id, task_id,
        batch_id, charged_to_id, of_entry_id, reverses_id, move_id, loan, count_id, order_id)
      select x.id, x.kind::"EntryKind", ${from.itemId}::uuid, x.lot_id, ${from.holderId}::uuid, x.qty_milli, x.value_cents, ${from.rule}::"CostRule", x.on_date,
        ${ctx.now}, ${ctx.member.id}::uuid, x.why, x.build_id, x.task_id, x.batch_id, x.charged_to_id, x.of_entry_id, x.reverses_id, x.move_id,
        x.loan::"LoanKind", x.count_id, x.order_id
      from jsonb_to_recordset(${JSON.stringify(entries)}::jsonb) as x(id uuid, kind text, lot_id uuid, qty_milli bigint, value_cents int, on_date date, why text,
        build_id uuid, task_id uuid, batch_id uuid, charged_to_id uuid, of_entry_id uuid, reverses_id uuid, move_id uuid, loan text, count_id uuid, order_id uuid)
    )
    update stock_account set layers = ${JSON.stringify(poolToRows(from.pool))}::jsonb where item_id = ${from.itemId}::uuid and holder_id = ${from.holderId}::uuid`
}

/** The holder's row of a member, made when first needed. */
export async function holderOf(tx: Tx, memberId: string): Promise<string> {
  const there = await tx.holder.findUnique({ where: { memberId }, select: { id: true } })
  if (there) return there.id
  await tx.$executeRaw`insert into holder (member_id) values (${memberId}::uuid) on conflict do nothing`
  return (await tx.holder.findUniqueOrThrow({ where: { memberId }, select: { id: true } })).id
}

export const todayOf = (ctx: Pick<Ctx, 'now' | 'clubZone'>): string => localDate(ctx.clubZone, ctx.now)

/** What a person may book on: the club's stock at the shelf, their own; the storekeeper, anyone's. */
export async function mayHold(tx: Tx, ctx: Ctx, holderId: string): Promise<boolean> {
  if (holderId === CLUB_HOLDER || ctx.may('stores.book')) return true
  const row = await tx.holder.findUnique({ where: { id: holderId }, select: { memberId: true } })
  return row !== null && row.memberId === ctx.member.id
}

export const asMilli = (n: number): Milli => milli(n)
