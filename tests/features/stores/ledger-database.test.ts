import pg from 'pg'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { CLUB_HOLDER } from '../../../src/features/stores/public.ts'
import { testClub } from '../../support/app.ts'

/** What the database itself refuses, for whoever connects to it. */
const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const client = new pg.Client({ connectionString: club.database.url })
const keeper = await club.make.member(['storekeeper'])
beforeAll(() => client.connect())
afterAll(() => client.end())

let lot: Awaited<ReturnType<typeof club.make.lot>>
beforeEach(async () => {
  lot = await club.make.lot({ qty: 1000, cents: 100, by: keeper.id })
})

type Entry = { kind: string; qty?: number; value?: number; of?: string; reverses?: string; why?: string; move?: string; lotId?: string }
const COLUMNS = 'kind, item_id, lot_id, holder_id, qty_milli, value_cents, rule, on_date, at, by_id, why, of_entry_id, reverses_id, move_id'
/** Adds an entry and makes the layers fit, as one who knows how would; answers its id. */
async function add({ kind, qty = 0, value = 0, of, reverses, why = 'x', move, lotId = lot.id }: Entry): Promise<string> {
  const { rows } = await client.query<{ id: string }>(
    `insert into stock_entry (${COLUMNS}) values ($1, $2, $3, $4, $5, $6, 'average', '2026-06-06', now(), $7, $8, $9, $10, $11) returning id`,
    [kind, lot.itemId, lotId, CLUB_HOLDER, qty, value, keeper.id, why, of ?? null, reverses ?? null, move ?? null],
  )
  await client.query(
    `update stock_account set layers = case when qty_milli = 0 then '[]'::jsonb else jsonb_build_array(jsonb_build_object('q', qty_milli, 'v', value_cents)) end
     where item_id = $1 and holder_id = $2`, [lot.itemId, CLUB_HOLDER])
  return rows[0]!.id
}
/** In one transaction; rolled back where it fails. */
async function together<T>(work: () => Promise<T>): Promise<T> {
  await client.query('begin')
  try {
    const done = await work()
    await client.query('commit')
    return done
  } catch (error) {
    await client.query('rollback')
    throw error
  }
}
const book = (entry: Entry) => together(() => add(entry))
const balance = async () => {
  const { rows } = await client.query<{ q: string; v: string; b: string }>(
    `select a.qty_milli as q, a.value_cents as v, b.qty_milli as b from stock_account a join lot_balance b on b.lot_id = $1 and b.holder_id = a.holder_id
     where a.item_id = $2 and a.holder_id = $3`, [lot.id, lot.itemId, CLUB_HOLDER])
  return [rows[0]!.q, rows[0]!.v, rows[0]!.b].map(Number)
}

