import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { ClimateSteps, OffsetTable } from '../../../src/core/calendar/types.ts'
import { climateModel, dewPoint, gateAt, type ClimateQuestion, type ClimateRule, type Reading } from '../../../src/core/cure/index.ts'
import { celsius, instant, minutes } from '../../../src/core/units/index.ts'
import { at, BERLIN, NEW_YORK, UTC } from '../../support/zones.ts'

const HOUR = 60
const DAY = 1440
const same = (n: number) => Array.from({ length: 12 }, () => n)
const rule = (more: Partial<ClimateRule> = {}): ClimateRule => ({ monthlyAir: same(10), halfSwing: 0, monthlyDew: same(2), heating: null, ...more })
const model = (more: Partial<Omit<ClimateQuestion, 'rule'>> & { rule?: Partial<ClimateRule> } = {}) => {
  const { rule: given, ...rest } = more
  return climateModel({
    rule: rule(given), sessions: [], readings: [], zone: UTC, from: at('2026-06-06T00:00Z'), until: at('2026-06-08T00:00Z'), ...rest,
  })
}
const airAt = (steps: ClimateSteps, t: number) => steps.findLast((s) => s.from <= t)!.value.air
const dewAt = (steps: ClimateSteps, t: number) => steps.findLast((s) => s.from <= t)!.value.dewPoint

describe('the course of a day', () => {
  const steps = model({ rule: { halfSwing: 5 } })

  test('has a step for every hour, each from its full hour', () => {
    expect(steps).toHaveLength(48)
    expect(steps.every((s, i) => s.from === at('2026-06-06T00:00Z') + i * HOUR)).toBe(true)
  })

  test('breaks at the full hours of local time, whatever minute it begins at', () => {
    const from = (zone: OffsetTable) => model({ zone, from: at('2026-06-06T00:20Z'), until: at('2026-06-06T02:00Z') }).map((s) => s.from)
    expect(from(UTC)).toEqual([at('2026-06-06T00:20Z'), at('2026-06-06T01:00Z')])
    // Local time 5:30 ahead: its hours are half past.
    expect(from([{ from: instant(0), offset: 330 }])).toEqual([at('2026-06-06T00:20Z'), at('2026-06-06T00:30Z'), at('2026-06-06T01:30Z')])
  })

  test('is warmest around 15:00 and coldest around 03:00, half a swing from the mean', () => {
    const noon = at('2026-06-06T00:00Z')
    // The steps before and after 15:00 are taken half an hour off the top: cos(7.5°) x 5 = 4.957
    expect(airAt(steps, noon + 14 * HOUR)).toBeCloseTo(14.957, 3)
    expect(airAt(steps, noon + 15 * HOUR)).toBeCloseTo(14.957, 3)
    expect(airAt(steps, noon + 3 * HOUR)).toBeCloseTo(5.043, 3)
    expect(Math.max(...steps.map((s) => s.value.air))).toBeCloseTo(14.957, 3)
  })

  test('averages to the mean', () => {
    const mean = steps.slice(0, 24).reduce((sum, s) => sum + s.value.air, 0) / 24
    expect(mean).toBeCloseTo(10, 9)
  })

  test.each([
    ['Berlin in summer', BERLIN, '2026-06-06T13:00Z'],
    ['Berlin in winter', BERLIN, '2026-12-05T14:00Z'],
    ['New York in summer', NEW_YORK, '2026-06-06T19:00Z'],
  ])('follows local time: 15:00 in %s', (_name, zone: OffsetTable, utc) => {
    const top = at(utc)
    const around = model({ rule: { halfSwing: 5 }, zone, from: instant(top - DAY / 2), until: instant(top + DAY / 2) })
    const warmest = Math.max(...around.map((s) => s.value.air))
    expect(airAt(around, top)).toBeCloseTo(warmest, 6)
    expect(airAt(around, top - 1)).toBeCloseTo(warmest, 6)
  })
})

describe('monthly means', () => {
  const warming = [0, 2, 4, 6, 8, 10, 12, 10, 8, 6, 4, 2]
  const at12 = (date: string) => {
    const t = at(`${date}T12:00Z`)
    return model({ rule: { monthlyAir: warming, monthlyDew: warming.map((t) => t - 5) }, from: t, until: instant(t + HOUR) })[0]!.value
  }

  test('stand at mid-month', () => {
    // The middle of January is the 16th at 12:00, that of June the 16th at 0:00.
    expect(at12('2026-01-16').air).toBeCloseTo(0, 1)
    expect(at12('2026-06-16').air).toBeCloseTo(10, 1)
  })

  test('are joined by straight lines, also over the turn of the year', () => {
    // 16 December 12:00 to 16 January 12:00 is 31 days from 2 to 0 °C; after 15.5 days (1 January 00:00) it is 1 °C.
    expect(at12('2025-12-31').air).toBeCloseTo(2 - (2 * 15.02) / 31, 2)
    expect(at12('2026-01-01').air).toBeCloseTo(2 - (2 * 16.02) / 31, 2)
    // 15 February 00:00 (28 days) from 16 January 12:00: 29.5 days from 0 to 2 °C; 31 January 12:00 is 15 days on.
    expect(at12('2026-01-31').air).toBeCloseTo((2 * 15.02) / 29.5, 2)
  })

  test('no month starts with a jump', () => {
    const monthlyAir = [0, 20, 0, 20, 0, 20, 0, 20, 0, 20, 0, 20]
    const year = model({ rule: { monthlyAir }, from: at('2026-01-01T00:00Z'), until: at('2028-01-01T00:00Z') })
    // 20 °C in about 30 days is 0.03 °C an hour.
    year.forEach((s, i) => i > 0 && expect(Math.abs(s.value.air - year[i - 1]!.value.air)).toBeLessThan(0.03))
  })
})

