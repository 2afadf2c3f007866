/**
 * Every formula of the estimate, with the file that checks it against something outside (published, or derived another way) and the file that
 * holds what is true of it for any figures. A formula that is added without both is told here.
 */
import fc from 'fast-check'
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import * as core from '../../../src/core/estimate/index.ts'
import type { Spread } from '../../../src/core/estimate/types.ts'

const {
  acrossFibres, alongFibres, areaByHalfBreadths, clothArea, combinationGlassFraction, dryFilmMass, filletLeg, glassVolumeShare, laminateModulus, nominalGlassFraction,
  paintSpreading, plyMass, practicalSpreading, sectionOf, sheathingGallons, sheetMass, skinMass, skinThickness, stackThickness, stiffnessRatio, thicknessOf, wetFilm,
  wetOutResin, wetOutSpread, defaultCoefficients, layUpOf, laminateThickness,
} = core

type Where = readonly [check: string, holds: string]
const SAME: Where = ['published/estimate', 'core/estimate/properties']
const HERE: Where = ['published/estimate', 'core/estimate/formulas']
const PANELS: Where = ['published/panels', 'core/estimate/panels']
const PANELS_HERE: Where = ['published/panels', 'core/estimate/formulas']
const HAND: Where = ['core/estimate/formulas', 'core/estimate/formulas']
const FORMULAS: Readonly<Record<string, Where>> = {
  laminateThickness: SAME, stackGlassFraction: SAME, combinationGlassFraction: SAME, wetOutResin: SAME, sheathingVolume: SAME, filletArea: SAME, filletVolume: SAME,
  filledMix: SAME, mixForVolume: SAME, tapeGlass: SAME, paintTheory: SAME, withLoss: SAME,
  nominalGlassFraction: HERE, stackThickness: HERE, sheathingGallons: HERE, paintSpreading: HERE, practicalSpreading: HERE, wetFilm: HERE, filletLeg: HERE,
  areaByStations: ['published/estimate', 'core/estimate/areas'], areaByHalfBreadths: ['published/estimate', 'core/estimate/areas'],
  plyBending: PANELS, panelOf: PANELS, transformedSection: PANELS, sandwichInertia: PANELS, stripDeflection: PANELS,
  acrossFibres: PANELS_HERE, alongFibres: PANELS_HERE, glassVolumeShare: PANELS_HERE, laminateModulus: PANELS_HERE, plyMass: PANELS_HERE, sheetMass: PANELS_HERE,
  skinMass: PANELS_HERE, skinThickness: PANELS_HERE, stiffnessRatio: PANELS_HERE, sectionOf: PANELS_HERE,
  thicknessOf: HAND, wetOutSpread: HAND, clothArea: HAND, dryFilmMass: HAND,
  byArea: ['core/estimate/formulas', 'core/estimate/properties'], byCoats: ['core/estimate/formulas', 'core/estimate/properties'],
  edgeSeal: ['core/estimate/formulas', 'core/estimate/properties'], fillCoats: ['core/estimate/formulas', 'core/estimate/properties'],
  tapeLength: ['core/estimate/formulas', 'core/estimate/properties'],
  splitPanel: ['core/estimate/panels', 'core/estimate/panels'], sheetBound: ['core/estimate/panels', 'core/estimate/panels'], clothOnRoll: ['core/estimate/panels', 'core/estimate/panels'],
  layUpOf: ['core/estimate/panels', 'core/estimate/panels'], personLoad: ['core/estimate/panels', 'core/estimate/panels'],
  learn: ['core/estimate/learn', 'core/estimate/learn'], interval80: ['core/estimate/learn', 'core/estimate/learn'], studentT90: ['core/estimate/learn', 'core/estimate/learn'],
}
/** What reckons nothing: words, sums of ranges, checks, tables, and the whole of which the rest is part. */
const OTHER = new Set([
  'addSpread', 'coefficientAt', 'estimate', 'exactly', 'glassFraction', 'insideAngle', 'isSlip', 'leastSure', 'notNegative', 'plain', 'plyMaterial', 'plyPart', 'scaleSpread',
  'setByClub', 'posterior', 'spread', 'sumSpreads', 'timesSpread', 'withOverrides',
])

