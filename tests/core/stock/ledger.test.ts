import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  book, correct, EMPTY_POOL, MOST_QTY, MOST_VALUE, poolFromRows, poolQty, poolToRows, poolValue, putBack, putIn, reverseTransfer, spreadCorrection,
  takeBack, takeOut, transfer, type Booked, type Booking, type CostRule, type Draft, type Out, type Pool,
} from '../../../src/core/stock/index.ts'
import { cents, milli } from '../../../src/core/units/index.ts'

const pool = (...rows: [q: number, v: number][]): Pool => poolFromRows(rows.map(([q, v]) => ({ q, v })))
const rows = (of: Pool): number[][] => poolToRows(of).map(({ q, v }) => [q, v])
const out = (qty: number, value: number, reversed = false): Out => ({ qty: milli(qty), value: cents(value), reversed })
const booked = (kind: Booked['kind'], qty: number, value: number, more: Partial<Booked> = {}): Booked =>
  ({ kind, qty: milli(qty), value: cents(value), reversed: false, ...more })

/** The whole pool is in the lot unless said otherwise. */
function done(of: Pool, draft: Draft, rule: CostRule = 'average', lotQty: number = poolQty(of)): Booking {
  const result = book(of, milli(lotQty), draft, rule)
  if (!result.ok) throw new Error(JSON.stringify(result.refusal))
  return result.value
}
function refusal(of: Pool, draft: Draft, rule: CostRule = 'average', lotQty: number = poolQty(of)): unknown {
  const result = book(of, milli(lotQty), draft, rule)
  return result.ok ? null : result.refusal
}
const draw = (qty: number): Draft => ({ kind: 'draw', qty: milli(qty) })
const reverse = (of: Booked): Draft => ({ kind: 'reversal', of })

describe('costs', () => {
  test('an average merges what comes in, first-in-first-out keeps it apart', () => {
    expect(rows(putIn(pool([3000, 100]), 'average', milli(1000), cents(60)))).toEqual([[4000, 160]])
    expect(rows(putIn(pool([3000, 100]), 'fifo', milli(1000), cents(60)))).toEqual([[3000, 100], [1000, 60]])
  })

  test('what goes out of an average is rounded half up, and the last of the stock takes the last cent', () => {
    // 1000 of 3000 at 100: 33.33; then 1000 of 2000 at 67: 33.5, half up 34; then the last 33.
    const first = done(pool([3000, 100]), draw(1000))
    const second = done(first.pool, draw(1000))
    const third = done(second.pool, draw(1000))
    expect([first.value, second.value, third.value]).toEqual([-33, -34, -33])
    expect(third.pool).toEqual(EMPTY_POOL)
    expect(third.lotQty).toBe(0)
  })

  test('what goes out of first-in-first-out takes whole old layers and a part of the next', () => {
    // 500 at 70, and 100 of 400 at 90: 22.5, half up 23.
    const { value, pool: left } = done(pool([500, 70], [400, 90]), draw(600), 'fifo')
    expect(value).toBe(-93)
    expect(rows(left)).toEqual([[300, 67]])
  })

  test('from an average to first-in-first-out, what is there is one opening layer', () => {
    const opened = putIn(pool([500, 70]), 'fifo', milli(100), cents(90))
    expect(rows(opened)).toEqual([[500, 70], [100, 90]])
  })

  test('from first-in-first-out to an average, layers merge at the next entry', () => {
    // 160 cents for 600: 100 of it are 26.67
    const { value, pool: left } = done(pool([500, 70], [100, 90]), draw(100), 'average')
    expect(value).toBe(-27)
    expect(rows(left)).toEqual([[500, 133]])
  })

  test('no cent is lost at a tonne of thousandths and ten million', () => {
    // 10^12 - 1 of 10^12 thousandths at 10^9 cents: 999,999,999.999, so nothing is left of the value but for the last of it.
    const taken = takeOut(pool([1e12, 1e9]), 'average', milli(1e12 - 1))
    expect(taken).toEqual({ ok: true, value: { value: 1e9, pool: pool([1, 0]) } })
    // A third, by hand: 333,333,333,333 × 999,999,999 / 10^12 = 333,333,332.666 333 333…
    const third = takeOut(pool([1e12, 999_999_999]), 'average', milli(333_333_333_333))
    expect(third.ok && third.value.value).toBe(333_333_333)
  })

  test('what comes back is the oldest', () => {
    expect(rows(putBack(pool([400, 90]), 'fifo', milli(100), cents(7)))).toEqual([[100, 7], [400, 90]])
  })

  test('a correction changes layers in proportion to their value, and never goes below 0', () => {
    // 10 on 30 and 60: 3.33 and 6.67
    expect(correct(pool([100, 30], [5, 60]), cents(10))).toEqual({ ok: true, value: pool([100, 33], [5, 67]) })
    expect(correct(pool([100, 30], [5, 60]), cents(-90))).toEqual({ ok: true, value: pool([100, 0], [5, 0]) })
    expect(correct(pool([100, 30], [5, 60]), cents(-91))).toEqual({ ok: false, refusal: { kind: 'below-zero', value: 90 } })
    // Without value, by quantity.
    expect(correct(pool([100, 0], [300, 0]), cents(8))).toEqual({ ok: true, value: pool([100, 2], [300, 6]) })
    expect(correct(EMPTY_POOL, cents(1))).toEqual({ ok: false, refusal: { kind: 'not-enough', left: 0 } })
  })

  test('rows that are no stock are a fault', () => {
    expect(() => pool([0, 5])).toThrow(RangeError)
    expect(() => pool([5, -1])).toThrow(RangeError)
    expect(() => pool([5.5, 1])).toThrow(RangeError)
  })

  test('a lot of more than its pool was read at another time', () => {
    expect(() => book(pool([5, 1]), milli(6), draw(1), 'average')).toThrow('its lot 6')
  })
})

