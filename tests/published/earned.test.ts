/**
 * Earned value: definitions of the US Department of Defense's Gold Card (read), formulas second-hand; worked examples of courses (inputs and answers
 * read). Earned schedule: Lipke 2003, formulas as in his concept note (read), IEAC(t) from memory.
 */
import { describe, expect, test } from 'vitest'
import { earnedSchedule } from '../../src/core/forecast/earned-schedule.ts'
import { earnedValue, neededPace } from '../../src/core/forecast/earned.ts'

describe('a worked example: BAC 100, PV 50, EV 40, AC 45 (read)', () => {
  const e = earnedValue({ bac: 100, pv: 50, ev: 40, ac: 45 })
  test('has the answers that are printed', () => {
    expect(e.spi).toBe(0.8)
    expect(e.cpi!.toFixed(2)).toBe('0.89')
    expect(e.eac.atCpi).toBe(112.5)
    expect(e.etc).toBe(67.5)
    expect(e.vac).toBe(-12.5)
    expect(Math.round(e.eac.atCpiSpi!)).toBe(129)
    expect(e.tcpi.toBac!.toFixed(2)).toBe('1.09')
  })
  test('has the exact ones, recomputed', () => {
    // 40/45; 45 + 60 / (40/45 · 0.8); 60/55; 45 + 100 - 40
    expect(e.cpi).toBeCloseTo(0.888889, 6)
    expect(e.eac.atCpiSpi).toBeCloseTo(129.375, 10)
    expect(e.tcpi.toBac).toBeCloseTo(1.090909, 6)
    expect(e.eac.atPlan).toBe(105)
  })
})

describe('a worked example: BAC 4000, PV 3000, EV 2000, AC 2500 (read)', () => {
  const e = earnedValue({ bac: 4000, pv: 3000, ev: 2000, ac: 2500 })
  test('has the answers that are printed', () => {
    expect(e).toMatchObject({ cv: -500, sv: -1000, cpi: 0.8, vac: -1000 })
    expect(e.eac.atPlan).toBe(4500)
    expect(e.eac.atCpi).toBe(5000)
    expect(e.tcpi.toBac!.toFixed(2)).toBe('1.33')
    expect(e.tcpi.toEac).toBe(0.8)
  })
  test('its third estimate is 6250 exactly; the 6287 that is printed has SPI cut to 0.66', () => {
    // 2500 + 2000 / (0.8 · 2/3) = 2500 + 3750
    expect(e.eac.atCpiSpi).toBeCloseTo(6250, 9)
    expect(e.eac.atCpiSpi).not.toBeCloseTo(6287, -1)
  })
})

test('a worked example: BAC 135k, EV 45k, AC 70k, EAC 130k need a pace of 1.5 (read)', () => {
  // (135 - 45) / (130 - 70)
  expect(neededPace({ bac: 135_000, ev: 45_000, ac: 70_000, eac: 130_000 })).toBe(1.5)
})

test('a variance at completion below 0 is over the budget: VAC = BAC - EAC (one set of slides has it the other way round)', () => {
  expect(earnedValue({ bac: 100, pv: 50, ev: 40, ac: 50 }).vac).toBe(100 - 125)
  expect(earnedValue({ bac: 100, pv: 50, ev: 50, ac: 40 }).vac).toBe(100 - 80)
})

describe('what would be a division by nothing is null', () => {
  test('nothing spent: no CPI, and nothing that hangs on it', () => {
    const e = earnedValue({ bac: 100, pv: 50, ev: 40, ac: 0 })
    expect(e).toMatchObject({ cpi: null, spi: 0.8, etc: null, vac: null, cv: 40, eac: { atPlan: 60, atCpi: null, atCpiSpi: null } })
    expect(e.tcpi).toEqual({ toBac: 0.6, toEac: null })
  })
  test('nothing meant by now: no SPI, and no estimate with it', () => {
    expect(earnedValue({ bac: 100, pv: 0, ev: 40, ac: 50 })).toMatchObject({ spi: null, sv: 40, cpi: 0.8, eac: { atPlan: 110, atCpi: 125, atCpiSpi: null } })
  })
  test('the whole budget spent, or more: no pace makes the rest good', () => {
    expect(earnedValue({ bac: 100, pv: 50, ev: 40, ac: 100 }).tcpi.toBac).toBeNull()
    expect(earnedValue({ bac: 100, pv: 50, ev: 40, ac: 130 }).tcpi.toBac).toBeNull()
  })
  test('nothing earned: no estimate by the pace so far', () => {
    expect(earnedValue({ bac: 100, pv: 50, ev: 0, ac: 10 })).toMatchObject({ cpi: 0, spi: 0, vac: null, eac: { atPlan: 110, atCpi: null, atCpiSpi: null } })
  })
  test('figures below 0 or that are none are refused', () => {
    for (const wrong of [{ bac: -1 }, { pv: Number.NaN }, { ev: -0.1 }, { ac: Infinity }]) {
      expect(() => earnedValue({ bac: 100, pv: 50, ev: 40, ac: 45, ...wrong })).toThrow(RangeError)
    }
  })
})

describe('earned schedule', () => {
  const evenly = Array.from({ length: 31 }, (_, week) => week * 10)
  test.each([[20, 18, -2, '0.90'], [24, 21, -3, '0.88']])('after %d weeks, %d of them earned is SV(t) %d (published) and SPI(t) %s', (at, es, sv, spi) => {
    // 0.90 published; 21/24 = 0.875 derived
    const e = earnedSchedule(evenly, es * 10, at)
    expect(e.es).toBe(es)
    expect(e.sv).toBe(sv)
    expect(e.spi!.toFixed(2)).toBe(spi)
  })

  const pv = [0, 50, 120, 200, 300, 420, 560, 680, 760, 800]
  test('of a build in her seventh week lies within a week of the plan (derived)', () => {
    // C = 5 (420 <= 450 < 560): 5 + 30/140; 5.214286/7; 9/0.744898
    const e = earnedSchedule(pv, 450, 7)
    expect(e.es).toBeCloseTo(5.214286, 6)
    expect(e.sv).toBeCloseTo(-1.785714, 6)
    expect(e.spi).toBeCloseTo(0.744898, 6)
    expect(e.ieac).toBeCloseTo(12.082192, 6)
  })

  test('tells that she was finished three weeks after her time, when SPI is back at 1 (derived; the point of it)', () => {
    const e = earnedSchedule(pv, 800, 12)
    expect(earnedValue({ bac: 800, pv: 800, ev: 800, ac: 800 }).spi).toBe(1)
    expect(e).toMatchObject({ es: 9, sv: -3, spi: 0.75, ieac: 12 })
  })
})
