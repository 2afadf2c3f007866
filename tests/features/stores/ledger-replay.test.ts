import { spawnSync } from 'node:child_process'
import pg from 'pg'
import { describe, expect, test } from 'vitest'
import {
  CLUB_HOLDER, correctPrice, drawStock, holderOf, receiveStock, returnStock, reverseEntry, stocktakeLot, transferStock, verifyLedger, writeOff,
} from '../../../src/features/stores/public.ts'
import { cents, milli } from '../../../src/core/units/index.ts'
import type { EntryKind, EntryRow } from '../../../src/core/stock/index.ts'
import type { Result } from '../../../src/core/result.ts'
import { transact, type Tx } from '../../../src/platform/database.ts'
import { ROOT } from '../../../src/platform/paths.ts'
import type { Refusal } from '../../../src/platform/write.ts'
import { naive } from '../../core/stock/naive.ts'
import { testClub } from '../../support/app.ts'
import { dice, type Dice } from '../../support/dice.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const keeper = await club.make.member(['storekeeper'])
const minute = 60_000

class Undone extends Error {}
/** A random walk of the stores: commands as people send them, three at once; what is refused is rolled back. */
async function walk(seed: number, steps: number): Promise<Map<EntryKind, number>> {
  const d = dice(seed)
  const builds = [await club.make.build(), await club.make.build()]
  const items = [await club.make.item(), await club.make.item(), await club.make.item({ unit: 'pcs', kind: 'ply' })]
  const members = [await club.make.member(), await club.make.member()]
  const holders = [CLUB_HOLDER]
  for (const { id } of members) holders.push(await transact(club.db, (tx) => holderOf(tx, id)))
  let now = club.clock.now().getTime()
  const run = async (command: (tx: Tx) => Promise<Result<unknown, Refusal>>) => {
    try {
      await transact(club.db, async (tx) => {
        const result = await command(tx)
        if (!result.ok) throw new Undone()
      })
    } catch (error) {
      if (!(error instanceof Undone)) throw error
    }
  }
  for (let step = 0; step < steps; step += 3) {
    now += minute
    if (step % 60 === 30) await club.db.costRuleChange.create({ data: { rule: d.chance(0.5) ? 'fifo' : 'average', fromAt: new Date(now), byId: keeper.id } })
    const ctx = club.make.ctx(keeper.id, { now: new Date(now) })
    const known = await club.db.stockEntry.findMany({ where: { itemId: { in: items.map((i) => i.id) } }, orderBy: { seq: 'desc' }, take: 40, select: { id: true, kind: true } })
    const lots = await club.db.lot.findMany({ where: { itemId: { in: items.map((i) => i.id) } }, select: { id: true, itemId: true }, orderBy: { number: 'asc' } })
    await Promise.all([0, 1, 2].map(() => run(command(d, { ctx, known, lots, items, holders, builds }))))
  }
  const rows = await club.db.stockEntry.groupBy({ by: ['kind'], where: { itemId: { in: items.map((i) => i.id) } }, _count: true })
  return new Map(rows.map((row) => [row.kind, row._count]))
}

type Around = {
  ctx: ReturnType<typeof club.make.ctx>
  known: { id: string; kind: EntryKind }[]
  lots: { id: string; itemId: string }[]
  items: { id: string }[]
  holders: string[]
  builds: { id: string }[]
}