describe('draws, write-offs, transfers', () => {
  test('are refused above what the lot holds, whatever the pool holds, and say what is left', () => {
    expect(refusal(pool([900, 90]), draw(301), 'average', 300)).toEqual({ kind: 'not-enough', left: 300 })
    expect(refusal(pool([900, 90]), { kind: 'write_off', qty: milli(301) }, 'average', 300)).toEqual({ kind: 'not-enough', left: 300 })
    expect(refusal(pool([900, 90]), { kind: 'transfer', way: 'out', qty: milli(301) }, 'fifo', 300)).toEqual({ kind: 'not-enough', left: 300 })
    expect(done(pool([900, 90]), draw(300), 'average', 300)).toMatchObject({ qty: -300, value: -30, lotQty: 0 })
  })

  test.each<[string, Draft]>([
    ['draw', draw(0)],
    ['receipt', { kind: 'receipt', qty: milli(0), value: cents(5) }],
    ['return', { kind: 'return', qty: milli(0), out: out(5, 5) }],
    ['correction', { kind: 'price_correction', delta: cents(0) }],
    ['count that agrees', { kind: 'stocktake', counted: milli(900) }],
  ])('a %s of nothing is nothing', (_, draft) => expect(refusal(pool([900, 90]), draft)).toEqual({ kind: 'nothing' }))

  test('a transfer arrives with what left, under the same rule, and is undone to the cent', () => {
    const from = { pool: pool([500, 70], [400, 90]), lotQty: milli(600) }
    const to = { pool: pool([10, 1]), lotQty: milli(0) }
    const moved = transfer(from, to, milli(600), 'fifo')
    if (!moved.ok) throw new Error('refused')
    // 70, and 100 of 400 at 90: 22.5, half up 23
    expect(moved.value.out).toMatchObject({ qty: -600, value: -93, lotQty: 0 })
    expect(moved.value.in).toMatchObject({ qty: 600, value: 93, lotQty: 600 })
    expect(rows(moved.value.in.pool)).toEqual([[10, 1], [600, 93]])
    const back = reverseTransfer(
      { pool: moved.value.out.pool, lotQty: milli(0) }, { pool: moved.value.in.pool, lotQty: milli(600) }, booked('transfer', 600, 93), 'fifo')
    if (!back.ok) throw new Error('refused')
    expect(rows(back.value.in.pool)).toEqual([[10, 1]])
    expect(rows(back.value.out.pool)).toEqual([[600, 93], [300, 67]])
  })

  test('a transfer of which some was used since can not be undone', () => {
    const side = { pool: pool([600, 60]), lotQty: milli(599) }
    expect(reverseTransfer(side, side, booked('transfer', 600, 60), 'average'))
      .toEqual({ ok: false, refusal: { kind: 'still-drawn', left: 599, drawn: 1 } })
  })
})