describe('a bare client', () => {
  test('books a draw, and the balances follow', async () => {
    await book({ kind: 'draw', qty: -400, value: -40 })
    expect(await balance()).toEqual([600, 60, 600])
  })

  test('is refused a balance below nothing, of the lot and of the item', async () => {
    await expect(book({ kind: 'draw', qty: -1001, value: -100 })).rejects.toThrow(/not_negative/)
    const other = await club.make.lot({ itemId: lot.itemId, qty: 5000, cents: 500, by: keeper.id })
    // The item holds 6000, this lot 1000.
    await expect(book({ kind: 'draw', qty: -2000, value: -200 })).rejects.toThrow(/lot_balance_not_negative/)
    await expect(book({ kind: 'draw', qty: -2000, value: -200, lotId: other.id })).resolves.toBeDefined()
  })

  test.each([
    ['an update', 'update stock_entry set qty_milli = 1'],
    ['a deletion', 'delete from stock_entry'],
    ['emptying', 'truncate stock_entry cascade'],
    ['balances by hand', 'update lot_balance set qty_milli = qty_milli + 1'],
    ['a value by hand', 'update stock_account set value_cents = value_cents + 1'],
    ['a balance taken away', 'delete from lot_balance'],
    ['an account taken away', 'delete from stock_account'],
    ['an account moved', "update stock_account set holder_id = gen_random_uuid()"],
    ['emptied balances', 'truncate lot_balance'],
    ['emptied accounts', 'truncate stock_account'],
    ['a changed costing rule', "update cost_rule_change set rule = 'fifo'"],
  ])('is refused %s', async (_what, statement) => {
    await client.query(`insert into cost_rule_change (rule, from_at, by_id) values ('average', '2000-01-01', $1)`, [keeper.id])
    const before = await balance()
    await expect(client.query(statement)).rejects.toThrow(/only ever added to|balances follow from ledger entries/)
    expect(await balance()).toEqual(before)
  })

  test('is refused an account that begins with something', async () => {
    const { id } = await club.make.item()
    await expect(client.query(`insert into stock_account (item_id, holder_id, qty_milli, layers) values ($1, $2, 5, '[{"q": 5, "v": 0}]')`, [id, CLUB_HOLDER])).rejects.toThrow(/balances follow/)
  })

  test.each([
    ['another quantity', '[{"q": 999, "v": 100}]'],
    ['another value', '[{"q": 1000, "v": 99}]'],
    ['nothing', '[]'],
  ])('is refused layers that say %s than the balance', async (_what, layers) => {
    await expect(client.query('update stock_account set layers = $1::jsonb where item_id = $2', [layers, lot.itemId])).rejects.toThrow(/do not add up/)
  })

  test('is refused an entry that leaves the layers behind', async () => {
    const insert = `insert into stock_entry (${COLUMNS}) values ('draw', $1, $2, $3, -1, 0, 'average', '2026-06-06', now(), $4, '', null, null, null)`
    await expect(client.query(insert, [lot.itemId, lot.id, CLUB_HOLDER, keeper.id])).rejects.toThrow(/do not add up/)
  })

  test('is refused value without stock, and value below nothing', async () => {
    await expect(book({ kind: 'draw', qty: -1000, value: -99 })).rejects.toThrow(/does not fit|do not add up/)
    await expect(book({ kind: 'draw', qty: -400, value: -101 })).rejects.toThrow(/does not fit/)
  })

  test.each<[string, Entry]>([
    ['a draw that brings stock', { kind: 'draw', qty: 1, value: 0 }],
    ['a receipt that takes stock', { kind: 'receipt', qty: -1, value: 0 }],
    ['a write-off that brings stock', { kind: 'write_off', qty: 1, value: 1 }],
    ['a price correction with a quantity', { kind: 'price_correction', qty: 1, value: 1 }],
    ['a price correction by nothing', { kind: 'price_correction', qty: 0, value: 0 }],
    ['a stocktake whose value goes the other way', { kind: 'stocktake', qty: 1, value: -1 }],
    ['a return of nothing', { kind: 'return', qty: 1, value: 1 }],
    ['a reversal of nothing', { kind: 'reversal', qty: -1, value: -1 }],
    ['half a transfer without its other half’s mark', { kind: 'transfer', qty: -1, value: 0 }],
    ['a write-off without a reason', { kind: 'write_off', qty: -1, value: 0, why: '' }],
  ])('is refused %s', async (_what, entry) => {
    const before = await balance()
    await expect(book(entry)).rejects.toThrow(/stock_entry_(signs|points|why)/)
    expect(await balance()).toEqual(before)
  })

  test('is refused a return above its draw, also in two parts, and after the draw was reversed', async () => {
    const draw = await book({ kind: 'draw', qty: -400, value: -40 })
    await expect(book({ kind: 'return', qty: 401, value: 40, of: draw })).rejects.toThrow(/more would come back/)
    const part = await book({ kind: 'return', qty: 300, value: 30, of: draw })
    await expect(book({ kind: 'return', qty: 101, value: 10, of: draw })).rejects.toThrow(/more would come back/)
    // A return that was itself a mistake counts no more.
    await book({ kind: 'reversal', qty: -300, value: -30, reverses: part })
    await book({ kind: 'return', qty: 400, value: 40, of: draw })
    const other = await book({ kind: 'draw', qty: -100, value: -10 })
    await book({ kind: 'reversal', qty: 100, value: 10, reverses: other })
    await expect(book({ kind: 'return', qty: 1, value: 0, of: other })).rejects.toThrow(/was reversed/)
  })

  test('is refused a return into another lot than its draw’s', async () => {
    const other = await club.make.lot({ itemId: lot.itemId, qty: 1000, by: keeper.id })
    const draw = await book({ kind: 'draw', qty: -400, value: -40 })
    await expect(book({ kind: 'return', qty: 400, value: 40, of: draw, lotId: other.id })).rejects.toThrow(/where its draw came from/)
  })

  test('is refused a second reversal, a reversal of a reversal, and one of another amount', async () => {
    const draw = await book({ kind: 'draw', qty: -400, value: -40 })
    await expect(book({ kind: 'reversal', qty: 399, value: 40, reverses: draw })).rejects.toThrow(/exactly one entry/)
    const undone = await book({ kind: 'reversal', qty: 400, value: 40, reverses: draw })
    await expect(book({ kind: 'reversal', qty: 400, value: 40, reverses: draw })).rejects.toThrow(/reverses_id/)
    await expect(book({ kind: 'reversal', qty: -400, value: -40, reverses: undone })).rejects.toThrow(/exactly one entry/)
  })

  test('reverses of a draw only what did not come back', async () => {
    const draw = await book({ kind: 'draw', qty: -400, value: -40 })
    const back = await book({ kind: 'return', qty: 100, value: 10, of: draw })
    await expect(book({ kind: 'reversal', qty: 400, value: 40, reverses: draw })).rejects.toThrow(/exactly one entry/)
    await book({ kind: 'reversal', qty: 300, value: 30, reverses: draw })
    expect(await balance()).toEqual([1000, 100, 1000])
    await expect(book({ kind: 'reversal', qty: -100, value: -10, reverses: back })).rejects.toThrow(/draw of this return was reversed/)
  })

  test('charges a price correction to a draw without touching what is in stock', async () => {
    const draw = await book({ kind: 'draw', qty: -400, value: -40 })
    const charged = await book({ kind: 'price_correction', value: -7, of: draw })
    expect(await balance()).toEqual([600, 60, 600])
    await book({ kind: 'reversal', value: 7, reverses: charged })
    expect(await balance()).toEqual([600, 60, 600])
  })

  test('can’t take away what the ledger is about', async () => {
    await expect(client.query('delete from lot where id = $1', [lot.id])).rejects.toThrow(/foreign key/)
    await expect(client.query('delete from item where id = $1', [lot.itemId])).rejects.toThrow(/foreign key/)
    await expect(client.query('delete from member where id = $1', [keeper.id])).rejects.toThrow(/foreign key/)
  })

  test('can’t make a second club that holds stock', async () => {
    await expect(client.query('insert into holder (member_id) values (null)')).rejects.toThrow(/holder_one_club/)
  })
})