/** Every choice is made here and now, so that a command that runs twice does the same. */
function command(d: Dice, { ctx, known, lots, items, holders, builds }: Around): (tx: Tx) => Promise<Result<unknown, Refusal>> {
  const qtyMilli = d.between(1, d.chance(0.5) ? 40 : 3000)
  const holderId = d.chance(0.75) ? CLUB_HOLDER : d.pick(holders)
  const itemId = d.pick(items).id
  const why = 'By chance'
  if (lots.length < 3 || d.chance(0.14)) {
    const valueCents = d.between(0, 5000)
    return (tx) => receiveStock(tx, ctx, { itemId, qtyMilli: qtyMilli + 500, valueCents, receivedOn: '2026-06-01', code: '', holderId, expiresOn: null })
  }
  const lot = d.pick(lots)
  const entry = known.length > 0 ? d.pick(known) : { id: lot.id, kind: 'draw' as const }
  const draws = known.filter((e) => e.kind === 'draw')
  switch (d.between(0, 11)) {
    case 0: case 1: case 2: case 3: {
      const buildId = d.chance(0.7) ? d.pick(builds).id : undefined
      const weighed = d.chance(0.1) && lot.itemId === itemId ? { lotId: lot.id, leftMilli: d.between(0, 4000) } : undefined
      return (tx) => drawStock(tx, ctx, { itemId, qtyMilli, structural: true, holderId, buildId, weighed })
    }
    case 4: case 5: {
      const entryId = draws.length > 0 ? d.pick(draws).id : entry.id
      return (tx) => returnStock(tx, ctx, { entryId, qtyMilli })
    }
    case 6: case 7: return (tx) => reverseEntry(tx, ctx, { entryId: entry.id, why })
    case 8: {
      const other = d.pick(holders.slice(1))
      const [fromHolderId, toHolderId] = d.chance(0.6) ? [CLUB_HOLDER, other] : [other, CLUB_HOLDER]
      const loan = d.pick(['lend', 'give_back', null] as const)
      return (tx) => transferStock(tx, ctx, { lotId: lot.id, fromHolderId, toHolderId, qtyMilli, loan })
    }
    case 9: return (tx) => writeOff(tx, ctx, { lotId: lot.id, qtyMilli, why, holderId })
    case 10: {
      const countedMilli = d.between(0, 4000)
      return (tx) => stocktakeLot(tx, ctx, { lotId: lot.id, countedMilli, why, holderId })
    }
    default: {
      const deltaCents = d.between(-60, 300)
      return (tx) => correctPrice(tx, ctx, { lotId: lot.id, deltaCents, why })
    }
  }
}

/** The book as it is stored, read by SQL of the test's own. */
async function ledger(): Promise<EntryRow[]> {
  const { rows } = await club.database.pool.query<Record<string, string | null>>('select * from stock_entry order by seq')
  const kinds = new Map(rows.map((row) => [row['id'], row['kind']]))
  return rows.map((row) => {
    const isMove = row['kind'] === 'transfer' || kinds.get(row['reverses_id']) === 'transfer'
    return {
      id: row['id']!, seq: Number(row['seq']), kind: row['kind'] as EntryKind, itemId: row['item_id']!, lotId: row['lot_id']!, holder: row['holder_id']!, qty: milli(Number(row['qty_milli'])),
      value: cents(Number(row['value_cents'])), buildId: row['build_id'] ?? null, reversesId: row['reverses_id'] ?? null, ofEntryId: row['of_entry_id'] ?? null,
      moveId: isMove ? row['move_id']! : null, rule: row['rule'] as 'average' | 'fifo',
    }
  })
}

describe('the ledger against a second, naive model', () => {
  test.each([1, 2])('any sequence of entries, some at once (%i): each entry, balance, value and charge is the one worked out anew', async (seed) => {
    const kinds = await walk(seed, 330)
    for (const kind of ['receipt', 'draw', 'return', 'transfer', 'write_off', 'stocktake', 'price_correction', 'reversal'] as const) expect(kinds.get(kind) ?? 0).toBeGreaterThan(0)
    const rows = await ledger()
    const { told, lots, pools, charges } = naive(rows)
    expect(told).toEqual(rows.map(({ id, qty, value }) => ({ id, qty, value })))
    const { rows: balances } = await club.database.pool.query<{ key: string; q: string }>(`select lot_id || '/' || holder_id as key, qty_milli as q from lot_balance`)
    for (const { key, q } of balances) expect([key, lots.get(key) ?? 0n]).toEqual([key, BigInt(q)])
    const { rows: accounts } = await club.database.pool.query<{ key: string; q: string; v: string }>(`select item_id || '/' || holder_id as key, qty_milli as q, value_cents as v from stock_account`)
    for (const { key, q, v } of accounts) expect([key, pools.get(key) ?? { q: 0n, v: 0n }]).toEqual([key, { q: BigInt(q), v: BigInt(v) }])
    const { rows: builds } = await club.database.pool.query<{ id: string; v: string }>(`select build_id as id, -sum(value_cents) as v from stock_entry where build_id is not null group by 1`)
    for (const { id, v } of builds) expect([id, charges.get(id)]).toEqual([id, BigInt(v)])
    expect((await verifyLedger(club.db)).faults).toEqual([])
  }, 60_000)
})

