/**
 * Stock against published figures. Workbook: F1 Integrated Workbook 2018, chapter 14, pages 221-222 (read), for IAS 2.25-27
 * (second-hand: the standard itself was not read). Stevenson: W. J. Stevenson, Operations Management, 14th ed., example 8 (read).
 * FEFO: WHO Good Distribution Practices, Annex 5 (second-hand). Ratios: derived, no published answer.
 */
import { describe, expect, test } from 'vitest'
import {
  EMPTY_POOL, inverseNormal, massRatio, mixingCard, parseRatio, periodicAverage, periodicFifo, pickLots, poolQty, poolValue, putIn,
  reorderPoint, split, takeOut, volumeRatio, type CostRule, type Layer, type Lot, type Pool,
} from '../../src/core/stock/index.ts'
import { cents, milli, milligrams } from '../../src/core/units/index.ts'

/** Whole units at a unit cost in whole money. */
const bought = (units: number, cost: number): Layer => ({ qty: milli(units * 1000), value: cents(units * cost * 100) })
const buy = (pool: Pool, rule: CostRule, { qty, value }: Layer): Pool => putIn(pool, rule, qty, value)
const sell = (pool: Pool, rule: CostRule, units: number): Pool => {
  const taken = takeOut(pool, rule, milli(units * 1000))
  if (!taken.ok) throw new Error('more was sold than there was')
  return taken.value.pool
}
const value = <T>(result: { ok: true; value: T } | { ok: false; refusal: unknown }): T => {
  if (!result.ok) throw new Error(JSON.stringify(result.refusal))
  return result.value
}

describe('workbook: buy 200 at 15, 100 at 18, sell 250, buy 150 at 20', () => {
  const receipts = [bought(200, 15), bought(100, 18), bought(150, 20)]
  const course = (rule: CostRule): Pool => buy(sell(buy(buy(EMPTY_POOL, rule, receipts[0]!), rule, receipts[1]!), rule, 250), rule, receipts[2]!)

  test('first-in-first-out leaves 3900: 50 at 18 and 150 at 20', () => {
    const pool = course('fifo')
    expect(pool.layers).toEqual([bought(50, 18), bought(150, 20)])
    expect(poolValue(pool)).toBe(390_000)
    // Over the period as a whole it comes to the same.
    expect(value(periodicFifo(receipts, milli(250_000))).closing).toBe(390_000)
  })

  test('perpetual average is 16, then 19, and leaves 3800', () => {
    // (3000 + 1800) / 300 = 16; 50 × 16 + 3000 = 3800; 3800 / 200 = 19
    const before = buy(buy(EMPTY_POOL, 'average', receipts[0]!), 'average', receipts[1]!)
    expect(poolValue(before) / poolQty(before)).toBe(1.6)
    const pool = course('average')
    expect(pool.layers).toEqual([{ qty: 200_000, value: 380_000 }])
    expect(poolValue(pool) / poolQty(pool)).toBe(1.9)
  })

  test('periodic average leaves 3466.67 by the average as it is, 17.3333; not the 3466 of an average rounded to 17.33 (trap)', () => {
    // (3000 + 1800 + 3000) / 450 = 17.3333; 200 × 17.3333 = 3466.67, which the workbook prints as 3467
    const { unitCost, closing, closingQty, issued } = value(periodicAverage(receipts, milli(250_000)))
    expect(unitCost).toBeCloseTo(1733.3333, 4)
    expect(closingQty).toBe(200_000)
    expect(closing).toBe(346_667)
    expect(Math.round(closing / 100)).toBe(3467)
    expect(closing).not.toBe(200 * 1733)
    expect(issued + closing).toBe(780_000)
  })
})

test('second purchase example (read): 60 at 12, 40 at 15, 50 at 18, sell 75: average 14.80, closing 1110', () => {
  const { unitCost, closing, issued } = value(periodicAverage([bought(60, 12), bought(40, 15), bought(50, 18)], milli(75_000)))
  expect(unitCost).toBe(1480)
  expect(closing).toBe(111_000)
  expect(issued).toBe(111_000)
})

describe('reorder point', () => {
  test('Stevenson, example 8: demand of a lead time 50, deviation 5, z 1.88: safety 9.40, reorder at 59.40', () => {
    const { safety, point } = reorderPoint({ perDay: 50, sdPerDay: 5, leadDays: 1, z: 1.88 })
    expect(safety).toBeCloseTo(9.4, 9)
    expect(point).toBeCloseTo(59.4, 9)
  })

  test('the same with the z of 97 % not rounded, 1.880794: 59.404 (recomputed)', () => {
    const { z, point } = reorderPoint({ perDay: 50, sdPerDay: 5, leadDays: 1, serviceLevel: 0.97 })
    expect(z).toBeCloseTo(1.880794, 6)
    expect(point).toBeCloseTo(59.404, 3)
  })

  test('textbook (inputs read): 30 a day, deviation 5, 10 days, z 1.65: safety 26.09, reorder at 326.09', () => {
    // 1.65 × 5 × √10 = 26.0888
    const { safety, point } = reorderPoint({ perDay: 30, sdPerDay: 5, leadDays: 10, z: 1.65 })
    expect(safety).toBeCloseTo(26.09, 2)
    expect(point).toBeCloseTo(326.09, 2)
  })
})

