import { poolQty } from '../../../core/stock/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import { milli } from '../../../core/units/index.ts'
import { stockAmount } from '../../../../views/shared/format.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { parseAmount } from '../facts/amount-text.ts'
import { CLUB_HOLDER } from '../facts/held.ts'
import { refusalWords } from '../facts/ledger-words.ts'
import type { CountInput, CountRow } from '../schemas/count.ts'
import { bookOn, lockAccount, save, todayOf, type Account } from './ledger-base.ts'
import { knownPrice } from './ledger-price.ts'

type Line = { row: CountRow; lotId: string; itemId: string; countedMilli: number }

/**
 * A stocktake typed back: every row filled in was counted, empty ones were not. Each difference to the book becomes an entry with its
 * explanation. The storekeeper's are approved with it; anybody else's wait for the storekeeper.
 */
export async function takeStock(tx: Tx, ctx: Ctx, { rows, note }: CountInput): Promise<Result<Done, Refusal>> {
  if (rows.length === 0) return refused(422, 'Nothing is filled in: empty rows are lots that were not counted.')
  const { lines, fields } = await readRows(tx, rows)
  const accounts = new Map<string, Account>()
  for (const itemId of [...new Set(lines.map((line) => line.itemId))].toSorted()) {
    const account = await lockAccount(tx, ctx, itemId, CLUB_HOLDER, lines.filter((line) => line.itemId === itemId).map(({ lotId }) => lotId))
    if (account) accounts.set(itemId, account)
  }
  const count = await tx.stockCount.create({ data: { at: ctx.now, byId: ctx.member.id, note }, select: { id: true } })
  let differences = 0
  for (const { row, lotId, itemId, countedMilli } of lines) {
    const account = accounts.get(itemId)
    const left = account?.lots.get(lotId)?.left
    if (!account || left === undefined) continue
    if (row.book !== left) {
      fields[`n${row.number}`] = `Lot ${row.number}: something was booked on it since this page was opened, and the book now has ${stockAmount(left, account.unit)}: look at it again`
      continue
    }
    await tx.stockCountLine.create({ data: { countId: count.id, lotId, bookMilli: BigInt(left), countedMilli: BigInt(countedMilli), note: row.why } })
    if (countedMilli === left) continue
    if (row.why === '') {
      fields[`w${row.number}`] = `Lot ${row.number}: say what explains the difference to the book`
      continue
    }
    const whenEmpty = poolQty(account.pool) === 0 ? await knownPrice(tx, itemId, lotId) : null
    const booked = bookOn(account, lotId, { kind: 'stocktake', counted: milli(countedMilli), whenEmpty }, { kind: 'stocktake', on_date: todayOf(ctx), why: row.why, count_id: count.id })
    if (!booked.ok) fields[`n${row.number}`] = `Lot ${row.number}: ${refusalWords(booked.refusal, account.unit)}`
    differences++
  }
  if (Object.keys(fields).length > 0) return refused(422, 'Nothing was booked: see the notes at the rows.', { fields })
  const isKeeper = ctx.may('stores.book')
  for (const account of accounts.values()) {
    if (account.entries.length === 0) continue
    const ids = account.entries.map(({ id }) => id)
    await save(tx, ctx, account)
    if (isKeeper) await tx.stockReview.createMany({ data: ids.map((entryId) => ({ entryId, byId: ctx.member.id, at: ctx.now, note: 'counted by the storekeeper' })) })
    if (account.isPlanned) await requestReplan(tx, `${account.name}: counted`, ctx)
  }
  const told = differences === 0 ? 'the book was right' : `${differences} ${differences === 1 ? 'difference is' : 'differences are'} in the book${isKeeper ? '' : ' and wait for the storekeeper'}`
  return ok({ location: `/stores/count/${count.id}`, flash: `${lines.length} ${lines.length === 1 ? 'lot' : 'lots'} counted: ${told}.` })
}

async function readRows(tx: Tx, rows: readonly CountRow[]): Promise<{ lines: Line[]; fields: Record<string, string> }> {
  const lots = await tx.lot.findMany({
    where: { number: { in: rows.map(({ number }) => number) } }, select: { id: true, number: true, itemId: true, item: { select: { unit: true, density: true, widthMm: true } } },
  })
  const byNumber = new Map(lots.map((lot) => [lot.number, lot]))
  const lines: Line[] = []
  const fields: Record<string, string> = {}
  for (const row of rows) {
    const lot = byNumber.get(row.number)
    if (!lot) {
      fields[`n${row.number}`] = `Lot ${row.number}: there is no such lot`
      continue
    }
    if (row.why.length > 300) fields[`w${row.number}`] = `Lot ${row.number}: at most 300 characters`
    const counted = parseAmount(row.counted, lot.item.unit, lot.item)
    if (counted.ok) lines.push({ row, lotId: lot.id, itemId: lot.itemId, countedMilli: counted.milli })
    else fields[`n${row.number}`] = `Lot ${row.number}: ${counted.message}`
  }
  return { lines, fields }
}
