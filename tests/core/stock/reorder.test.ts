import { describe, expect, test } from 'vitest'
import { inverseNormal, periodicAverage, periodicFifo, reorderPoint, usePerDay } from '../../../src/core/stock/index.ts'
import { cents, milli } from '../../../src/core/units/index.ts'

describe('reorder point', () => {
  test('with a lead time that varies adds both spreads as squares', () => {
    // 10 a day, deviation 3, 16 days, deviation 2: √(16 × 9 + 100 × 4) = √544 = 23.3238; z 2: 46.65
    const { safety, point, leadDemand } = reorderPoint({ perDay: 10, sdPerDay: 3, leadDays: 16, sdLeadDays: 2, z: 2 })
    expect(leadDemand).toBe(160)
    expect(safety).toBeCloseTo(46.6476, 4)
    expect(point).toBeCloseTo(206.6476, 4)
  })

  test('at a service level of 50 % has no safety stock', () => {
    expect(reorderPoint({ perDay: 10, sdPerDay: 3, leadDays: 16, serviceLevel: 0.5 })).toEqual({ point: 160, safety: 0, leadDemand: 160, z: 0 })
  })

  test('of figures below 0 or a certain service is a fault', () => {
    expect(() => reorderPoint({ perDay: -1, sdPerDay: 3, leadDays: 16, z: 1 })).toThrow(RangeError)
    expect(() => reorderPoint({ perDay: 1, sdPerDay: 3, leadDays: NaN, z: 1 })).toThrow(RangeError)
    expect(() => reorderPoint({ perDay: 1, sdPerDay: 3, leadDays: 16, serviceLevel: 1 })).toThrow(RangeError)
  })
})

test('the normal deviate is where the density, summed up, comes to the probability', () => {
  // Simpson's rule on the density from 0 to z, in 2000 steps, plus one half.
  const below = (z: number): number => {
    const n = 2000
    const density = (x: number): number => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI)
    let sum = density(0) + density(z)
    for (let i = 1; i < n; i++) sum += density((i * z) / n) * (i % 2 === 1 ? 4 : 2)
    return 0.5 + ((z / n) * sum) / 3
  }
  for (const p of [0.001, 0.02, 0.074, 0.076, 0.3, 0.5, 0.8, 0.924, 0.926, 0.99, 0.99999]) expect(below(inverseNormal(p))).toBeCloseTo(p, 12)
})

describe('use a day', () => {
  test('counts days without use', () => {
    // 500, 250, 100 and 650 over 10 days: mean 150; squares 350² + 100² + 50² + 500² + 6 × 150² = 520,000; / 9 = 57,777.8
    const draws = [{ day: 3, qty: 500 }, { day: 5, qty: 250 }, { day: 9, qty: 100 }, { day: 10, qty: 650 }]
    const { mean, sd, days } = usePerDay(draws, { from: 1, to: 10 })
    expect([mean, days]).toEqual([150, 10])
    expect(sd).toBeCloseTo(Math.sqrt(520_000 / 9), 9)
  })

  test('sums a day, takes returns off, and leaves out other days', () => {
    const draws = [{ day: 0, qty: 999 }, { day: 1, qty: 50 }, { day: 1, qty: -20 }, { day: 2, qty: 10 }, { day: 3, qty: 999 }]
    // 30 and 10: mean 20, deviation √(100 + 100) = 14.14
    const { mean, sd } = usePerDay(draws, { from: 1, to: 2 })
    expect(mean).toBe(20)
    expect(sd).toBeCloseTo(Math.SQRT2 * 10, 9)
  })

  test('of no draws is 0, of one day has no deviation, of no days is a fault', () => {
    expect(usePerDay([], { from: 1, to: 30 })).toEqual({ mean: 0, sd: 0, days: 30 })
    expect(usePerDay([{ day: 4, qty: 7 }], { from: 4, to: 4 })).toEqual({ mean: 7, sd: 0, days: 1 })
    expect(() => usePerDay([], { from: 5, to: 4 })).toThrow(RangeError)
  })
})

describe('a period without', () => {
  const layer = [{ qty: milli(10), value: cents(33) }]

  test('stock has no average', () => {
    expect(periodicAverage([], milli(0))).toMatchObject({ ok: true, value: { unitCost: null, closing: 0 } })
    expect(periodicFifo([], milli(0))).toMatchObject({ ok: true, value: { unitCost: null, closing: 0 } })
  })

  test('issues closes at all it had', () => {
    expect(periodicAverage(layer, milli(0))).toMatchObject({ ok: true, value: { issued: 0, closing: 33, closingQty: 10 } })
    expect(periodicFifo(layer, milli(0))).toMatchObject({ ok: true, value: { issued: 0, closing: 33, closingQty: 10 } })
  })

  test('enough stock for its issues is refused', () => {
    expect(periodicAverage(layer, milli(11))).toEqual({ ok: false, refusal: { kind: 'not-enough', left: 10 } })
    expect(periodicFifo(layer, milli(11))).toEqual({ ok: false, refusal: { kind: 'not-enough', left: 10 } })
  })
})
