import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { earnedSchedule } from '../../../src/core/forecast/earned-schedule.ts'
import { earnedValue } from '../../../src/core/forecast/earned.ts'

const amount = fc.integer({ min: 1, max: 100_000 })
/** Cumulative planned value by week: weeks with nothing planned in it too. */
const curve = fc.array(fc.integer({ min: 0, max: 500 }), { minLength: 1, maxLength: 40 }).map((steps) => {
  let sum = 0
  return [0, ...steps.map((step) => (sum += step))]
}).filter((pv) => pv.at(-1)! > 0)

describe('earned value', () => {
  test('the pace that the estimate at the pace so far needs is the pace so far', () => {
    fc.assert(fc.property(amount, amount, amount, amount, (a, b, pv, ac) => {
      const [bac, ev] = [Math.max(a, b) + 1, Math.min(a, b)]
      const e = earnedValue({ bac, pv, ev, ac })
      expect(e.tcpi.toEac! / e.cpi!).toBeCloseTo(1, 6)
    }))
  })

  test('hangs on no unit: hours and minutes give the same indices, and variances sixty times as large', () => {
    fc.assert(fc.property(amount, amount, amount, amount, (bac, pv, ev, ac) => {
      const [hours, minutes] = [earnedValue({ bac, pv, ev, ac }), earnedValue({ bac: bac * 60, pv: pv * 60, ev: ev * 60, ac: ac * 60 })]
      expect(minutes.cpi).toBeCloseTo(hours.cpi!, 9)
      expect(minutes.spi).toBeCloseTo(hours.spi!, 9)
      expect(minutes.vac! / 60).toBeCloseTo(hours.vac!, 3)
    }))
  })

  test('of a build where all went as planned has indices of 1 and its budget for estimate', () => {
    fc.assert(fc.property(amount, amount, (a, b) => {
      const [bac, done] = [Math.max(a, b), Math.min(a, b)]
      const e = earnedValue({ bac, pv: done, ev: done, ac: done })
      expect(e).toMatchObject({ cv: 0, sv: 0, cpi: 1, spi: 1, vac: 0, eac: { atPlan: bac, atCpi: bac, atCpiSpi: bac } })
    }))
  })
})

describe('earned schedule', () => {
  test('never falls as more is earned, and stays within the plan', () => {
    fc.assert(fc.property(curve, fc.double({ min: 0, max: 1.1, noNaN: true }), fc.double({ min: 0, max: 1.1, noNaN: true }), (pv, a, b) => {
      const [less, more] = [Math.min(a, b), Math.max(a, b)].map((share) => earnedSchedule(pv, share * pv.at(-1)!, 5).es) as [number, number]
      expect(more).toBeGreaterThanOrEqual(less)
      expect(less).toBeGreaterThanOrEqual(0)
      expect(more).toBeLessThanOrEqual(pv.length - 1)
    }))
  })

  test('reads the plan’s own curve backwards: what was meant by a week is that week, where the curve rises', () => {
    fc.assert(fc.property(curve, fc.nat(39), fc.double({ min: 0, max: 0.999, noNaN: true }), (pv, at, part) => {
      const week = at % (pv.length - 1)
      const [a, b] = [pv[week]!, pv[week + 1]!]
      fc.pre(b > a)
      expect(earnedSchedule(pv, a + part * (b - a), 5).es).toBeCloseTo(week + part, 6)
    }))
  })

  test('of a build finished after its time: SPI is 1, SPI(t) is not, and it took as long as it took', () => {
    fc.assert(fc.property(curve, fc.integer({ min: 1, max: 60 }), (pv, over) => {
      const whole = pv.at(-1)!
      const length = pv.indexOf(whole)
      const e = earnedSchedule(pv, whole, length + over)
      expect(earnedValue({ bac: whole, pv: whole, ev: whole, ac: whole }).spi).toBe(1)
      expect(e.spi).toBeLessThan(1)
      expect(e.sv).toBe(-over)
      expect(e.ieac).toBeCloseTo(length + over, 9)
    }))
  })

  test('does not count weeks after the last planned work, and skips weeks in which nothing was meant to be done', () => {
    expect(earnedSchedule([0, 40, 100, 100, 100], 100, 2)).toMatchObject({ es: 2, sv: 0, spi: 1, ieac: 2 })
    // All that was meant by week 1 is done; weeks 2 and 3 were meant to be a pause.
    expect(earnedSchedule([0, 40, 40, 40, 100], 40, 3)).toMatchObject({ es: 3, sv: 0 })
    expect(earnedSchedule([0, 40, 40, 40, 100], 20, 3)).toMatchObject({ es: 0.5 })
  })

  test('knows no index before the first week has begun, and no end while nothing is earned', () => {
    expect(earnedSchedule([0, 50, 100], 0, 0)).toEqual({ es: 0, sv: 0, spi: null, ieac: null })
    expect(earnedSchedule([0, 50, 100], 0, 1)).toEqual({ es: 0, sv: -1, spi: 0, ieac: null })
  })

  test('refuses a plan without weeks, one that falls, and figures below 0', () => {
    expect(() => earnedSchedule([], 1, 1)).toThrow(RangeError)
    expect(() => earnedSchedule([0, 50, 40], 1, 1)).toThrow(RangeError)
    expect(() => earnedSchedule([0, Number.NaN], 1, 1)).toThrow(RangeError)
    expect(() => earnedSchedule([0, 50], -1, 1)).toThrow(RangeError)
    expect(() => earnedSchedule([0, 50], 1, -1)).toThrow(RangeError)
  })
})