describe('returns', () => {
  test('go back by parts at the cost they left at, and the part that completes the draw takes the remaining cents', () => {
    // 100 cents left for 3: 33.33, then 33.5 of 67 for 2, then 33
    const first = done(pool([10, 1]), { kind: 'return', qty: milli(1), out: out(3, 100) })
    const second = done(first.pool, { kind: 'return', qty: milli(1), out: out(2, 67) })
    const third = done(second.pool, { kind: 'return', qty: milli(1), out: out(1, 33) })
    expect([first.value, second.value, third.value]).toEqual([33, 34, 33])
    expect(rows(third.pool)).toEqual([[13, 101]])
  })

  test('above what is still out are refused, with what could come back', () => {
    expect(refusal(EMPTY_POOL, { kind: 'return', qty: milli(4), out: out(3, 100) })).toEqual({ kind: 'above-draw', returnable: 3 })
    expect(refusal(EMPTY_POOL, { kind: 'return', qty: milli(1), out: out(0, 0, true) })).toEqual({ kind: 'above-draw', returnable: 0 })
  })
})

describe('stocktakes', () => {
  test('book a loss at cost and a find at the average', () => {
    expect(done(pool([900, 90]), { kind: 'stocktake', counted: milli(250) }, 'average', 300)).toMatchObject({ qty: -50, value: -5, lotQty: 250 })
    expect(done(pool([900, 90]), { kind: 'stocktake', counted: milli(345) }, 'average', 300)).toMatchObject({ qty: 45, value: 5, lotQty: 345 })
  })

  test('value a find in an empty pool at what is known of its price, else at 0', () => {
    const counted = milli(150)
    // 1999 for 1000: 150 are 299.85
    const whenEmpty = { qty: milli(1000), value: cents(1999) }
    expect(done(EMPTY_POOL, { kind: 'stocktake', counted, whenEmpty })).toMatchObject({ qty: 150, value: 300 })
    expect(done(EMPTY_POOL, { kind: 'stocktake', counted })).toMatchObject({ qty: 150, value: 0 })
  })

  test('let the same can be drawn from after it was weighed', () => {
    // The book says 250, the can holds 400: found 150 at 0.1, then 300 are drawn.
    const found = done(pool([250, 25]), { kind: 'stocktake', counted: milli(400) })
    expect(done(found.pool, draw(300), 'average', found.lotQty)).toMatchObject({ qty: -300, value: -30, lotQty: 100 })
  })
})

describe('price corrections', () => {
  test('of stock change the pool and no quantity', () => {
    expect(done(pool([900, 90]), { kind: 'price_correction', delta: cents(10) })).toMatchObject({ qty: 0, value: 10, pool: pool([900, 100]) })
    expect(refusal(pool([900, 90]), { kind: 'price_correction', delta: cents(-91) })).toEqual({ kind: 'below-zero', value: 90 })
  })

  test('of a draw change what it is charged, and not the pool', () => {
    const dearer: Draft = { kind: 'price_correction', delta: cents(10), out: out(100, 40) }
    expect(done(pool([900, 90]), dearer)).toMatchObject({ qty: 0, value: -10, pool: pool([900, 90]) })
    expect(refusal(pool([900, 90]), { ...dearer, delta: cents(-41) })).toEqual({ kind: 'below-zero', value: 40 })
    expect(refusal(pool([900, 90]), { ...dearer, out: out(0, 0) })).toEqual({ kind: 'all-returned' })
    expect(refusal(pool([900, 90]), { ...dearer, out: out(0, 0, true) })).toEqual({ kind: 'draw-reversed' })
  })

  test('spread where the lot went, by quantity, to the cent', () => {
    // 100 cents on 5000: 2000 left 40; 1500 drawn 30; 700 drawn 14; 800 gone otherwise 16
    const draws = [{ key: 'd1', qty: milli(1500) }, { key: 'd2', qty: milli(700) }]
    expect(spreadCorrection({ delta: cents(100), received: milli(5000), left: milli(2000), draws }))
      .toEqual({ stock: 40, draws: [{ key: 'd1', share: 30 }, { key: 'd2', share: 14 }], rest: 16 })
  })

  test('spread cents that do not divide by largest remainder', () => {
    // -100 on three times 1: 33.33 each, the first takes the cent over
    const draws = [{ key: 1, qty: milli(1) }, { key: 2, qty: milli(1) }]
    expect(spreadCorrection({ delta: cents(-100), received: milli(3), left: milli(1), draws }))
      .toEqual({ stock: -34, draws: [{ key: 1, share: -33 }, { key: 2, share: -33 }], rest: 0 })
  })
})

