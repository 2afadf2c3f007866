import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  byArea, byCoats, combinationGlassFraction, edgeSeal, filledMix, filletArea, filletVolume, fillCoats, laminateThickness, mixForVolume,
  paintTheory, sheathingVolume, stackGlassFraction, tapeGlass, tapeLength, defaultCoefficients, estimate, wetOutResin, withLoss,
} from '../../../src/core/estimate/index.ts'
import type { Boat, Line, Skill, Spread } from '../../../src/core/estimate/types.ts'
import { bare, cloth, extra, fig, joint, mixedEpoxy, panel, primer, seam, settingsFor, surface, tape, timber } from './boats.ts'

const size = (most: number) => fc.double({ min: 0, max: most, noNaN: true })
const count = fc.integer({ min: 0, max: 6 })
const skill = fc.constantFrom<Skill>('first', 'some', 'practised')

/** All that a boat's amounts hang on. */
const figures = fc.record({
  area: size(20), length: size(12), angles: fc.array(fc.integer({ min: 30, max: 180 }), { minLength: 1, maxLength: 5 }), radius: size(40),
  width: size(150), glass: fc.integer({ min: 0, max: 600 }),
  layers: count, coats: count, share: size(1), skill,
})
type Figures = typeof figures extends fc.Arbitrary<infer T> ? T : never

const boatOf = (f: Figures, times = 1): Boat => {
  const area = f.area * times
  const length = f.length * times
  return {
    ...bare,
    panels: [panel('bottom', area, length * 1000, length * 300, { count: 2 })],
    seams: [seam('keel', length, f.angles, f.radius, [{ ...tape('inside', f.width, f.glass, f.layers), overlapMm: 50 * times }])],
    surfaces: [surface('face', area, {
      cloth: cloth(f.glass, f.layers), fillCoats: f.coats, sealCoats: f.coats, topUpCoats: f.coats, paints: [{ ...primer, coats: f.coats }],
      fairedShare: f.share, sanded: true,
    })],
    joints: [joint('scarfs', area)],
    timbers: [timber('rail', length)],
    extras: [extra('stitches', { of: fig(length) }), extra('rope', { of: fig(length), unit: 'm' })],
  }
}
const ENDS = ['low', 'likely', 'high'] as const
const WHAT = ['net', 'waste', 'kg'] as const
const lines = (f: Figures, times = 1): Line[] => estimate(boatOf(f, times), settingsFor(f.skill))
const near = (a: number, b: number): boolean => Math.abs(a - b) <= 1e-9 * Math.max(1, Math.abs(a), Math.abs(b))

/** Thousands of comparisons a run: a plain throw is a tenth of the time of an expect. */
function must(holds: boolean, ...what: unknown[]): void {
  if (!holds) throw new Error(what.join(' '))
}

const eachAmount = (see: (what: (typeof WHAT)[number], end: (typeof ENDS)[number]) => void): void =>
  WHAT.forEach((what) => ENDS.forEach((end) => see(what, end)))

/** Each amount of `more` is at least the like one of `less`; a line that `less` lacks counts as nothing. */
function expectNoLess(more: readonly Line[], less: readonly Line[]): void {
  const byKey = new Map(more.map((l) => [l.key, l]))
  for (const l of less) {
    const other = byKey.get(l.key)
    if (!other) throw new Error(`${l.key} is gone`)
    eachAmount((what, end) => must(other[what][end] >= l[what][end] * (1 - 1e-12), l.key, what, end, other[what][end], '<', l[what][end]))
  }
}

describe('an estimate', () => {
  test('runs from low by likely to high, and no amount is below nothing', () => {
    fc.assert(fc.property(figures, (f) => {
      for (const l of lines(f)) for (const what of WHAT) {
        const { low, likely, high }: Spread = l[what]
        must(low >= 0 && low <= likely && likely <= high && Number.isFinite(high), l.key, what, low, likely, high)
      }
    }))
  })

  test('doubles when all areas and lengths double', () => {
    fc.assert(fc.property(figures, (f) => {
      const twice = lines(f, 2)
      lines(f).forEach((l, i) => {
        must(twice[i]!.key === l.key, twice[i]!.key, l.key)
        const other = twice[i]!
        eachAmount((what, end) => must(near(other[what][end], 2 * l[what][end]), l.key, what, end, other[what][end], 2 * l[what][end]))
      })
    }))
  })

  test('is nothing for a boat of no size', () => {
    fc.assert(fc.property(figures, (f) => {
      for (const l of lines(f, 0)) eachAmount((what, end) => must(l[what][end] === 0, l.key, what, end, l[what][end]))
    }))
  })

  test.each(['area', 'length', 'layers', 'coats', 'share', 'glass', 'width', 'radius'] as const)('is never less for more of its %s', (what) => {
    fc.assert(fc.property(figures, fc.integer({ min: 1, max: 3 }), (f, more) => {
      // A cloth or tape of another mass or width is another material with the same key.
      const larger = { ...f, [what]: what === 'share' ? Math.min(1, f.share + more / 10) : f[what] + more }
      expectNoLess(lines(larger), lines(f))
    }))
  })

  test('is never less for a sharper corner', () => {
    fc.assert(fc.property(figures, fc.integer({ min: 1, max: 25 }), (f, by) => {
      expectNoLess(lines({ ...f, angles: f.angles.map((a) => a - by) }), lines(f))
    }))
  })

  test('keeps unit, material, rule and key of a line, whatever the figures', () => {
    const seen = new Map<string, string>()
    fc.assert(fc.property(figures, (f) => {
      const all = lines(f)
      must(new Set(all.map((l) => l.key)).size === all.length, 'a key twice')
      for (const l of all) {
        const told = `${l.unit} ${l.rule} ${l.part}`
        must((seen.get(l.key) ?? told) === told, l.key, seen.get(l.key), told)
        seen.set(l.key, told)
      }
    }))
  })

  test('takes no less likely epoxy of hands with less practice, for the same glass', () => {
    fc.assert(fc.property(figures, (f) => {
      const likely = (s: Skill): number => mixedEpoxy(lines({ ...f, skill: s })).likely
      expect(likely('first')).toBeGreaterThanOrEqual(likely('some'))
      expect(likely('some')).toBeGreaterThanOrEqual(likely('practised'))
    }))
  })

  test('weighs in the boat no more than what went into it: grams of net are at most kg × 1000', () => {
    fc.assert(fc.property(figures, (f) => {
      for (const l of lines(f).filter((one) => one.unit === 'g')) {
        for (const end of ENDS) must(l.kg[end] * 1000 <= l.net[end] + 1e-9, l.key, end, l.kg[end], l.net[end])
      }
    }))
  })
})