/** SciPy 1.17.1, norm.ppf: a general-purpose library with a method of its own (Cephes ndtri). */
const percentagePoints = [
  [1e-20, -9.262340089798409],
  [1e-10, -6.361340902404056],
  [0.001, -3.090232306167813],
  [0.05, -1.6448536269514729],
  [0.075, -1.4395314709384563],
  [0.25, -0.6744897501960817],
  [0.9, 1.2815515655446004],
  [0.95, 1.6448536269514722],
  [0.97, 1.8807936081512509],
  [0.975, 1.959963984540054],
  [0.99, 2.3263478740408408],
  [0.999, 3.090232306167813],
] as const

test.each(percentagePoints)('the normal deviate of %d is %d (SciPy)', (p, z) => {
  expect(Math.abs(inverseNormal(p) - z)).toBeLessThanOrEqual(1e-13 * Math.max(1, Math.abs(z)))
})

test('the normal deviates that Wichura gives to check AS 241 with (from memory)', () => {
  expect(inverseNormal(0.25)).toBeCloseTo(-0.6744897501960817, 14)
  expect(inverseNormal(0.001)).toBeCloseTo(-3.090232306167814, 14)
  expect(inverseNormal(1e-20)).toBeCloseTo(-9.262340089798408, 13)
})

describe('first expired, first out (WHO, Annex 5; second-hand)', () => {
  const lot = (id: string, expires: string | null): Lot => ({ id, left: milli(1000), state: 'fresh', expires, opened: null })
  const pick = (lots: readonly Lot[], need: number) => pickLots(lots, milli(need), { structural: true, today: '2031-05-10' })

  test('of a lot received first with the later expiry and one received after it with the earlier, the second goes first', () => {
    const { picks } = pick([lot('A', '2032-09-30'), lot('B', '2031-12-31')], 1400)
    expect(picks).toEqual([{ lotId: 'B', qty: 1000 }, { lotId: 'A', qty: 400 }])
  })

  test('expired stock is not available', () => {
    const { picks, short } = pick([lot('A', '2031-05-09'), lot('B', '2031-06-30')], 1400)
    expect(picks).toEqual([{ lotId: 'B', qty: 1000 }])
    expect(short).toBe(400)
  })

  test('a lot without expiry goes last, with a warning', () => {
    const { picks, withoutExpiry } = pick([lot('A', null), lot('B', '2039-12-31')], 1400)
    expect(picks).toEqual([{ lotId: 'B', qty: 1000 }, { lotId: 'A', qty: 400 }])
    expect(withoutExpiry).toEqual(['A'])
  })

  test('what is drawn costs the same whichever lot it is drawn from', () => {
    // A came first at 1000 cents and keeps longest, B second at 3000. The pick takes B; first-in-first-out charges what came first.
    const { picks } = pick([lot('A', '2032-09-30'), lot('B', '2031-12-31')], 1000)
    expect(picks).toEqual([{ lotId: 'B', qty: 1000 }])
    const pool = putIn(putIn(EMPTY_POOL, 'fifo', milli(1000), cents(1000)), 'fifo', milli(1000), cents(3000))
    expect(value(takeOut(pool, 'fifo', picks[0]!.qty)).value).toBe(1000)
  })
})

describe('mix ratio (derived)', () => {
  const densities = { a: 1.15, b: 0.98 }

  test('2:1 by volume of densities 1.15 and 0.98 is 2.34694:1 or 100:42.61 by mass, and 1000 g are 701.22 g and 298.78 g', () => {
    const ratio = value(massRatio(value(parseRatio('2:1 by volume')), densities))
    expect(ratio.a / ratio.b).toBeCloseTo(2.34694, 5)
    expect((100 * ratio.b) / ratio.a).toBeCloseTo(42.61, 2)
    const { a, b } = split(milligrams(1_000_000), ratio)
    expect([Math.round(a / 10), Math.round(b / 10)]).toEqual([70_122, 29_878])
    expect(a + b).toBe(1_000_000)
  })

  test('100:38 by mass is 2.24256:1 by volume', () => {
    const ratio = value(volumeRatio(value(parseRatio('100:38 by mass')), densities))
    expect(ratio.a / ratio.b).toBeCloseTo(2.24256, 5)
  })

  test('2:1 without by what is refused (trap), for the two would be different mixes', () => {
    const refused = parseRatio('2:1')
    expect(refused).toMatchObject({ ok: false, refusal: { kind: 'by-what' } })
    expect(!refused.ok && refused.refusal.message).toContain('by mass')
    expect(parseRatio('2:1 by mass')).not.toEqual(parseRatio('2:1 by volume'))
  })

  test('a supplier gives 2:1 by volume as 100:44 by weight (read): with this card 1250 g are 868 g and 382 g', () => {
    const card = value(mixingCard({
      mass: milligrams(1_250_000), ratio: value(parseRatio('100:44 by weight')), densities: null, by: 'mass', stepMilli: 1000,
      limit: milligrams(300_000), people: 1,
    }))
    expect(card.sum).toEqual({ a: 868_000, b: 382_000, total: 1_250_000 })
  })
})