describe('reversals', () => {
  test('of a draw put back what is still out of it, at what is still charged, before what came later', () => {
    const of = booked('draw', -100, -40, { out: out(60, 25) })
    expect(done(pool([5, 5]), reverse(of), 'fifo')).toMatchObject({ qty: 60, value: 25, pool: pool([60, 25], [5, 5]) })
    expect(done(pool([5, 5]), reverse(booked('write_off', -100, -40)))).toMatchObject({ qty: 100, value: 40, pool: pool([105, 45]) })
    expect(refusal(pool([5, 5]), reverse({ ...of, out: out(0, 0) }))).toEqual({ kind: 'nothing' })
  })

  test('of a receipt take it out at what it came in at, where it was put', () => {
    expect(done(pool([100, 30], [50, 40], [10, 1]), reverse(booked('receipt', 50, 40)), 'fifo'))
      .toMatchObject({ qty: -50, value: -40, pool: pool([100, 30], [10, 1]) })
    // 200 at 50, with 100 at 10 receipted wrongly: the average goes back to what it was.
    expect(done(pool([300, 60]), reverse(booked('receipt', 100, 10)), 'average', 100)).toMatchObject({ value: -10, pool: pool([200, 50]) })
  })

  test('of a receipt whose layer was used up take the newest, and the rest bears the difference', () => {
    const before = pool([32, 26], [10, 1])
    const { value, pool: left } = done(before, reverse(booked('receipt', 30, 20)), 'fifo')
    // It came in as 30 at 20. Newest 10 at 1, then 20 of 32 at 26: 16.25. That is 17; the 12 left at 10 bear 3 more.
    expect(value).toBe(-20)
    expect(rows(left)).toEqual([[12, 7]])
  })

  test('of a receipt leave no value below 0 and none without stock', () => {
    // In at 90, but 100 of 150 left at the average meanwhile: only 40 are there.
    expect(done(pool([50, 40]), reverse(booked('receipt', 50, 90)))).toMatchObject({ qty: -50, value: -40, pool: EMPTY_POOL })
    expect(done(pool([50, 40]), reverse(booked('receipt', 20, 90)))).toMatchObject({ qty: -20, value: -40, pool: pool([30, 0]) })
    expect(done(pool([50, 40]), reverse(booked('receipt', 50, 10)))).toMatchObject({ qty: -50, value: -40, pool: EMPTY_POOL })
  })

  test('of a receipt are refused while some of it is out, or its price corrected', () => {
    expect(refusal(pool([900, 90]), reverse(booked('receipt', 500, 50)), 'average', 480)).toEqual({ kind: 'still-drawn', left: 480, drawn: 20 })
    expect(refusal(pool([900, 90]), reverse(booked('receipt', 500, 50, { corrected: true })))).toEqual({ kind: 'corrected' })
  })

  test('of a return take it out again as the oldest, if it is still there', () => {
    const of = booked('return', 100, 7, { out: out(20, 2) })
    expect(done(pool([100, 7], [100, 7], [1, 1]), reverse(of), 'fifo')).toMatchObject({ qty: -100, value: -7, pool: pool([100, 7], [1, 1]) })
    expect(refusal(pool([99, 7]), reverse(of))).toEqual({ kind: 'not-enough', left: 99 })
    expect(refusal(pool([200, 7]), reverse({ ...of, out: out(0, 0, true) }))).toEqual({ kind: 'draw-reversed' })
  })

  test('of stocktakes and price corrections turn them round', () => {
    expect(done(pool([900, 90]), reverse(booked('stocktake', -50, -5)))).toMatchObject({ qty: 50, value: 5 })
    expect(done(pool([900, 90]), reverse(booked('stocktake', 45, 5)))).toMatchObject({ qty: -45, value: -5 })
    expect(done(pool([900, 90]), reverse(booked('price_correction', 0, 10)))).toMatchObject({ qty: 0, value: -10, pool: pool([900, 80]) })
    const charged = booked('price_correction', 0, -10, { out: out(5, 50) })
    expect(done(pool([900, 90]), reverse(charged))).toMatchObject({ value: 10, pool: pool([900, 90]) })
  })

  test('happen once, and never to a reversal', () => {
    expect(refusal(pool([900, 90]), reverse(booked('draw', -5, -5, { reversed: true })))).toEqual({ kind: 'already-reversed' })
    expect(refusal(pool([900, 90]), reverse(booked('reversal', 5, 5)))).toEqual({ kind: 'is-reversal' })
  })
})