describe('heating', () => {
  const session = { start: at('2026-06-06T10:00Z'), end: at('2026-06-06T14:30Z') }
  const steps = model({ rule: { heating: { to: celsius(16), before: minutes(90) } }, sessions: [session] })

  test('keeps the air at 16 °C from 90 minutes before the session to its end', () => {
    expect(airAt(steps, at('2026-06-06T08:29Z'))).toBe(10)
    expect(airAt(steps, at('2026-06-06T08:30Z'))).toBe(16)
    expect(airAt(steps, at('2026-06-06T14:29Z'))).toBe(16)
    expect(airAt(steps, at('2026-06-06T14:30Z'))).toBe(10)
  })

  test('leaves warmer air alone, and the dew point as it is', () => {
    const summer = model({ rule: { monthlyAir: same(22), heating: { to: celsius(16), before: minutes(90) } }, sessions: [session] })
    expect(airAt(summer, session.start)).toBe(22)
    expect(dewAt(steps, session.start)).toBe(2)
  })
})

describe('dew point', () => {
  test('is never above the air', () => {
    const steps = model({ rule: { halfSwing: 10, monthlyDew: same(8) } })
    expect(steps.every((s) => s.value.dewPoint <= s.value.air)).toBe(true)
    expect(dewAt(steps, at('2026-06-06T15:00Z'))).toBe(8)
    expect(dewAt(steps, at('2026-06-06T03:00Z'))).toBe(airAt(steps, at('2026-06-06T03:00Z')))
  })
})

