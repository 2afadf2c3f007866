import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { poolQty, poolValue, replay, type EntryRow } from '../../../src/core/stock/index.ts'
import { cents, milli } from '../../../src/core/units/index.ts'
import { naive } from './naive.ts'
import { Shop, type Holder } from './shop.ts'

const LOTS = ['resin.1', 'resin.2', 'ply.1']
const HOLDERS: readonly Holder[] = [null, 'ann']

/** Invented: what people do at a shelf, in any order. Amounts are shares of what is there, 0 to 1, and a little beyond. */
const step = fc.record({
  what: fc.constantFrom(
    'receipt', 'receipt', 'draw', 'draw', 'draw', 'return', 'return', 'write_off', 'transfer', 'transfer', 'stocktake', 'correct',
    'reverse', 'reverse', 'rule'),
  lot: fc.constantFrom(...LOTS),
  holder: fc.constantFrom(...HOLDERS, null),
  share: fc.integer({ min: 0, max: 105 }),
  pick: fc.nat(1_000_000),
  value: fc.oneof(fc.integer({ min: 0, max: 9 }), fc.integer({ min: 0, max: 1_000_000_000 })),
  qty: fc.oneof(fc.integer({ min: 1, max: 7 }), fc.integer({ min: 1, max: 1_000_000_000_000 })),
  build: fc.constantFrom('b1', 'b2', null),
})
type Step = typeof step extends fc.Arbitrary<infer T> ? T : never

function walk(shop: Shop, { what, lot, holder, share, pick, value, qty, build }: Step): void {
  const left = shop.left(lot, holder)
  const some = Math.ceil((left * share) / 100)
  const draws = shop.rows.filter(({ kind }) => kind === 'draw')
  const draw = draws[pick % Math.max(1, draws.length)]
  const any = shop.rows[pick % Math.max(1, shop.rows.length)]
  if (what === 'receipt') shop.book(lot, holder, { kind: 'receipt', qty: milli(qty), value: cents(value) })
  if (what === 'draw') shop.draw(lot, holder, some, build)
  if (what === 'write_off') shop.book(lot, holder, { kind: 'write_off', qty: milli(some) })
  if (what === 'return' && draw !== undefined) shop.giveBack(draw, Math.ceil((shop.out(draw).qty * share) / 100))
  if (what === 'transfer') shop.transfer(lot, holder, holder === null ? 'ann' : null, some)
  const counted = milli(Math.floor((left * share) / 90) + (left === 0 ? share : 0))
  if (what === 'stocktake') shop.book(lot, holder, { kind: 'stocktake', counted, whenEmpty: { qty: milli(1000), value: cents(700) } })
  if (what === 'correct') shop.correctPrice(lot, (value % 5000) - 2500)
  if (what === 'reverse' && any !== undefined) shop.reverse(any)
  if (what === 'rule') shop.rule = share > 50 ? 'fifo' : 'average'
}

const shops = fc.array(step, { minLength: 10, maxLength: 60, size: 'max' }).map((steps) => {
  const shop = new Shop()
  for (const one of steps) walk(shop, one)
  return shop
})

const RUNS = { numRuns: 400, seed: 7 }