describe('slips of the pen', () => {
  test('more than a pool can hold or be worth is refused', () => {
    const receipt = (qty: number, value: number): Draft => ({ kind: 'receipt', qty: milli(qty), value: cents(value) })
    expect(refusal(pool([1, 0]), receipt(MOST_QTY, 0))).toEqual({ kind: 'too-large', of: 'qty' })
    expect(refusal(pool([1, 1]), receipt(5, MOST_VALUE))).toEqual({ kind: 'too-large', of: 'value' })
    expect(refusal(pool([1, MOST_VALUE]), { kind: 'stocktake', counted: milli(MOST_QTY - 1) })).toEqual({ kind: 'too-large', of: 'value' })
    expect(refusal(pool([1, 1]), { kind: 'price_correction', delta: cents(MOST_VALUE) })).toEqual({ kind: 'too-large', of: 'value' })
  })
})

describe('any pool', () => {
  const layer = fc.record({ q: fc.integer({ min: 1, max: 1e12 }), v: fc.integer({ min: 0, max: 1e9 }) })
  const pools = fc.array(layer, { minLength: 1, maxLength: 6 }).map(poolFromRows)
  const rule = fc.constantFrom<CostRule>('average', 'fifo')
  const share = fc.integer({ min: 1, max: 1_000_000 })
  const part = (of: Pool, per: number) => milli(Math.max(1, Math.floor((poolQty(of) / 1_000_000) * per)))

  test('taken out and put back is what it was, in quantity and value', () => {
    fc.assert(fc.property(pools, rule, share, (before, by, per) => {
      const qty = part(before, per)
      const taken = takeOut(before, by, qty)
      if (!taken.ok) throw new Error('refused')
      expect(poolQty(taken.value.pool)).toBe(poolQty(before) - qty)
      expect(poolValue(taken.value.pool)).toBe(poolValue(before) - taken.value.value)
      const after = putBack(taken.value.pool, by, qty, taken.value.value)
      expect([poolQty(after), poolValue(after)]).toEqual([poolQty(before), poolValue(before)])
    }), { seed: 11 })
  })

  test('put in and taken back is what it was, in quantity and value', () => {
    fc.assert(fc.property(pools, rule, layer, (before, by, { q, v }) => {
      const back = takeBack(putIn(before, by, milli(q), cents(v)), by, milli(q), cents(v))
      expect(back.ok && back.value.value).toBe(v)
      expect(back.ok && [poolQty(back.value.pool), poolValue(back.value.pool)]).toEqual([poolQty(before), poolValue(before)])
    }), { seed: 12 })
  })

  test('costs no more than a half cent off the exact average at each draw', () => {
    fc.assert(fc.property(layer, share, ({ q, v }, per) => {
      const qty = part(poolFromRows([{ q, v }]), per)
      if (qty > q) return
      const taken = takeOut(poolFromRows([{ q, v }]), 'average', qty)
      if (!taken.ok) throw new Error('refused')
      // |2 × value × q - 2 × v × qty| ≤ q, in whole numbers
      const off = 2n * BigInt(taken.value.value) * BigInt(q) - 2n * BigInt(v) * BigInt(qty)
      expect(off <= BigInt(q) && off >= -BigInt(q)).toBe(true)
    }), { seed: 13 })
  })
})
