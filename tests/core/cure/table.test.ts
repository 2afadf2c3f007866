import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  arrheniusRate, CURE_STAGES, cureTable, stageTime, stageTimes, UNTIL_STAGES, type CureProduct, type CureStage,
} from '../../../src/core/cure/index.ts'
import { celsius, instant, minutes, type Instant } from '../../../src/core/units/index.ts'
import { makeClimate, makeProduct } from '../../support/cure.ts'

const table = (product: CureProduct, ...steps: [number, number][]) => {
  const climate = makeClimate(...steps)
  return cureTable(product, climate, climate[0]!.from, instant(climate.at(-1)!.from + 1))
}
const at = (product: CureProduct, stage: CureStage, start: number, end: number, ...steps: [number, number][]) =>
  stageTime(table(product, ...steps), stage, instant(start), instant(end))

describe('at the reference temperature', () => {
  const product = makeProduct({ stages: { workable: minutes(60), opens: minutes(180), closes: minutes(600), sandable: minutes(700) } })

  test('opens counts from the end of application, workable and closes from its start', () => {
    // Applied 100 to 140: 100 + 60, 140 + 180, 100 + 600, 140 + 700
    expect(stageTimes(table(product, [0, 20]), instant(100), instant(140))).toEqual({
      workable: 160, opens: 320, closes: 700, sandable: 840, dustFree: null, handleable: null, fullCure: null,
    })
  })

  test('the first step serves what is before it and the last what is after', () => {
    expect(at(product, 'opens', -1000, -960, [0, 20])).toBe(-780)
    expect(at(product, 'opens', 10_000, 10_040, [0, 20])).toBe(10_220)
  })

  test('splitting the hold into many does not add a minute', () => {
    const split = (hair: number) => Array.from({ length: 50 }, (_, i): [number, number] => [i * 7, i % 2 === 0 ? 20 : 20 + hair])
    // A hair cooler would round 180.0000000001 up to 181, a hair warmer 599.9999999999 down to 599.
    expect(at(product, 'opens', 0, 0, ...split(-1e-11))).toBe(180)
    expect(at(product, 'closes', 0, 0, ...split(1e-11))).toBe(600)
  })
})

describe('the safe side', () => {
  const product = makeProduct({ stages: { opens: minutes(240), closes: minutes(600), workable: minutes(90), sandable: minutes(600) } })

  test('cold: opens takes the higher energy (later), closes the lower (earlier)', () => {
    // At 10 °C 18 kJ/mol runs at exp(-18000/8.314 x 1.20468e-4) = 0.7704, 55 at 0.4507.
    expect(at(product, 'opens', 0, 0, [0, 10])).toBe(Math.ceil(240 / arrheniusRate(10, 20, 55)))
    expect(at(product, 'opens', 0, 0, [0, 10])).toBe(533)
    expect(at(product, 'closes', 0, 0, [0, 10])).toBe(Math.floor(600 / arrheniusRate(10, 20, 18)))
    expect(at(product, 'closes', 0, 0, [0, 10])).toBe(778)
  })

  test('warm: opens takes the lower energy (later), closes the higher (earlier)', () => {
    expect(at(product, 'opens', 0, 0, [0, 30])).toBe(Math.ceil(240 / arrheniusRate(30, 20, 18)))
    expect(at(product, 'closes', 0, 0, [0, 30])).toBe(Math.floor(600 / arrheniusRate(30, 20, 55)))
    expect(at(product, 'workable', 0, 0, [0, 30])).toBe(42)
  })

  test('too cold a night leaves no window: it would open after it closes', () => {
    // At 2 °C 55 kJ/mol runs at 0.2285: opens 240 / 0.2285 = 1050 min; 18 kJ/mol at 0.6170: closes 600 / 0.6170 = 972 min.
    const opens = at(product, 'opens', 0, 0, [0, 2])!
    const closes = at(product, 'closes', 0, 0, [0, 2])!
    expect(opens).toBeGreaterThan(closes)
  })
})

