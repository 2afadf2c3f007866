import { randomUUID } from 'node:crypto'
import { reverseTransfer } from '../../../core/stock/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import { milli } from '../../../core/units/index.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { refusalWords } from '../facts/ledger-words.ts'
import { asMilli, bookOn, CLUB_HOLDER, lockAccount, mayHold, save, todayOf, type Account, type NewEntry } from './ledger-base.ts'
import type { Booked } from './ledger-draw.ts'
import { bookedOf, entryFor, linksOf, outOf, type EntryFacts } from './ledger-entries.ts'
import { moveEntries } from './ledger-move.ts'
import { unfillOrder } from './ledger-receive.ts'

const GONE = 'This entry is not there.'
/** A person may take back what they booked themselves for so long. */
export const OWN_UNDO_MS = 24 * 3_600_000

/** Brings back part of a draw, or all of it, at the cost it left at. */
export async function returnStock(tx: Tx, ctx: Ctx, input: { entryId: string; qtyMilli: number; onDate?: string | undefined; why?: string | undefined }): Promise<Result<Booked, Refusal>> {
  const entry = await entryFor(tx, ctx.member, input.entryId)
  if (!entry) return refused(404, GONE)
  const wrong = (field: string, message: string) => refused(422, message, { fields: { [field]: message } })
  if (entry.kind !== 'draw') return refused(422, 'Only a draw comes back: reverse any other entry that was a mistake.')
  const today = todayOf(ctx)
  if (!Number.isSafeInteger(input.qtyMilli) || input.qtyMilli <= 0) return wrong('amount', 'Say how much comes back: more than nothing.')
  if (input.onDate !== undefined && input.onDate > today) return wrong('onDate', 'That day is still to come.')
  if (!(await mayHold(tx, ctx, entry.holder_id))) return refused(403, 'That is another member’s own stock.')
  const here = await lockAccount(tx, ctx, entry.item_id, entry.holder_id, [entry.lot_id])
  if (!here) return refused(404, GONE)
  const draft = { kind: 'return', qty: asMilli(input.qtyMilli), out: await outOf(tx, entry.id) } as const
  const booked = bookOn(here, entry.lot_id, draft, { kind: 'return', on_date: input.onDate ?? today, why: input.why ?? '', ...linksOf(entry), of_entry_id: entry.id })
  if (!booked.ok) return wrong('amount', refusalWords(booked.refusal, here.unit))
  await save(tx, ctx, here)
  await replan(tx, ctx, here, 'came back')
  return ok(told([booked.value], here))
}

/** Undoes an entry made in error with an entry of its own; both halves of a transfer, all rows of a price correction. */
export async function reverseEntry(tx: Tx, ctx: Ctx, input: { entryId: string; why: string }): Promise<Result<Booked, Refusal>> {
  const why = input.why.trim()
  if (why === '') return refused(422, 'Say why it is undone.', { fields: { why: 'Say why it is undone.' } })
  const entry = await entryFor(tx, ctx.member, input.entryId)
  if (!entry) return refused(404, GONE)
  const isOwn = entry.by_id === ctx.member.id && ctx.now.getTime() - entry.at.getTime() <= OWN_UNDO_MS
  if (!isOwn && !ctx.may('stores.book')) {
    return refused(403, entry.by_id === ctx.member.id ? 'You booked this more than a day ago: the storekeeper can reverse it.' : 'Somebody else booked this: they can reverse it within a day, or the storekeeper.')
  }
  if (entry.kind === 'transfer' && entry.move_id !== null) return reverseMove(tx, ctx, entry, why)
  if (entry.kind === 'price_correction' && entry.move_id !== null) return reverseCorrection(tx, ctx, entry, why)
  const here = await lockAccount(tx, ctx, entry.item_id, entry.holder_id, [entry.lot_id])
  if (!here) return refused(404, GONE)
  const booked = bookOn(here, entry.lot_id, { kind: 'reversal', of: await bookedOf(tx, entry) }, reversal(entry, ctx, why))
  if (!booked.ok) return refused(409, refusalWords(booked.refusal, here.unit))
  await save(tx, ctx, here)
  if (entry.kind === 'receipt' && entry.order_id !== null) await unfillOrder(tx, entry.order_id, entry.item_id, Number(entry.qty_milli))
  await replan(tx, ctx, here, 'entry reversed')
  return ok(told([booked.value], here))
}

const reversal = (entry: EntryFacts, ctx: Ctx, why: string) => ({
  kind: 'reversal' as const, on_date: todayOf(ctx), why, ...linksOf(entry), reverses_id: entry.id, order_id: entry.order_id, count_id: entry.count_id, loan: entry.loan,
})