describe('readings', () => {
  const read = (iso: string, air: number, humidity: number | null = null): Reading => ({ at: at(iso), air, humidity })

  test('stand at their minute and fade over 12 hours before and after', () => {
    // Model 10 °C, read 14 °C at 12:20
    const steps = model({ readings: [read('2026-06-06T12:20Z', 14)] })
    expect(airAt(steps, at('2026-06-06T12:20Z'))).toBe(14)
    // 18:00 to 19:00 is taken at 18:30, 370 minutes on: 10 + 4 x (1 - 370/720)
    expect(airAt(steps, at('2026-06-06T18:00Z'))).toBeCloseTo(10 + 4 * (1 - 370 / 720), 9)
    expect(airAt(steps, at('2026-06-06T06:00Z'))).toBeCloseTo(10 + 4 * (1 - 350 / 720), 9)
    expect(airAt(steps, at('2026-06-07T01:00Z'))).toBe(10)
    // 0:00 to 1:00 is taken at 0:30, 710 minutes before
    expect(airAt(steps, at('2026-06-06T00:00Z'))).toBeCloseTo(10 + 4 * (1 - 710 / 720), 9)
  })

  test('close together are joined by a straight line of their differences', () => {
    // +4 at 8:00 and -2 at 12:00: at 10:30 it is 4 - 6 x 150/240 = 0.25
    const steps = model({ readings: [read('2026-06-06T12:00Z', 8), read('2026-06-06T08:00Z', 14)] })
    expect(airAt(steps, at('2026-06-06T08:00Z'))).toBe(14)
    expect(airAt(steps, at('2026-06-06T10:00Z'))).toBeCloseTo(10.25, 9)
    expect(airAt(steps, at('2026-06-06T12:00Z'))).toBe(8)
  })

  test('of the same minute: the later in the list counts', () =>
    expect(airAt(model({ readings: [read('2026-06-06T12:00Z', 8), read('2026-06-06T12:00Z', 9)] }), at('2026-06-06T12:00Z'))).toBe(9))

  test('of humidity set the dew point', () => {
    const steps = model({ readings: [read('2026-06-06T12:00Z', 20, 60)] })
    // 20 °C at 60 %: 12.000 °C (AE, as in the published table)
    expect(dewAt(steps, at('2026-06-06T12:00Z'))).toBeCloseTo(12, 3)
    expect(dewAt(steps, at('2026-06-07T01:00Z'))).toBe(2)
    // A gate of at most 60 % is still open: computed back it is the 60 % that was read.
    const gate = { minAir: null, maxAir: null, maxHumidity: 60, dewPointMargin: null }
    expect(gateAt(gate, steps.find((s) => s.from === at('2026-06-06T12:00Z'))!.value, celsius(-2))).toBe(null)
  })

  test('of a humidity of 0 do not break the climate', () =>
    expect(dewAt(model({ readings: [read('2026-06-06T12:00Z', 20, 0)] }), at('2026-06-06T12:00Z'))).toBeCloseTo(dewPoint(20, 1), 9))

  test('taken in a heated session say nothing about the night after it', () => {
    const steps = model({
      rule: { heating: { to: celsius(18), before: minutes(120) } },
      sessions: [{ start: at('2026-06-06T10:00Z'), end: at('2026-06-06T14:00Z') }],
      readings: [read('2026-06-06T11:00Z', 15)],
    })
    expect(airAt(steps, at('2026-06-06T11:00Z'))).toBe(15)
    // 18 - 3 x (1 - 150/720) at 13:30
    expect(airAt(steps, at('2026-06-06T13:00Z'))).toBeCloseTo(18 - 3 * (1 - 150 / 720), 9)
    expect(airAt(steps, at('2026-06-06T14:00Z'))).toBe(10)
  })

  test('taken before the heating goes on do not lift the heated air', () => {
    const steps = model({
      rule: { heating: { to: celsius(18), before: minutes(60) } },
      sessions: [{ start: at('2026-06-06T10:00Z'), end: at('2026-06-06T14:00Z') }],
      readings: [read('2026-06-06T08:00Z', 12)],
    })
    expect(airAt(steps, at('2026-06-06T10:00Z'))).toBe(18)
    expect(airAt(steps, at('2026-06-06T15:00Z'))).toBeGreaterThan(10)
  })

  test('below what the heating should give are believed, though the model says it need not heat', () =>
    // Model 20 °C, heated to 18 if need be, read 12: the heater is off.
    expect(airAt(model({
      rule: { monthlyAir: same(20), heating: { to: celsius(18), before: minutes(60) } },
      sessions: [{ start: at('2026-06-06T10:00Z'), end: at('2026-06-06T14:00Z') }],
      readings: [read('2026-06-06T11:00Z', 12)],
    }), at('2026-06-06T11:00Z'))).toBe(12))

  test('anywhere leave steps in order, dew points at or below the air, and each reading as read', () => {
    const readings = fc.uniqueArray(
      fc.record({
        minute: fc.integer({ min: 0, max: 2 * DAY - 1 }), air: fc.integer({ min: -10, max: 35 }), humidity: fc.option(fc.integer({ min: 0, max: 100 })),
      }),
      { selector: (r) => r.minute, maxLength: 8 })
    const sessions = fc.array(fc.tuple(fc.integer({ min: 0, max: 2 * DAY }), fc.integer({ min: 0, max: 600 })), { maxLength: 4 })
    fc.assert(fc.property(readings, sessions, (rows, spans) => {
      const start = at('2026-03-28T12:00Z')
      const steps = model({
        rule: { halfSwing: 6, heating: { to: celsius(15), before: minutes(60) } }, zone: BERLIN, from: start, until: instant(start + 2 * DAY),
        sessions: spans.map(([a, length]) => ({ start: instant(start + a), end: instant(start + a + length) })),
        readings: rows.map((r) => ({ at: instant(start + r.minute), air: r.air, humidity: r.humidity })),
      })
      steps.forEach((s, i) => {
        expect(s.value.dewPoint).toBeLessThanOrEqual(s.value.air)
        if (i > 0) expect(s.from).toBeGreaterThan(steps[i - 1]!.from)
      })
      for (const r of rows) expect(airAt(steps, start + r.minute)).toBeCloseTo(r.air, 9)
    }), { seed: 20260101, numRuns: 200 })
  })
})

describe('gates', () => {
  const gate = { minAir: celsius(10), maxAir: celsius(30), maxHumidity: 85, dewPointMargin: 3 }
  const at2 = (air: number, humidity: number) => gateAt(gate, { air: celsius(air), dewPoint: celsius(dewPoint(air, humidity)) }, celsius(-2))

  test('tell the first reason: cold, hot, humid, dew', () => {
    expect(at2(9.9, 99)).toBe('cold')
    expect(at2(10, 50)).toBe(null)
    expect(at2(30.1, 99)).toBe('hot')
    expect(at2(30, 50)).toBe(null)
    expect(at2(20, 90)).toBe('humid')
    // 20 °C at 80 %: dew point 16.44, surface 18: 1.56 °C apart
    expect(at2(20, 80)).toBe('dew')
    // at 70 %: dew point 14.36, 3.64 °C apart
    expect(at2(20, 70)).toBe(null)
  })

  test('without limits are always open', () => {
    const open = { minAir: null, maxAir: null, maxHumidity: null, dewPointMargin: null }
    expect(gateAt(open, { air: celsius(-20), dewPoint: celsius(-20) }, celsius(-2))).toBe(null)
  })
})

test('eleven months, or an end before the start, are refused', () => {
  expect(() => model({ rule: { monthlyAir: same(10).slice(1) } })).toThrow(RangeError)
  expect(() => model({ until: at('2026-06-06T00:00Z') })).toThrow(RangeError)
})