describe('the cure floor', () => {
  const product = makeProduct({ cureFloor: celsius(10), stages: { opens: minutes(240), closes: minutes(600), dustFree: minutes(120) } })

  test('below it opens earns nothing, just at it it earns', () => {
    // 120 min at 20, a night of 480 min at 9.9, then the other 120 at 20
    expect(at(product, 'opens', 0, 0, [0, 20], [120, 9.9], [600, 20])).toBe(720)
    expect(at(product, 'opens', 0, 0, [0, 20], [120, 10], [600, 20])).toBeLessThan(600)
  })

  test('a stage reached at the very minute the cold begins is reached', () =>
    expect(at(product, 'dustFree', 0, 0, [0, 20], [120, 5], [600, 20])).toBe(120))

  test('and that among many cold spells too', () => {
    // 30 minutes earned in each of three warm half hours: 90 are reached at 150, when the third ends, not at 600.
    const spells: [number, number][] = [[0, 20], [30, 5], [60, 20], [90, 5], [120, 20], [150, 5], [600, 20]]
    expect(at(makeProduct({ cureFloor: celsius(10), stages: { opens: minutes(90) } }), 'opens', 0, 0, ...spells)).toBe(150)
  })

  test('closes ignores it', () => expect(at(product, 'closes', 0, 0, [0, 5])).toBe(Math.floor(600 / arrheniusRate(5, 20, 18))))

  test('cold for good, opens never comes', () => {
    expect(at(product, 'opens', 0, 0, [0, 20], [120, 5])).toBe(null)
    expect(at(product, 'opens', 0, 0, [0, 5])).toBe(null)
    expect(at(product, 'closes', 0, 0, [0, 20], [120, 5])).toBeGreaterThan(600)
  })

  test('a stage of no minutes is there at the end of application, even in the cold', () =>
    expect(at(makeProduct({ cureFloor: celsius(10), stages: { opens: minutes(0) } }), 'opens', 0, 30, [0, 5])).toBe(30))
})

describe('the cap on closing', () => {
  test('counts clock minutes from the start, however cold', () => {
    const product = makeProduct({ closesCap: minutes(1440), stages: { closes: minutes(1200), opens: minutes(240) } })
    expect(at(product, 'closes', 100, 160, [0, 0])).toBe(1540)
    expect(at(product, 'closes', 100, 160, [0, 30])).toBeLessThan(1300)
  })

  test('holds for a product without a closing of its own; without both it never closes', () => {
    expect(at(makeProduct({ closesCap: minutes(1440) }), 'closes', 100, 160, [0, 20])).toBe(1540)
    expect(at(makeProduct(), 'closes', 100, 160, [0, 20])).toBe(null)
  })
})

describe('a person\'s finding', () => {
  const product = makeProduct({ stages: { opens: minutes(240), sandable: minutes(600) } })
  const found = (stage: CureStage, t: number) => ({ stage, at: instant(t) })

  test('replaces its stage and no other, and the latest of several counts', () => {
    const overrides = [found('opens', 300), found('opens', 330), found('opens', 310)]
    const times = stageTimes(table(product, [0, 20]), instant(0), instant(60), overrides)
    expect(times.opens).toBe(330)
    expect(times.sandable).toBe(660)
    expect(stageTimes(table(product, [0, 20]), instant(0), instant(60), overrides.toReversed())).toEqual(times)
  })

  test('gives an instant to a stage that the product does not have', () =>
    expect(stageTimes(table(product, [0, 20]), instant(0), instant(60), [found('handleable', 500)]).handleable).toBe(500))
})

test('the step in force at the start of a table serves everything before it', () => {
  const product = makeProduct({ stages: { opens: minutes(100) } })
  const cut = cureTable(product, makeClimate([0, 10], [500, 20], [1000, 5]), instant(500), instant(1000))
  expect(stageTime(cut, 'opens', instant(0), instant(0))).toBe(100)
  // And the one just before its end everything after.
  expect(stageTime(cut, 'opens', instant(2000), instant(2000))).toBe(2100)
})

test('a table without steps, or that ends before it starts, is refused', () => {
  expect(() => cureTable(makeProduct(), [], instant(0), instant(1))).toThrow(RangeError)
  expect(() => cureTable(makeProduct(), makeClimate([0, 20]), instant(2), instant(1))).toThrow(RangeError)
})