test('every formula has a check from outside or derived, and a test of what holds for any figures', () => {
  const functions = Object.entries(core).flatMap(([name, value]) => (typeof value === 'function' ? [name] : []))
  expect(functions.filter((name) => !(name in FORMULAS) && !OTHER.has(name))).toEqual([])
  const texts = new Map<string, string>()
  const textOf = (file: string): string => {
    const known = texts.get(file) ?? readFileSync(`${import.meta.dirname}/../../${file}.test.ts`, 'utf8')
    texts.set(file, known)
    return known
  }
  // Called there, not only named in this table.
  const isCalled = (name: string, file: string): boolean => new RegExp(`\\b${name}\\b[()]`).test(textOf(file).replace(/import[^']*'/g, ''))
  for (const [name, files] of Object.entries(FORMULAS)) for (const file of files) expect([name, file, isCalled(name, file)]).toEqual([name, file, true])
})

const ends = (s: Spread): number[] => [s.low, s.likely, s.high]
const size = fc.double({ min: 0.001, max: 500, noNaN: true })
const share = fc.double({ min: 0.05, max: 0.95, noNaN: true })
const near = (a: number, b: number): void => expect(Math.abs(a - b)).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(a), Math.abs(b)))

describe('derived by hand', () => {
  // 2 m² × 100, 140, 200; × 3 coats; 3 coats of 80, 122, 150 with two at the low end; 0.02 m² × 100 × 1.5, 140 × 2, 200 × 3.
  test('coats by area and number, fill coats, edges', () => {
    const c = defaultCoefficients
    expect(ends(core.byArea(2, c.sealFirst))).toEqual([200, 280, 400])
    expect(ends(core.byCoats(2, 3, c.sealFirst))).toEqual([600, 840, 1200])
    expect(ends(core.fillCoats(2, 3, c.fillCoat))).toEqual([320, 732, 900])
    ends(core.edgeSeal(0.02, c.sealFirst, { low: 1.5, likely: 2, high: 3 })).forEach((g, i) => near(g, [3, 5.6, 12][i]!))
  })
  // Two layers of 3 m + 0.05 m; (4 m² + 0.05 m × 12 m) × 2 = 9.2 m², 10 % trimmed.
  test('tape with its overlap, cloth with its laps', () => {
    near(core.tapeLength(3, { side: 'inside', widthMm: 75, arealMass: 200, layers: 2, overlapMm: 50 }), 6.1)
    const { net, waste } = clothArea(4, 2, { low: 0, likely: 0.1, high: 0.2 }, { widthMm: 50, alongM: 12 })
    near(net, 9.2)
    near(waste.likely, 0.92)
  })
  // 10 m² × 2 × 40 µm = 0.8 L dry × 1.5 = 1.2 kg. 1 kg/m² at 0.5: 1/2.56 + 1/1.2 mm. 100 g at ψ 0.50, 0.43, 0.36.
  test('dry film, laminate by its own densities, wet-out by skill', () => {
    near(dryFilmMass(10, 2, 40, 1.5), 1.2)
    near(thicknessOf(1, 0.5, 2.56, 1.2), 1 / 2.56 + 1 / 1.2)
    ends(wetOutSpread(100, defaultCoefficients, 'some')).forEach((g, i) => near(g, [100, (100 * 0.57) / 0.43, (100 * 0.64) / 0.36][i]!))
  })
})

