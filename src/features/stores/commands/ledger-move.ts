import { randomUUID } from 'node:crypto'
import { stateOn, transfer, type Booking } from '../../../core/stock/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import { stockAmount } from '../../../../views/shared/format.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { refusalWords } from '../facts/ledger-words.ts'
import { asMilli, CLUB_HOLDER, insertEntries, lockAccount, todayOf, type Account, type NewEntry } from './ledger-base.ts'
import type { Booked } from './ledger-draw.ts'

export type TransferStock = {
  lotId: string
  fromHolderId: string
  toHolderId: string
  qtyMilli: number
  /** lend: comes back some day; give_back: of what was lent; null: changes hands for good, and the member's account with the club bears it. */
  loan: 'lend' | 'give_back' | null
  onDate?: string | undefined
  why?: string | undefined
}

/** Moves part of a lot between the club and a member. */
export async function transferStock(tx: Tx, ctx: Ctx, input: TransferStock): Promise<Result<Booked, Refusal>> {
  const wrong = (field: string, message: string) => refused(422, message, { fields: { [field]: message } })
  const today = todayOf(ctx)
  if (!Number.isSafeInteger(input.qtyMilli) || input.qtyMilli <= 0) return wrong('amount', 'Say how much: more than nothing.')
  if (input.onDate !== undefined && input.onDate > today) return wrong('onDate', 'That day is still to come.')
  const { fromHolderId, toHolderId, lotId } = input
  if (fromHolderId === toHolderId || ![fromHolderId, toHolderId].includes(CLUB_HOLDER)) return wrong('to', 'Stock moves between the club and a member.')
  const member = await tx.holder.findUnique({ where: { id: fromHolderId === CLUB_HOLDER ? toHolderId : fromHolderId }, select: { memberId: true, member: { select: { name: true } } } })
  if (!member?.memberId) return wrong('to', 'Choose a member.')
  const refusal = mayMove(ctx, input, member.memberId)
  if (refusal) return refusal
  const lot = await tx.lot.findUnique({ where: { id: lotId }, select: { itemId: true } })
  if (!lot) return refused(404, 'This lot is not there.')

  const at = new Map<string, Account>()
  for (const holderId of [fromHolderId, toHolderId].sort()) {
    const account = await lockAccount(tx, ctx, lot.itemId, holderId, [lotId])
    if (!account) return refused(404, 'This item is not in the stores any more.')
    at.set(holderId, account)
  }
  const [from, to] = [at.get(fromHolderId)!, at.get(toHolderId)!]
  const moved = transfer(side(from, lotId), side(to, lotId), asMilli(input.qtyMilli), from.rule)
  if (!moved.ok) return wrong('amount', refusalWords(moved.refusal, from.unit))
  if (from.lots.get(lotId) && stateOn(from.lots.get(lotId)!, today) === 'discard') return wrong('lotId', 'This lot is to be discarded: write it off.')
  if (input.loan === 'give_back') {
    const owed = (await outstanding(tx, lot.itemId, member.memberId)) * (fromHolderId === CLUB_HOLDER ? 1 : -1)
    if (owed < input.qtyMilli) {
      return wrong('amount', owed <= 0 ? 'Nothing of it is lent: choose lend or hand over for good.' : `Only ${stockAmount(owed, from.unit)} of it is lent.`)
    }
  }
  const move_id = randomUUID()
  const row = (holderId: string, booking: Booking): NewEntry => ({
    id: randomUUID(), kind: 'transfer', lot_id: lotId, qty_milli: booking.qty, value_cents: booking.value, on_date: input.onDate ?? today, why: input.why ?? '', move_id, loan: input.loan,
    // Handed over for good, the member owes the club what it cost, or the club the member.
    charged_to_id: input.loan === null && holderId === CLUB_HOLDER ? member.memberId : null,
  })
  const [out, into] = [row(fromHolderId, moved.value.out), row(toHolderId, moved.value.in)]
  await moveEntries(tx, ctx, [{ account: from, entry: out, booking: moved.value.out }, { account: to, entry: into, booking: moved.value.in }])
  if (from.isPlanned) await requestReplan(tx, `${from.name} changed hands`, ctx)
  const number = from.lots.get(lotId)?.number ?? 0
  return ok({ entryIds: [out.id, into.id], parts: [{ lotId, number, qtyMilli: input.qtyMilli, valueCents: into.value_cents }], valueCents: into.value_cents })
}

const side = (account: Account, lotId: string) => ({ pool: account.pool, lotQty: account.lots.get(lotId)?.left ?? asMilli(0) })

/** Members lend what is theirs and take back what they lent; all else is the storekeeper's. */
function mayMove(ctx: Ctx, { fromHolderId, loan }: TransferStock, memberId: string) {
  if (ctx.may('stores.book')) return null
  const isOwn = memberId === ctx.member.id
  const isMine = isOwn && ((fromHolderId !== CLUB_HOLDER && loan !== null) || (fromHolderId === CLUB_HOLDER && loan === 'give_back'))
  return isMine ? null : refused(403, 'The storekeeper hands over the club’s stock; you can lend your own and take it back.')
}

/** Writes both halves in this order, which is the order of the book. */
export async function moveEntries(tx: Tx, ctx: Ctx, halves: readonly { account: Account; entry: NewEntry; booking: Booking }[]): Promise<void> {
  for (const { account, entry, booking } of halves) {
    account.pool = booking.pool
    await insertEntries(tx, ctx, account, [entry])
  }
}

/** How much of an item the club has on loan from a member; below 0, the member from the club. */
export async function outstanding(tx: Tx, itemId: string, memberId: string): Promise<number> {
  const [row] = await tx.$queryRaw<{ milli: bigint | null }[]>`
    select sum(e.qty_milli)::bigint as milli from stock_entry e
      join stock_entry o on o.move_id = e.move_id and o.holder_id <> e.holder_id and o.lot_id = e.lot_id join holder h on h.id = o.holder_id
    where e.item_id = ${itemId}::uuid and e.holder_id = ${CLUB_HOLDER}::uuid and e.loan is not null and h.member_id = ${memberId}::uuid`
  return Number(row?.milli ?? 0)
}
