import { randomUUID } from 'node:crypto'
import { poolQty, spreadCorrection } from '../../../core/stock/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import { cents, milli, type Milli } from '../../../core/units/index.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { refusalWords } from '../facts/ledger-words.ts'
import { asMilli, bookOn, CLUB_HOLDER, lockAccount, mayHold, save, todayOf, type Account, type NewEntry } from './ledger-base.ts'
import type { Booked } from './ledger-draw.ts'
import { entryFor, linksOf, outOf, type EntryFacts } from './ledger-entries.ts'
import { knownPrice } from './ledger-price.ts'

const wrong = (field: string, message: string) => refused(422, message, { fields: { [field]: message } })
const NO_LOT = 'This lot is not there.'

/** The lot's account, locked, for whoever may write on it. */
async function lotAccount(tx: Tx, ctx: Ctx, lotId: string, holderId: string): Promise<Result<Account, Refusal>> {
  if (holderId === CLUB_HOLDER ? !ctx.may('stores.book') : !(await mayHold(tx, ctx, holderId))) return refused(403, 'The storekeeper books this.')
  const lot = await tx.lot.findUnique({ where: { id: lotId }, select: { itemId: true } })
  const here = lot && (await lockAccount(tx, ctx, lot.itemId, holderId, [lotId]))
  return here ? ok(here) : refused(404, NO_LOT)
}

export type WriteOff = { lotId: string; qtyMilli: number; why: string; holderId?: string | undefined; onDate?: string | undefined }

/** What is spoiled, spilt or out of date leaves the book, charged to nobody. */
export async function writeOff(tx: Tx, ctx: Ctx, input: WriteOff): Promise<Result<Booked, Refusal>> {
  const today = todayOf(ctx)
  if (input.why.trim() === '') return wrong('why', 'Say what became of it.')
  if (!Number.isSafeInteger(input.qtyMilli) || input.qtyMilli <= 0) return wrong('amount', 'Say how much: more than nothing.')
  if (input.onDate !== undefined && input.onDate > today) return wrong('onDate', 'That day is still to come.')
  const here = await lotAccount(tx, ctx, input.lotId, input.holderId ?? CLUB_HOLDER)
  if (!here.ok) return here
  const booked = bookOn(here.value, input.lotId, { kind: 'write_off', qty: asMilli(input.qtyMilli) }, { kind: 'write_off', on_date: input.onDate ?? today, why: input.why.trim() })
  if (!booked.ok) return wrong('amount', refusalWords(booked.refusal, here.value.unit))
  return done(tx, ctx, here.value, [booked.value], 'written off')
}

export type Stocktake = { lotId: string; countedMilli: number; why: string; holderId?: string | undefined; countId?: string | undefined; onDate?: string | undefined }

/** What was counted in a lot: the difference to the book, as an entry; none where the two agree (then `entryIds` is empty). */
export async function stocktakeLot(tx: Tx, ctx: Ctx, input: Stocktake): Promise<Result<Booked, Refusal>> {
  if (input.why.trim() === '') return wrong('why', 'Say what explains the difference.')
  if (!Number.isSafeInteger(input.countedMilli) || input.countedMilli < 0) return wrong('counted', 'Say what is there: nothing or more.')
  const account = await lotAccount(tx, ctx, input.lotId, input.holderId ?? CLUB_HOLDER)
  if (!account.ok) return account
  const here = account.value
  if (here.lots.get(input.lotId)?.left === input.countedMilli) return ok({ entryIds: [], parts: [], valueCents: 0 })
  const whenEmpty = poolQty(here.pool) === 0 ? await knownPrice(tx, here.itemId, input.lotId) : null
  const entry = { kind: 'stocktake' as const, on_date: input.onDate ?? todayOf(ctx), why: input.why.trim(), count_id: input.countId ?? null }
  const booked = bookOn(here, input.lotId, { kind: 'stocktake', counted: milli(input.countedMilli), whenEmpty }, entry)
  if (!booked.ok) return wrong('counted', refusalWords(booked.refusal, here.unit))
  return done(tx, ctx, here, [booked.value], 'counted')
}

/** The storekeeper has looked at a difference that somebody weighed at the shelf. */
export async function reviewDifference(tx: Tx, ctx: Ctx, input: { entryId: string; note: string }): Promise<Result<null, Refusal>> {
  const entry = await tx.stockEntry.findUnique({ where: { id: input.entryId }, select: { kind: true } })
  if (entry?.kind !== 'stocktake') return refused(404, 'This difference is not there.')
  await tx.stockReview.createMany({ data: { entryId: input.entryId, byId: ctx.member.id, at: ctx.now, note: input.note.trim() }, skipDuplicates: true })
  return ok(null)
}