describe('single formulas: nothing for nothing, and never less for more', () => {
  const psi = fc.double({ min: 0.05, max: 0.95, noNaN: true })
  const rising = (name: string, of: (x: number, c: number) => number, most = 50): void => {
    test(name, () => {
      fc.assert(fc.property(size(most), size(most), psi, (a, b, c) => {
        const [less, more] = [Math.min(a, b), Math.max(a, b)]
        expect(of(0, c)).toBe(0)
        expect(of(more, c)).toBeGreaterThanOrEqual(of(less, c))
      }))
    })
  }
  const c = defaultCoefficients
  rising('thickness of dry glass', laminateThickness)
  rising('resin of glass', wetOutResin)
  rising('coats by area', (area) => byArea(area, c.sealFirst).high)
  rising('coats by number', (coats) => byCoats(3, coats, c.sealNext).high)
  rising('fill coats by area', (area) => fillCoats(area, 3, c.fillCoat).low)
  rising('edges', (area) => edgeSeal(area, c.sealFirst, { low: 1, likely: 2, high: 3 }).high)
  rising('a fillet by its radius', (radius, share) => filletArea(180 * share, radius))
  rising('a fillet by its length', (length, share) => filletVolume(length, [180 * share, 100], 12))
  rising('a mix by its volume', (volume) => mixForVolume(volume, 1.15, 25, 1.45).epoxyG)
  rising('tape by its length', (length) => tapeLength(length, tape('inside')))
  rising('glass of a tape by its width', (width) => tapeGlass(4, tape('inside', width)))
  rising('paint by its area', (area, solids) => paintTheory(area, 2, solids, 40))
  rising('paint with loss', withLoss)
  rising('the coverage formula by its area', (area) => sheathingVolume(area, 200))

  test('more glass in the laminate takes less resin and makes it thinner', () => {
    fc.assert(fc.property(psi, psi, (a, b) => {
      const [less, more] = [Math.min(a, b), Math.max(a, b)]
      expect(wetOutResin(200, less)).toBeGreaterThanOrEqual(wetOutResin(200, more))
      expect(laminateThickness(0.2, less)).toBeGreaterThanOrEqual(laminateThickness(0.2, more))
    }))
  })

  test('a stack’s glass fraction lies between those of its layers, and a mix’s density between those of its parts', () => {
    fc.assert(fc.property(fc.array(fc.tuple(fc.double({ min: 0.01, max: 3, noNaN: true }), psi), { minLength: 1, maxLength: 6 }), (parts) => {
      const fractions = parts.map(([, p]) => p)
      const stack = stackGlassFraction(parts.map(([dryGlass, glassFraction]) => ({ dryGlass, glassFraction })))
      const { density, shares } = filledMix(parts.map(([mass, d]) => ({ mass, density: d })))
      for (const value of [stack, density]) {
        expect(value).toBeGreaterThanOrEqual(Math.min(...fractions) * (1 - 1e-12))
        expect(value).toBeLessThanOrEqual(Math.max(...fractions) * (1 + 1e-12))
      }
      expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12)
    }))
  })

  test.each([
    ['a glass fraction of 1', () => wetOutResin(200, 1)], ['a glass fraction of 0', () => laminateThickness(1, 0)],
    ['negative glass', () => wetOutResin(-1, 0.5)],
    ['a stack of nothing', () => stackGlassFraction([])], ['a share of mat of 1.1', () => combinationGlassFraction(1.1, 'simple')],
    ['an angle of 181°', () => filletArea(181, 10)],
    ['a radius below nothing', () => filletArea(90, -1)], ['a mix of nothing', () => filledMix([])],
    ['a filler without density', () => filledMix([{ mass: 1, density: 0 }])],
    ['a loss of all', () => withLoss(1, 1)], ['an area of no number', () => byArea(NaN, c.sealFirst)],
  ])('%s is refused', (_name, run) => expect(run).toThrow(RangeError))
})