describe('any sequence of entries, with changes of rule', () => {
  test('is worth what a naive model says that shares nothing with core', () => {
    fc.assert(fc.property(shops, (shop) => {
      const { told, lots, pools, charges } = naive(shop.rows)
      expect(shop.rows.map(({ id, qty, value }) => ({ id, qty: qty + 0, value: value + 0 }))).toEqual(told)
      for (const [name, { qty }] of shop.lots) expect(lots.get(name)).toBe(BigInt(qty))
      for (const [name, { pool }] of shop.pools) expect(pools.get(name)).toEqual({ q: BigInt(poolQty(pool)), v: BigInt(poolValue(pool)) })
      for (const { buildId, value } of shop.stored().charges!) expect(charges.get(buildId)).toBe(BigInt(value))
    }), RUNS)
  })

  test('met all kinds of entry, both rules, reversals of each kind, and refusals of each kind (so that the others here mean something)', () => {
    const met = new Set<string>()
    fc.assert(fc.property(shops, (shop) => {
      for (const row of shop.rows) {
        met.add(row.kind).add(row.rule).add(row.reversesId === null ? '' : `reversed ${shop.row(row.reversesId).kind}`)
        if (row.kind === 'price_correction') met.add(row.ofEntryId === null ? 'correction of stock' : 'correction of a draw')
      }
      for (const { kind } of shop.refusals) met.add(`refused ${kind}`)
      for (const { pool } of shop.pools.values()) if (pool.layers.length > 3) met.add('many layers')
    }), { ...RUNS, numRuns: 2000 })
    expect([...met].sort()).toEqual([
      '', 'average', 'correction of a draw', 'correction of stock', 'draw', 'fifo', 'many layers', 'price_correction', 'receipt',
      'refused above-draw', 'refused all-returned', 'refused already-reversed', 'refused below-zero', 'refused corrected',
      'refused draw-reversed', 'refused is-reversal',
      'refused not-enough', 'refused nothing', 'refused still-drawn', 'refused too-large', 'return',
      'reversal', 'reversed draw', 'reversed price_correction', 'reversed receipt', 'reversed return', 'reversed stocktake', 'reversed transfer',
      'reversed write_off', 'stocktake', 'transfer', 'write_off',
    ])
  })

  test('replays to what is stored without a disagreement', () => {
    fc.assert(fc.property(shops, (shop) => {
      expect(replay(shop.rows, shop.stored()).disagreements).toEqual([])
    }), RUNS)
  })

  test('never goes below 0, leaves no value without stock, and pools hold what their lots do', () => {
    fc.assert(fc.property(shops, (shop) => {
      for (const { qty } of shop.lots.values()) expect(qty).toBeGreaterThanOrEqual(0)
      for (const { itemId, holder, pool } of shop.pools.values()) {
        for (const { qty, value } of pool.layers) {
          expect(qty).toBeGreaterThan(0)
          expect(value).toBeGreaterThanOrEqual(0)
        }
        const held = [...shop.lots.values()].filter((lot) => lot.holder === holder && shop.itemOf(lot.lotId) === itemId)
        expect(poolQty(pool)).toBe(held.reduce((sum, { qty }) => sum + qty, 0))
      }
    }), RUNS)
  })

  test('gives every cent and gram of a draw back: what is returned and reversed of it is what left', () => {
    fc.assert(fc.property(shops, (shop) => {
      for (const draw of shop.rows.filter(({ kind, reversed }) => kind === 'draw' && !reversed)) shop.reverse(draw)
      for (const draw of shop.rows.filter(({ kind }) => kind === 'draw')) expect(shop.out(draw)).toMatchObject({ qty: 0, value: 0 })
      for (const { value } of shop.stored().charges!.filter(({ buildId }) => onlyDraws(shop, buildId))) expect(value).toBe(0)
    }), RUNS)
  })

  test('with one draw booked a cent too dear has that disagreement, at that entry', () => {
    let tried = 0
    fc.assert(fc.property(shops, fc.nat(), (shop, pick) => {
      const draws = shop.rows.filter(({ kind }) => kind === 'draw')
      if (draws.length === 0) return
      const wrong = draws[pick % draws.length]!
      const { disagreements } = replay(shop.rows.map((row) => (row === wrong ? { ...row, value: cents(row.value - 1) } : row)))
      expect(disagreements[0]).toEqual({ kind: 'value', id: wrong.id, seq: wrong.seq, booked: wrong.value - 1, replayed: wrong.value })
      tried += 1
    }), RUNS)
    expect(tried).toBeGreaterThan(100)
  })

  test('with one entry missing, or of another quantity, value, lot, holder or build, disagrees with what is stored', () => {
    let tried = 0
    const what = fc.constantFrom('gone', 'qty', 'value', 'lotId', 'holder', 'buildId')
    fc.assert(fc.property(shops, fc.nat(), what, fc.integer({ min: -2, max: 2 }), (shop, pick, key, by) => {
      const moving = shop.rows.filter(({ qty }) => qty !== 0)
      const one = moving[pick % Math.max(1, moving.length)]
      if (one === undefined || by === 0 || (key === 'buildId' && one.value === 0)) return
      const changed = {
        ...one,
        ...(key === 'qty' ? { qty: milli(one.qty + by) } : {}),
        ...(key === 'value' ? { value: cents(one.value + by) } : {}),
        ...(key === 'lotId' ? { lotId: `${one.lotId}x` } : {}),
        ...(key === 'holder' ? { holder: one.holder === null ? 'ann' : null } : {}),
        ...(key === 'buildId' ? { buildId: 'b3' } : {}),
      }
      const rows = shop.rows.flatMap((row) => (row !== one ? [row] : key === 'gone' ? [] : [changed]))
      expect(replay(rows, shop.stored()).disagreements).not.toEqual([])
      tried += 1
    }), { ...RUNS, numRuns: 1500 })
    expect(tried).toBeGreaterThan(500)
  })
})