/**
 * What a lot cost is put right after the event: the difference goes where the lot went, by quantity: what is in stock (of the club and of
 * members), and each draw and write-off, whose build or member is charged its share. All shares add up to the difference.
 */
export async function correctPrice(tx: Tx, ctx: Ctx, input: { lotId: string; deltaCents: number; why: string; onDate?: string | undefined }): Promise<Result<Booked, Refusal>> {
  if (!ctx.may('stores.book')) return refused(403, 'The storekeeper corrects prices.')
  if (input.why.trim() === '') return wrong('why', 'Say what was wrong with the price.')
  if (!Number.isSafeInteger(input.deltaCents) || input.deltaCents === 0) return wrong('cost', 'That is what the book says already.')
  const lot = await tx.lot.findUnique({ where: { id: input.lotId }, select: { itemId: true } })
  if (!lot) return refused(404, NO_LOT)
  const held = await tx.stockEntry.findMany({ where: { lotId: input.lotId, itemId: lot.itemId }, distinct: ['holderId'], select: { holderId: true } })
  const accounts = new Map<string, Account>()
  for (const holderId of held.map((h) => h.holderId).sort()) {
    const account = await lockAccount(tx, ctx, lot.itemId, holderId, [input.lotId])
    if (account) accounts.set(holderId, account)
  }
  const went = await whereItWent(tx, input.lotId)
  const stocks = [...accounts.values()].map((account) => ({ account, qty: account.lots.get(input.lotId)?.left ?? milli(0) })).filter(({ qty }) => qty > 0)
  const parts = [...stocks.map(({ account, qty }) => ({ key: { account, entry: null }, qty })), ...went.map(({ entry, qty }) => ({ key: { account: accounts.get(entry.holder_id), entry }, qty }))]
  if (parts.length === 0) return wrong('cost', 'Nothing of this lot is left and nothing of it was drawn: there is nobody to charge.')
  // Nothing goes to what was lost or found at a stocktake: nobody has it.
  const received = milli(parts.reduce((sum, { qty }) => sum + qty, 0))
  const shares = spreadCorrection<{ account: Account | undefined; entry: EntryFacts | null }>({ delta: cents(input.deltaCents), received, left: milli(0), draws: parts })
  const move_id = randomUUID()
  const head = { kind: 'price_correction' as const, on_date: input.onDate ?? todayOf(ctx), why: input.why.trim(), move_id }
  const rows: NewEntry[] = []
  for (const { key, share } of shares.draws) {
    const { account, entry } = key
    if (share === 0 || !account) continue
    const booked = entry === null ?
      bookOn(account, input.lotId, { kind: 'price_correction', delta: share }, head)
    : bookOn(account, input.lotId, { kind: 'price_correction', delta: share, out: await outOf(tx, entry.id) }, { ...head, ...linksOf(entry), of_entry_id: entry.id })
    if (!booked.ok) return wrong('cost', refusalWords(booked.refusal, account.unit))
    rows.push(booked.value)
  }
  for (const account of accounts.values()) await save(tx, ctx, account)
  return ok(told(rows, [...accounts.values()][0], input.deltaCents))
}

/** Draws and write-offs of a lot of which something is still out, in booking order. */
async function whereItWent(tx: Tx, lotId: string): Promise<{ entry: EntryFacts; qty: Milli }[]> {
  const ids = await tx.stockEntry.findMany({ where: { lotId, kind: { in: ['draw', 'write_off'] }, reversedBy: null }, orderBy: { seq: 'asc' }, select: { id: true } })
  const went: { entry: EntryFacts; qty: Milli }[] = []
  for (const { id } of ids) {
    const entry = await entryFor(tx, 'all', id)
    const { qty } = await outOf(tx, id)
    if (entry && qty > 0) went.push({ entry, qty })
  }
  return went
}

async function done(tx: Tx, ctx: Ctx, here: Account, rows: readonly NewEntry[], what: string): Promise<Result<Booked, Refusal>> {
  await save(tx, ctx, here)
  if (here.holderId === CLUB_HOLDER && here.isPlanned) await requestReplan(tx, `${here.name}: ${what}`, ctx)
  return ok(told(rows, here))
}

function told(rows: readonly NewEntry[], here: Account | undefined, valueCents?: number): Booked {
  const parts = rows.map((row) => ({ lotId: row.lot_id, number: here?.lots.get(row.lot_id)?.number ?? 0, qtyMilli: Math.abs(row.qty_milli), valueCents: Math.abs(row.value_cents) }))
  return { entryIds: rows.map(({ id }) => id), parts, valueCents: valueCents ?? parts.reduce((sum, part) => sum + part.valueCents, 0) }
}