describe('what holds for any figures', () => {
  test('thickness by densities is the standard’s at its own, doubles with the glass, and a stack is its layers one on another', () => {
    fc.assert(fc.property(size, share, (w, psi) => {
      near(thicknessOf(w, psi, 2.56, 1.2), laminateThickness(w, psi))
      near(thicknessOf(2 * w, psi, 2.5, 1.1), 2 * thicknessOf(w, psi, 2.5, 1.1))
      near(stackThickness([{ dryGlass: w, glassFraction: psi }, { dryGlass: w, glassFraction: psi }]), laminateThickness(2 * w, psi))
    }))
    expect(thicknessOf(0, 0.5, 2.56, 1.2)).toBe(0)
    expect(stackThickness([])).toBe(0)
  })

  test('nominal glass fractions rise from complex by simple to vacuum, and roving with mat lies between its ends', () => {
    for (const glass of ['mat', 'woven-roving', 'multidirectional', 'unidirectional'] as const) {
      expect(nominalGlassFraction(glass, 'complex')).toBeLessThan(nominalGlassFraction(glass, 'simple'))
      expect(nominalGlassFraction(glass, 'simple')).toBeLessThan(nominalGlassFraction(glass, 'vacuum'))
    }
    fc.assert(fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (mat) => {
      expect(combinationGlassFraction(mat, 'simple')).toBeGreaterThanOrEqual(combinationGlassFraction(1, 'simple'))
      expect(combinationGlassFraction(mat, 'simple')).toBeLessThanOrEqual(combinationGlassFraction(0, 'simple'))
    }))
  })

  test('wet-out by skill runs from the highest glass fraction to the lowest, as the plain formula says', () => {
    fc.assert(fc.property(size, fc.constantFrom('first', 'some', 'practised'), (glass, skill) => {
      const psi = defaultCoefficients.glassFraction[skill]
      const s = wetOutSpread(glass, defaultCoefficients, skill)
      expect(ends(s)).toEqual([psi.high, psi.likely, psi.low].map((p) => wetOutResin(glass, p)))
      expect(s.low <= s.likely && s.likely <= s.high).toBe(true)
    }))
    expect(ends(wetOutSpread(0, defaultCoefficients, 'some'))).toEqual([0, 0, 0])
  })

  test('gallons go with the area and rise with the cloth, none for no area', () => {
    fc.assert(fc.property(size, size, (feet, ounces) => {
      near(sheathingGallons(2 * feet, ounces), 2 * sheathingGallons(feet, ounces))
      expect(sheathingGallons(feet, ounces + 1)).toBeGreaterThan(sheathingGallons(feet, ounces))
      expect(sheathingGallons(0, ounces)).toBe(0)
    }))
  })

  test('cloth is never less than what it covers; laps and layers add to it, nothing to cover takes none', () => {
    fc.assert(fc.property(size, fc.integer({ min: 1, max: 5 }), size, size, (area, layers, widthMm, alongM) => {
      const trim = { low: 0.05, likely: 0.1, high: 0.2 }
      const [bare, lapped] = [clothArea(area, layers, trim), clothArea(area, layers, trim, { widthMm, alongM })]
      near(bare.net, area * layers)
      near(lapped.net - bare.net, (layers * widthMm * alongM) / 1000)
      expect(lapped.waste.low <= lapped.waste.likely && lapped.waste.likely <= lapped.waste.high).toBe(true)
      expect(clothArea(0, layers, trim).net).toBe(0)
    }))
  })

  test('a litre of paint is its wet film on what it covers; loss takes its share; the dry film weighs what its solids do', () => {
    fc.assert(fc.property(fc.double({ min: 0.1, max: 1, noNaN: true }), size, share, (solids, film, lost) => {
      near(paintSpreading(solids, film) * wetFilm(solids, film), 1000)
      expect(wetFilm(solids, film)).toBeGreaterThanOrEqual(film)
      near(practicalSpreading(solids, film, lost), paintSpreading(solids, film) * (1 - lost))
      near(practicalSpreading(solids, film, 0), paintSpreading(solids, film))
      near(dryFilmMass(paintSpreading(solids, film), 1, film, 1.4), solids * 1.4)
      expect(dryFilmMass(0, 2, film, 1.4)).toBe(0)
    }))
  })

  test('a fillet reaches the higher the sharper the corner and the larger its radius', () => {
    fc.assert(fc.property(fc.double({ min: 5, max: 175, noNaN: true }), size, (angle, radius) => {
      expect(filletLeg(angle, radius)).toBeGreaterThan(filletLeg(angle + 1, radius))
      near(filletLeg(angle, 2 * radius), 2 * filletLeg(angle, radius))
      expect(filletLeg(angle, 0)).toBe(0)
    }))
  })

  test('half-breadths give twice their own area, none for none', () => {
    fc.assert(fc.property(fc.array(fc.double({ min: 0, max: 900, noNaN: true }), { minLength: 2, maxLength: 9 }), (halves) => {
      const at = (n: number, i: number) => 100 * i * i + 50 * i + n
      near(areaByHalfBreadths(halves.map((halfMm, i) => ({ atMm: at(0, i), halfMm }))), core.areaByStations(halves.map((h, i) => ({ atMm: at(7, i), widthMm: 2 * h }))))
      expect(areaByHalfBreadths(halves.map((_h, i) => ({ atMm: at(0, i), halfMm: 0 })))).toBe(0)
    }))
  })

  test('fibres in line are stiffer than across, both between resin and glass', () => {
    fc.assert(fc.property(share, (vf) => {
      const [along, across] = [alongFibres(72, 3, vf), acrossFibres(72, 3, vf)]
      expect(across).toBeGreaterThan(3)
      expect(along).toBeGreaterThan(across)
      expect(along).toBeLessThan(72)
      // Glass is the denser, so it has less of the volume than of the mass.
      expect(glassVolumeShare(vf)).toBeLessThan(vf)
      expect(glassVolumeShare(vf)).toBeGreaterThan(0)
    }))
    near(alongFibres(72, 3, 0), 3)
    near(acrossFibres(72, 3, 1), 72)
  })

  test('more glass in it is a stiffer, thinner and lighter skin', () => {
    const psi = fc.double({ min: 0.2, max: 0.79, noNaN: true })
    fc.assert(fc.property(psi, psi, (a, b) => {
      const [less, more] = [Math.min(a, b), Math.max(a, b)]
      const skin = (glassFraction: number, layers = 1) => ({ arealMass: 200, layers, glassFraction })
      expect(laminateModulus(less)).toBeLessThanOrEqual(laminateModulus(more))
      expect(skinMass(skin(less))).toBeGreaterThanOrEqual(skinMass(skin(more)))
      expect(skinThickness(skin(less))).toBeGreaterThanOrEqual(skinThickness(skin(more)))
      near(skinMass(skin(a, 2)), 2 * skinMass(skin(a)))
      near(skinThickness(skin(a, 2)), 2 * skinThickness(skin(a)))
      expect(skinMass(skin(a, 0))).toBe(0)
    }))
  })

  test('a sheet weighs by its size and thickness; twice as thick is eight times as stiff; its section is as thick as all in it', () => {
    fc.assert(fc.property(fc.double({ min: 1, max: 30, noNaN: true }), (mm) => {
      const ply = { species: 'okoume', thicknessMm: mm } as const
      near(plyMass({ ...ply, thicknessMm: 2 * mm }), 2 * plyMass(ply))
      near(sheetMass(1000, 1000, mm, 450), plyMass(ply))
      expect(sheetMass(0, 1000, mm, 450)).toBe(0)
      near(stiffnessRatio(mm, 2 * mm), 8)
      near(stiffnessRatio(mm, 2 * mm) * stiffnessRatio(2 * mm, mm), 1)
      const skin = { arealMass: 200, layers: 1, glassFraction: 0.48 }
      near(sectionOf(layUpOf(ply), skin, null, 'along').reduce((sum, l) => sum + l.thicknessMm, 0), mm + skinThickness(skin))
    }))
  })
})