/** Nothing but draws and what belongs to them is booked on this build. */
function onlyDraws(shop: Shop, buildId: string): boolean {
  return shop.rows.every((row) => row.buildId !== buildId || row.kind !== 'write_off')
}

describe('replay says of a ledger', () => {
  const shop = (): Shop => {
    const one = new Shop()
    one.book('resin.1', null, { kind: 'receipt', qty: milli(5000), value: cents(1000) })
    one.draw('resin.1', null, 2000)
    one.transfer('resin.1', null, 'ann', 1000)
    return one
  }
  const told = (rows: readonly EntryRow[], stored = {}) => replay(rows, stored).disagreements
  const change = (at: number, by: Partial<EntryRow>): EntryRow[] => shop().rows.map((row, i) => (i === at ? { ...row, ...by } : row))

  test('that is right: nothing, and what it comes to', () => {
    const { entries, balances, pools, charges, disagreements } = replay(shop().rows, shop().stored())
    expect(disagreements).toEqual([])
    expect(entries).toBe(4)
    // 2000 of 5000 at 1000 cents are 400, 1000 more are 200.
    expect(balances).toEqual([{ lotId: 'resin.1', holder: null, qty: 2000 }, { lotId: 'resin.1', holder: 'ann', qty: 1000 }])
    expect(pools).toMatchObject([{ holder: null, qty: 2000, value: 400 }, { holder: 'ann', qty: 1000, value: 200 }])
    expect(charges).toEqual([{ buildId: 'b1', value: 400 }])
  })

  test('an entry twice', () => {
    const { rows } = shop()
    expect(told([...rows, { ...rows[1]!, seq: 9 }])).toEqual([{ kind: 'twice', id: 'e2', seq: 9 }])
  })

  test('entries out of order', () => {
    expect(told(change(2, { seq: 1 }))).toContainEqual({ kind: 'out-of-order', id: 'e3', seq: 1, after: 2 })
  })

  test('a lot that is of two items', () => {
    expect(told(change(1, { itemId: 'ply' }))).toEqual([{ kind: 'lot-of-another-item', id: 'e2', seq: 2, lotId: 'resin.1' }])
  })

  test('a draw that could not have been: below 0', () => {
    expect(told(change(1, { qty: milli(-5001) }))[0]).toEqual({ kind: 'refused', id: 'e2', seq: 2, itemId: 'resin', refusal: { kind: 'not-enough', left: 5000 } })
  })

  test('a draw with the sign of a receipt', () => {
    expect(told(change(1, { qty: milli(2000) }))).toContainEqual({ kind: 'wrong-sign', id: 'e2', seq: 2 })
  })

  test('a transfer that arrives with another quantity or value, or not at all', () => {
    expect(told(change(3, { qty: milli(999) }))).toEqual([{ kind: 'unpaired', moveId: 'm0' }])
    expect(told(change(3, { value: cents(201) }))).toEqual([{ kind: 'unpaired', moveId: 'm0' }])
    expect(told(shop().rows.slice(0, 3))).toEqual([{ kind: 'unpaired', moveId: 'm0' }])
  })

  test('a reversal of what is not there, or done before', () => {
    const one = shop()
    one.reverse(one.row('e2'))
    const back = one.rows.at(-1)!
    const elsewhere = one.rows.map((row) => (row === back ? { ...row, reversesId: 'e77' } : row))
    expect(told(elsewhere)).toEqual([{ kind: 'wrong-entry', id: 'e5', seq: 5, of: 'e77' }])
    const again = [...one.rows, { ...back, id: 'e6', seq: 6 }]
    expect(told(again)).toEqual([{ kind: 'refused', id: 'e6', seq: 6, itemId: 'resin', refusal: { kind: 'already-reversed' } }])
  })

  test('a return on the draw of another lot', () => {
    const one = shop()
    one.book('resin.2', null, { kind: 'receipt', qty: milli(100), value: cents(5) })
    const other = one.draw('resin.2', null, 100)!
    one.giveBack(one.row('e2'), 50)
    const rows = one.rows.map((row) => (row.kind === 'return' ? { ...row, ofEntryId: other.id } : row))
    expect(told(rows)).toEqual([{ kind: 'wrong-entry', id: 'e7', seq: 7, of: other.id }])
  })

  test('balances, pools, layers and charges that say something else', () => {
    const { rows } = shop()
    const stored = shop().stored()
    expect(told(rows, { balances: [{ lotId: 'resin.1', holder: null, qty: milli(1999) }, ...stored.balances!.slice(1)] }))
      .toEqual([{ kind: 'balance', lotId: 'resin.1', holder: null, stored: 1999, replayed: 2000 }])
    expect(told(rows, { balances: stored.balances!.slice(1) }))
      .toEqual([{ kind: 'balance', lotId: 'resin.1', holder: null, stored: 0, replayed: 2000 }])
    const ann = stored.pools![1]!
    expect(told(rows, { pools: [stored.pools![0]!, { ...ann, value: cents(199) }] }))
      .toEqual([{ kind: 'pool-value', itemId: 'resin', holder: 'ann', stored: 199, replayed: 200 }])
    const layers = [{ q: 400, v: 200 }, { q: 600, v: 0 }]
    expect(told(rows, { pools: [stored.pools![0]!, { ...ann, layers }] }))
      .toEqual([{ kind: 'pool-layers', itemId: 'resin', holder: 'ann', stored: layers, replayed: [{ q: 1000, v: 200 }] }])
    expect(told(rows, { charges: [] })).toEqual([{ kind: 'charge', buildId: 'b1', stored: 0, replayed: 400 }])
  })

  test('of 100,000 entries, all that are wrong', () => {
    const one = new Shop()
    one.book('resin.1', null, { kind: 'receipt', qty: milli(1_000_000_000), value: cents(1_234_567) })
    const rows: EntryRow[] = [one.rows[0]!]
    // Whole cents for whole kilograms at an average of 2 cents: 1 kg out, again and again, half of it put back.
    for (let seq = 2; seq <= 100_000; seq++) {
      const isOut = seq % 2 === 0
      rows.push({
        ...one.rows[0]!, id: `e${seq}`, seq, kind: isOut ? 'draw' : 'return', qty: milli(isOut ? -1000 : 1000), value: cents(isOut ? -1 : 1),
        ofEntryId: isOut ? null : `e${seq - 1}`, buildId: 'b1',
      })
    }
    const { entries, disagreements, charges } = replay(rows)
    expect(entries).toBe(100_000)
    // 1,234,567 × 1000 / 1,000,000,000 = 1.23: 1 cent each time. The last draw is not put back.
    expect(disagreements).toEqual([])
    expect(charges).toEqual([{ buildId: 'b1', value: 1 }])
    const wrong = rows.with(50_000, { ...rows[50_000]!, value: cents(2) })
    expect(replay(wrong).disagreements).toEqual([{ kind: 'value', id: 'e50001', seq: 50_001, booked: 2, replayed: 1 }])
  })
})