describe('over random weather', () => {
  const weather = fc.array(fc.tuple(fc.integer({ min: 1, max: 400 }), fc.double({ min: -5, max: 35, noNaN: true })), { minLength: 1, maxLength: 40 })
    .map((steps) => {
      let from = 0
      return steps.map(([length, air]): [number, number] => [(from += length) - length, air])
    })
  const products = fc.record({
    lag: fc.integer({ min: 0, max: 3000 }), low: fc.double({ min: 10, max: 55, noNaN: true }), more: fc.double({ min: 0, max: 30, noNaN: true }),
    floor: fc.double({ min: -10, max: 15, noNaN: true }), cap: fc.option(fc.integer({ min: 1, max: 3000 })),
  }).map(({ lag, low, more, floor, cap }) => makeProduct({
    stages: Object.fromEntries(CURE_STAGES.map((s) => [s, minutes(lag)])), filmEnergyLow: low, filmEnergyHigh: low + more,
    cureFloor: celsius(floor), closesCap: cap === null ? null : minutes(cap),
  }))
  const settings = { seed: 20260101, numRuns: 400 }
  const stages = fc.constantFrom(...CURE_STAGES)
  const applied = fc.integer({ min: -500, max: 12_000 })

  /** The rule in its plainest form: minute by minute. */
  function plainly(product: CureProduct, steps: [number, number][], stage: CureStage, from: number): number | null {
    const until = UNTIL_STAGES.has(stage)
    const lag = product.stages[stage]!
    const instants = [product.filmEnergyLow, product.filmEnergyHigh].map((energy) => {
      let age = 0
      let t = from
      for (; t < from + 60_000; t++) {
        if (age >= lag - 1e-6) break
        const air = steps.findLast(([start]) => start <= t)?.[1] ?? steps[0]![1]
        const rate = !until && air < product.cureFloor ? 0 : arrheniusRate(air, 20, energy)
        if (until && age + rate > lag + 1e-6) break
        age += rate
      }
      return t
    })
    const time = until ? Math.min(...instants, stage === 'closes' ? from + (product.closesCap ?? Infinity) : Infinity) : Math.max(...instants)
    return time >= from + 60_000 ? null : time
  }

  test('a look-up is what adding up minute by minute gives', () => {
    fc.assert(fc.property(weather, products, stages, applied, (steps, product, stage, t) => {
      const expected = plainly(product, steps, stage, t)
      const got = at(product, stage, t, t, ...steps)
      if (expected === null) expect(got === null || got >= t + 60_000).toBe(true)
      else expect(got).toBe(expected)
    }), { ...settings, numRuns: 150 })
  })

  test('a later application never gives an earlier stage', () => {
    fc.assert(fc.property(weather, products, stages, applied, fc.nat(500), (steps, product, stage, t, later) => {
      const first = at(product, stage, t, t, ...steps)
      const second = at(product, stage, t + later, t + later, ...steps)
      if (first === null) expect(second).toBe(null)
      else if (second !== null) expect(second).toBeGreaterThanOrEqual(first)
    }), settings)
  })

  test('a stage is not before the application it counts from', () => {
    fc.assert(fc.property(weather, products, stages, applied, (steps, product, stage, t) => {
      const got = at(product, stage, t, t, ...steps)
      if (got !== null) expect(got).toBeGreaterThanOrEqual(t)
    }), settings)
  })

  test('splitting a step in two equals one step', () => {
    fc.assert(fc.property(weather, products, stages, applied, fc.nat(100), (steps, product, stage, t, cut) => {
      const halves = steps.flatMap(([from, air], i): [number, number][] => {
        const middle = from + 1 + (cut % Math.max(1, (steps[i + 1]?.[0] ?? from + 101) - from - 1))
        // A hair of difference keeps the halves from being joined again.
        if (middle >= (steps[i + 1]?.[0] ?? Infinity)) return [[from, air]]
        return [[from, air], [middle, air + (air < product.cureFloor ? -1e-13 : 1e-13)]]
      })
      expect(at(product, stage, t, t, ...halves)).toBe(at(product, stage, t, t, ...steps))
    }), settings)
  })

  test('the same instants from another origin give the same minutes', () => {
    fc.assert(fc.property(weather, products, stages, applied, fc.integer({ min: -40_000_000, max: 40_000_000 }), (steps, product, stage, t, shift) => {
      const here = at(product, stage, t, t, ...steps)
      const there = at(product, stage, t + shift, t + shift, ...steps.map(([from, air]): [number, number] => [from + shift, air]))
      expect(there).toBe(here === null ? null : here + shift)
    }), settings)
  })

  test('a table cut to part of the climate agrees inside that part', () => {
    fc.assert(fc.property(weather, products, stages, fc.nat(6000), fc.nat(6000), (steps, product, stage, from, length) => {
      const climate = makeClimate(...steps)
      const whole = at(product, stage, from, from, ...steps)
      const part = stageTime(cureTable(product, climate, instant(from), instant(from + length)), stage, instant(from), instant(from))
      if (whole !== null && whole <= from + length) expect(part).toBe(whole as Instant)
      else if (part !== null) expect(part).toBeGreaterThanOrEqual(from + length)
    }), settings)
  })

  test('isothermal, a lag is lag / rate', () => {
    fc.assert(fc.property(fc.double({ min: -5, max: 35, noNaN: true }), products, stages, (air, product, stage) => {
      const rates = [product.filmEnergyLow, product.filmEnergyHigh].map((e) => arrheniusRate(air, 20, e))
      const lag = product.stages[stage]!
      const cap = stage === 'closes' ? product.closesCap ?? Infinity : Infinity
      const expected = UNTIL_STAGES.has(stage) ? Math.min(Math.floor(lag / Math.max(...rates) + 1e-6), cap)
        : lag > 0 && air < product.cureFloor ? null : Math.ceil(lag / Math.min(...rates) - 1e-6) + 0
      expect(at(product, stage, 0, 0, [0, air])).toBe(expected)
    }), settings)
  })
})