describe('npm run verify:ledger', () => {
  const verify = () => spawnSync(process.execPath, ['--import', 'tsx', 'src/verify-ledger.ts'], { cwd: ROOT, encoding: 'utf8', env: { ...process.env, DATABASE_URL: club.database.url } })
  /** As one who owns the database and switches its triggers off. */
  async function tamper(statement: string, values: unknown[] = []): Promise<void> {
    const client = new pg.Client({ connectionString: club.database.url })
    await client.connect()
    try {
      await client.query("set session_replication_role = 'replica'")
      await client.query(statement, values)
    } finally {
      await client.end()
    }
  }

  test('proves a book that is right, and ends with 1 and the faults where it is not', async () => {
    const right = verify()
    expect(right.stdout).toContain('The ledger is right')
    expect(right.status).toBe(0)
    const lot = await club.make.lot({ qty: 1_000_000, cents: 500, by: keeper.id })
    await tamper('update lot_balance set qty_milli = qty_milli + 7 where lot_id = $1', [lot.id])
    const wrong = verify()
    expect(wrong.status).toBe(1)
    expect(wrong.stdout).toContain(`lot ${lot.number} (`)
    expect(wrong.stdout).toContain('kept 1000007 thousandths, replayed 1000000')
    await tamper('update lot_balance set qty_milli = qty_milli - 7 where lot_id = $1', [lot.id])
  }, 60_000)

  test.each([
    ['a value of an account', (id: string) => [`update stock_account set value_cents = value_cents + 1 where item_id = '${id}'`, `update stock_account set value_cents = value_cents - 1 where item_id = '${id}'`], 'kept 501 cents, replayed 500'],
    ['layers', (id: string) => [`update stock_account set layers = '[{"q": 400, "v": 250}, {"q": 600, "v": 250}]' where item_id = '${id}'`, `update stock_account set layers = '[{"q": 1000, "v": 500}]' where item_id = '${id}'`], 'in layers'],
    ['an entry’s quantity', (id: string) => [`update stock_entry set qty_milli = 1001 where item_id = '${id}'`, `update stock_entry set qty_milli = 1000 where item_id = '${id}'`], 'kept 1000 thousandths, replayed 1001'],
    ['an entry’s holder', (id: string) => [`update stock_entry set holder_id = (select id from holder where member_id is not null limit 1) where item_id = '${id}'`, `update stock_entry set holder_id = '${CLUB_HOLDER}' where item_id = '${id}'`], 'kept 1000 thousandths, replayed 0'],
  ])('finds %s changed behind its back', async (_what, statements, message) => {
    const lot = await club.make.lot({ qty: 1000, cents: 500, by: keeper.id })
    const [change, back] = statements(lot.itemId)
    await tamper(change!)
    expect((await verifyLedger(club.db)).faults.join('\n')).toContain(message)
    await tamper(back!)
    expect((await verifyLedger(club.db)).faults).toEqual([])
  })

  test('finds an entry that was taken away', async () => {
    const lot = await club.make.lot({ qty: 1000, cents: 500, by: keeper.id })
    const ctx = club.make.ctx(keeper.id)
    await transact(club.db, (tx) => drawStock(tx, ctx, { itemId: lot.itemId, qtyMilli: 300, structural: true }))
    await tamper(`delete from stock_entry where item_id = '${lot.itemId}' and kind = 'draw'`)
    const { faults } = await verifyLedger(club.db)
    expect(faults.join('\n')).toContain('kept 700 thousandths, replayed 1000')
  })
})