async function reverseMove(tx: Tx, ctx: Ctx, entry: EntryFacts, why: string): Promise<Result<Booked, Refusal>> {
  const halves = await tx.stockEntry.findMany({ where: { moveId: entry.move_id, kind: 'transfer' }, select: { id: true }, orderBy: { seq: 'asc' } })
  const facts: EntryFacts[] = []
  for (const { id } of halves) {
    const half = await entryFor(tx, 'all', id)
    if (half) facts.push(half)
  }
  const [out, into] = facts
  if (!out || !into) return refused(404, GONE)
  const accounts = await lockBoth(tx, ctx, out, into)
  if (!accounts) return refused(404, GONE)
  const { from, to } = accounts
  const side = (account: Account) => ({ pool: account.pool, lotQty: account.lots.get(entry.lot_id)?.left ?? milli(0) })
  const moved = reverseTransfer(side(from), side(to), await bookedOf(tx, into), from.rule)
  if (!moved.ok) return refused(409, refusalWords(moved.refusal, from.unit))
  const move_id = randomUUID()
  const row = (of: EntryFacts, booking: { qty: number; value: number }): NewEntry => ({
    ...reversal(of, ctx, why), id: randomUUID(), lot_id: of.lot_id, qty_milli: booking.qty, value_cents: booking.value, move_id,
  })
  const rows = [row(into, moved.value.in), row(out, moved.value.out)] as const
  await moveEntries(tx, ctx, [{ account: to, entry: rows[0], booking: moved.value.in }, { account: from, entry: rows[1], booking: moved.value.out }])
  await replan(tx, ctx, from.holderId === CLUB_HOLDER ? from : to, 'entry reversed')
  return ok(told([...rows], from))
}

/** Both accounts of one item, locked in the order of their holders. */
async function lockBoth(tx: Tx, ctx: Ctx, out: EntryFacts, into: EntryFacts): Promise<{ from: Account; to: Account } | null> {
  const at = new Map<string, Account>()
  for (const holderId of [out.holder_id, into.holder_id].sort()) {
    const account = await lockAccount(tx, ctx, out.item_id, holderId, [out.lot_id])
    if (!account) return null
    at.set(holderId, account)
  }
  return { from: at.get(out.holder_id)!, to: at.get(into.holder_id)! }
}

/** All rows of a correction are undone together: stock and charges. */
async function reverseCorrection(tx: Tx, ctx: Ctx, entry: EntryFacts, why: string): Promise<Result<Booked, Refusal>> {
  const rows = await tx.stockEntry.findMany({ where: { moveId: entry.move_id, kind: 'price_correction' }, select: { id: true, holderId: true }, orderBy: { seq: 'asc' } })
  const accounts = new Map<string, Account>()
  for (const holderId of [...new Set(rows.map((row) => row.holderId))].sort()) {
    const account = await lockAccount(tx, ctx, entry.item_id, holderId, [entry.lot_id])
    if (account) accounts.set(holderId, account)
  }
  const booked: NewEntry[] = []
  for (const { id, holderId } of rows) {
    // Whoever may undo a correction undoes all of it, also what falls on builds that they don't see.
    const one = await entryFor(tx, 'all', id)
    const here = accounts.get(holderId)
    if (!one || !here) return refused(404, GONE)
    const undone = bookOn(here, one.lot_id, { kind: 'reversal', of: await bookedOf(tx, one) }, reversal(one, ctx, why))
    if (!undone.ok) return refused(409, refusalWords(undone.refusal, here.unit))
    booked.push(undone.value)
  }
  for (const account of accounts.values()) await save(tx, ctx, account)
  const [first] = accounts.values()
  return ok(told(booked, first))
}

async function replan(tx: Tx, ctx: Ctx, here: Account, what: string): Promise<void> {
  if (here.holderId === CLUB_HOLDER && here.isPlanned) await requestReplan(tx, `${here.name}: ${what}`, ctx)
}

function told(rows: readonly NewEntry[], here: Account | undefined): Booked {
  const parts = rows.map((row) => ({ lotId: row.lot_id, number: here?.lots.get(row.lot_id)?.number ?? 0, qtyMilli: Math.abs(row.qty_milli), valueCents: Math.abs(row.value_cents) }))
  return { entryIds: rows.map(({ id }) => id), parts, valueCents: parts.reduce((sum, { valueCents }) => sum + valueCents, 0) }
}
