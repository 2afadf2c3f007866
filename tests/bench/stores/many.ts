/** A hundred thousand ledger entries, booked by the core in memory and written in chunks; values and balances are as the service would have them. */
import { randomUUID } from 'node:crypto'
import pg from 'pg'
import { book, EMPTY_POOL, poolToRows, type Draft, type Pool } from '../../../src/core/stock/index.ts'
import { cents, milli } from '../../../src/core/units/index.ts'
import { CLUB_HOLDER } from '../../../src/features/stores/public.ts'
import { dice } from '../../support/dice.ts'
import type { BenchClub } from '../club.ts'

type Row = { id: string; kind: string; item_id: string; lot_id: string; qty_milli: number; value_cents: number; on_date: string; build_id: string | null }

const CHUNK = 5000
const ITEMS = 40
const BUILDS = 20

/** @returns the item and the build with the most entries, and how many those are. */
export async function fillLedger(club: BenchClub, entries: number, byId: string) {
  const { db, make } = club
  const die = dice(77)
  const items: { id: string; pool: Pool; lots: { id: string; left: number }[]; count: number }[] = []
  for (let i = 0; i < ITEMS; i++) {
    const { id } = await db.item.create({ data: { name: `Item ${i + 1}`, kind: 'other', unit: 'g' } })
    items.push({ id, pool: EMPTY_POOL, lots: [], count: 0 })
    await db.stockAccount.create({ data: { itemId: id, holderId: CLUB_HOLDER } })
  }
  const builds: { id: string; count: number }[] = []
  for (let i = 0; i < BUILDS; i++) builds.push({ id: (await make.build({}, [byId])).id, count: 0 })
  // A few are in every boat, most now and then.
  const often = items.map((_, i) => 1 / (i + 2))
  const all = often.reduce((a, b) => a + b, 0)
  const anItem = () => {
    let r = die.roll() * all
    return items[often.findIndex((w) => (r -= w) <= 0)] ?? items[0]!
  }
  const client = new pg.Client({ connectionString: club.url })
  await client.connect()
  let rows: Row[] = []
  const flush = async () => {
    await client.query('begin')
    await client.query(
      `insert into stock_entry (id, kind, item_id, lot_id, holder_id, qty_milli, value_cents, rule, on_date, at, by_id, why, build_id)
       select x.id, x.kind::"EntryKind", x.item_id, x.lot_id, $2, x.qty_milli, x.value_cents, 'average', x.on_date, x.on_date + time '12:00', $3, 'bench', x.build_id
       from jsonb_to_recordset($1::jsonb) as x(id uuid, kind text, item_id uuid, lot_id uuid, qty_milli bigint, value_cents int, on_date date, build_id uuid)`,
      [JSON.stringify(rows), CLUB_HOLDER, byId])
    for (const item of items) await client.query('update stock_account set layers = $1 where item_id = $2 and holder_id = $3', [JSON.stringify(poolToRows(item.pool)), item.id, CLUB_HOLDER])
    await client.query('commit')
    rows = []
  }
  for (let n = 0; n < entries; n++) {
    const item = anItem()
    const day = new Date(club.now.getTime() - (entries - n) * ((3 * 365 * 86_400_000) / entries)).toISOString().slice(0, 10)
    let lot = item.lots.find((l) => l.left > 0)
    const isReceipt = !lot || die.roll() < 0.03
    if (isReceipt || !lot) {
      lot = { id: (await client.query<{ id: string }>('insert into lot (item_id, received_on) values ($1, $2) returning id', [item.id, day])).rows[0]!.id, left: 0 }
      item.lots.push(lot)
    }
    const draft: Draft = isReceipt
      ? { kind: 'receipt', qty: milli(5_000_000), value: cents(8000 + Math.floor(die.roll() * 4000)) }
      : { kind: 'draw', qty: milli(Math.min(lot.left, 20_000 + Math.floor(die.roll() * 280) * 1000)) }
    const booked = book(item.pool, milli(lot.left), draft, 'average')
    if (!booked.ok) throw new Error(JSON.stringify(booked.refusal))
    item.pool = booked.value.pool
    lot.left = booked.value.lotQty
    item.count++
    const build = isReceipt ? null : (builds[Math.floor(die.roll() ** 2 * BUILDS)] ?? builds[0]!)
    if (build) build.count++
    rows.push({ id: randomUUID(), kind: draft.kind, item_id: item.id, lot_id: lot.id, qty_milli: booked.value.qty, value_cents: booked.value.value, on_date: day, build_id: build?.id ?? null })
    if (rows.length === CHUNK) await flush()
  }
  await flush()
  await client.query('analyze')
  await client.end()
  const most = <T extends { count: number }>(list: T[]) => list.reduce((a, b) => (b.count > a.count ? b : a))
  return { item: most(items), build: most(builds) }
}
