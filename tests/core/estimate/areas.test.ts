import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { areaByHalfBreadths, areaByStations } from '../../../src/core/estimate/index.ts'

const at = (stations: readonly (readonly [number, number])[]): number => areaByStations(stations.map(([atMm, widthMm]) => ({ atMm, widthMm })))

describe('areas by stations', () => {
  test('two stations make a trapezoid: (400 + 600)/2 mm × 2 m = 1 m²', () => expect(at([[0, 400], [2000, 600]])).toBeCloseTo(1, 12))

  test('it does not matter where along the boat the first station is, nor which end comes first', () => {
    const widths = [300, 520, 610, 540, 200, 120]
    const xs = [0, 350, 900, 1800, 2500, 3000]
    const area = at(xs.map((x, i) => [x, widths[i]!]))
    expect(at(xs.map((x, i) => [x - 1234, widths[i]!]))).toBeCloseTo(area, 9)
    expect(at(xs.map((x, i) => [-x, widths[i]!] as const).reverse())).toBeCloseTo(area, 9)
  })

  test('half-breadths are doubled', () => {
    expect(areaByHalfBreadths([{ atMm: 0, halfMm: 200 }, { atMm: 2000, halfMm: 300 }])).toBeCloseTo(1, 12)
  })

  // The parabola through (0, 0), (50, 500), (2000, 500) rises to about 5.4 m: 7.7 m² of a piece that is 2 m × 0.5 m at most.
  test('a parabola that swings far beyond its stations is not believed: straight lines, 0.5 × 0.05 × 0.5 + 1.95 × 0.5 = 0.9875 m²', () => {
    expect(at([[0, 0], [50, 500], [2000, 500]])).toBeCloseTo(0.9875, 12)
  })

  test('nor one that dips below nothing: 0.5 × 1 × 0.5 = 0.25 m² and nothing further on', () => {
    expect(at([[0, 500], [1000, 0], [3000, 0]])).toBeCloseTo(0.25, 12)
  })

  test('any quadratic that stays above 0 comes out exactly, at any stations', () => {
    fc.assert(fc.property(
      fc.uniqueArray(fc.integer({ min: 0, max: 4000 }), { minLength: 3, maxLength: 9 }), fc.integer({ min: 1, max: 400 }),
      fc.integer({ min: -100, max: 100 }), fc.integer({ min: 200, max: 900 }),
      (xs, bow, slope, least) => {
        xs.sort((a, b) => a - b)
        // A quadratic in metres from the middle, below 1.5 of its ends by being convex (its ends are the widest).
        const width = (x: number): number => bow * ((x - 2000) / 1000) ** 2 + (slope * (x - 2000)) / 1000 + least
        const [from, to] = [xs[0]!, xs.at(-1)!]
        const primitive = (x: number): number => (bow * ((x - 2000) / 1000) ** 3) / 3 + (slope * ((x - 2000) / 1000) ** 2) / 2 + (least * x) / 1000
        expect(at(xs.map((x) => [x, width(x)]))).toBeCloseTo((primitive(to) - primitive(from)) / 1000, 9)
      },
    ))
  })

  test('no area is negative, and none is beyond 1.5 times the widest width all along', () => {
    const positions = fc.uniqueArray(fc.integer({ min: 0, max: 6000 }), { minLength: 2, maxLength: 9 })
    fc.assert(fc.property(positions, fc.array(fc.integer({ min: 0, max: 1500 }), { minLength: 9, maxLength: 9 }), (xs, widths) => {
      xs.sort((a, b) => a - b)
      const area = at(xs.map((x, i) => [x, widths[i]!]))
      expect(area).toBeGreaterThanOrEqual(-1e-9)
      expect(area).toBeLessThanOrEqual((1.5 * Math.max(...widths) * (xs.at(-1)! - xs[0]!)) / 1e6 + 1e-9)
    }))
  })

  test.each([
    ['one station', [[0, 400]]], ['none', []], ['stations that stand still', [[0, 400], [0, 500]]],
    ['stations that go back', [[0, 400], [900, 500], [800, 500]]],
    ['a negative width', [[0, 400], [900, -1]]], ['a width that is no number', [[0, 400], [900, NaN]]],
  ] as const)('%s: refused', (_name, stations) => expect(() => at(stations)).toThrow(RangeError))
})
