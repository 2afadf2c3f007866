/**
 * Plywood, glass skins and sandwiches against published numbers. Where a standard is named it was read second-hand; "from memory" and "derived"
 * are said beside each check.
 */
import { describe, expect, test } from 'vitest'
import {
  acrossFibres, alongFibres, glassVolumeShare, laminateModulus, panelOf, plyBending, plyMass, plySpecies, sandwichInertia, sectionOf, sheetMass, skinMass, skinThickness,
  stiffnessRatio, stripDeflection, transformedSection, type LayUp, type Skin,
} from '../../src/core/estimate/panels.ts'

/** Sanded birch: faces 1.1 mm, inner veneers 1.4 mm, EL 17 500 N/mm², cross plies as nothing (Handbook of Finnish Plywood, from memory). */
const birch = (count: number): LayUp => ({
  veneers: Array.from({ length: count }, (_, i) => ({ thicknessMm: i === 0 || i === count - 1 ? 1.1 : 1.4, isAlong: i % 2 === 0 })), alongGrain: 17_500, acrossGrain: 0,
})
const equal = (count: number): LayUp => ({ veneers: Array.from({ length: count }, (_, i) => ({ thicknessMm: 1, isAlong: i % 2 === 0 })), alongGrain: 1, acrossGrain: 0 })
/** Okoume 5 × 1.2 mm: EL 7900, across the grain EL/20 = 395 N/mm² (derived from E of the USDA FPL tech sheet, read, and FPL-059, summary read). */
const okoume: LayUp = { veneers: [true, false, true, false, true].map((isAlong) => ({ thicknessMm: 1.2, isAlong })), alongGrain: 7900, acrossGrain: 395 }

describe('plywood by its veneers (E = ΣEi·Ii/I: USDA FPL-059, summary read; ANC-18 §2.5, contents read)', () => {
  test.each([
    // veneers, total mm, along, across
    [3, 3.6, 16_471, 1029],
    [5, 6.4, 12_737, 4763],
    [7, 9.2, 11_395, 6105],
    [9, 12, 10_719, 6781],
  ])('birch of %i veneers, %d mm: %i along and %i across (Handbook of Finnish Plywood, from memory)', (count, mm, along, across) => {
    const got = plyBending(birch(count))
    expect(got.thicknessMm).toBeCloseTo(mm, 9)
    expect([Math.round(got.eAlong), Math.round(got.eAcross)]).toEqual([along, across])
  })

  test('equal veneers, cross plies as nothing: 26/27 of the wood with three, 99/125 with five (derived)', () => {
    // Three of 1 mm: I = 27/12, the middle one has 1/12 of it.
    expect(plyBending(equal(3)).eAlong).toBeCloseTo(26 / 27, 12)
    expect(plyBending(equal(5)).eAlong).toBeCloseTo(99 / 125, 12)
  })

  test('okoume 5 × 1.2 mm: I 18 mm⁴/mm, 6338.96 and 1956.04 N/mm², EI 114 101.28 and 35 208.72 (derived)', () => {
    const got = plyBending(okoume)
    expect(got.inertia).toBeCloseTo(18, 9)
    expect(got.eAlong).toBeCloseTo(6338.96, 2)
    expect(got.eAcross).toBeCloseTo(1956.04, 2)
    expect(got.eiAlong).toBeCloseTo(114_101.28, 2)
    expect(got.eiAcross).toBeCloseTo(35_208.72, 2)
  })

  test('stiffness goes by the cube of the thickness: (9/6)³ = 3.375, (4/6)³ = 0.2963', () => {
    expect(stiffnessRatio(6, 9)).toBe(3.375)
    expect(stiffnessRatio(6, 4)).toBeCloseTo(0.2963, 4)
  })

  test('okoume is 7.9 GPa: 1 145 000 psi (USDA FPL tech sheet, Chudnoff, read) at 6.894757 kPa to the psi is 7.894', () => {
    expect(1_145_000 * 6.894757e-6).toBeCloseTo(7.894, 3)
    expect(plySpecies.okoume.alongGrain / 1000).toBeCloseTo(1_145_000 * 6.894757e-6, 1)
  })
})

describe('mass of a sheet (2.44 × 1.22 m = 2.9768 m²)', () => {
  test.each([
    // mm, kg/m² as published for okoume (read), kg a sheet
    [4, 1.8, 5.358],
    [6, 2.7, 8.037],
    [12, 5.4, 16.075],
  ])('okoume of %i mm: %d kg/m², %d kg', (mm, areal, kg) => {
    expect(plyMass({ species: 'okoume', thicknessMm: mm })).toBeCloseTo(areal, 9)
    expect(sheetMass(2440, 1220, mm, 450)).toBeCloseTo(kg, 3)
  })

  test('9 mm: 450 kg/m³ is 4.05 kg/m² and 12.056 kg; the published list prints 4.1, which is 12.205 kg (trap, read)', () => {
    expect(plyMass({ species: 'okoume', thicknessMm: 9 })).toBeCloseTo(4.05, 9)
    expect(sheetMass(2440, 1220, 9, 450)).toBeCloseTo(12.056, 3)
    expect(4.1 * 2.44 * 1.22).toBeCloseTo(12.205, 3)
    expect(plyMass({ species: 'okoume', thicknessMm: 9 })).not.toBeCloseTo(4.1, 2)
  })
})

describe('glass skins by transformed section (derived)', () => {
  /** 200 g/m² woven at ψ 0.48. */
  const skin: Skin = { arealMass: 200, layers: 1, glassFraction: 0.48 }
  const ei = (inside: Skin | null, outside: Skin | null, direction: 'along' | 'across') => transformedSection(sectionOf(okoume, inside, outside, direction))

  test('a skin is 0.258681 mm of 13 240 N/mm² and 416.67 g/m²', () => {
    expect(skinThickness(skin)).toBeCloseTo(0.258681, 6)
    expect(laminateModulus(skin.glassFraction)).toBeCloseTo(13_240, 6)
    expect(skinMass(skin) * 1000).toBeCloseTo(416.67, 2)
  })

  test('both sides: the skins 67 117.3, in all 181 218.6 = 1.588 times along the grain, 102 326.0 = 2.906 times across', () => {
    const along = ei(skin, skin, 'along')
    expect(along.ei).toBeCloseTo(181_218.6, 1)
    expect(along.ei - 114_101.28).toBeCloseTo(67_117.3, 1)
    expect(along.ei / 114_101.28).toBeCloseTo(1.588, 3)
    const across = ei(skin, skin, 'across')
    expect(across.ei).toBeCloseTo(102_326, 1)
    expect(across.ei / 35_208.72).toBeCloseTo(2.906, 3)
  })

  test('one side: the neutral axis lies 3.32663 mm from the bare face, 144 159.2 = 1.263 times', () => {
    const got = ei(null, skin, 'along')
    expect(got.neutralMm).toBeCloseTo(3.32663, 5)
    expect(got.ei).toBeCloseTo(144_159.2, 1)
    expect(got.ei / 114_101.28).toBeCloseTo(1.263, 3)
  })

  test('the club’s 6 mm okoume is that sheet: five veneers of 1.2 mm', () => {
    const got = panelOf({ ply: { species: 'okoume', thicknessMm: 6 }, outside: skin, inside: skin })
    expect(got.eiAlong).toBeCloseTo(181_218.6, 1)
    expect(got.eiAcross).toBeCloseTo(102_326, 1)
    // 2.7 kg/m² of ply and twice 0.41667 of glass and resin.
    expect(got.kgPerM2).toBeCloseTo(3.53333, 5)
    expect(got.thicknessMm).toBeCloseTo(6 + 2 * 0.258681, 5)
  })
})

describe('modulus of a laminate', () => {
  test.each([[0.3, 6400], [0.48, 13_240], [0.5, 14_000]])('hand-laid, ψ %d: %i N/mm² (ISO 12215-5 Table C.4 a, second-hand)', (psi, e) => expect(laminateModulus(psi)).toBeCloseTo(e, 6))

  test('one direction, ψ 0.55: 25 306.5 N/mm² (the same, second-hand); the lowest level counts 0.8 of it', () => {
    expect(laminateModulus(0.55, { weave: 'one direction' })).toBeCloseTo(25_306.5, 6)
    expect(laminateModulus(0.5, { isLowestLevel: true })).toBeCloseTo(0.8 * 14_000, 6)
  })

  test('rule of mixtures: 70 and 3.0 GPa at 0.60 are 43.2 and 7.05, unrounded 7.04698 (textbook Example 14.5-1, read)', () => {
    expect(alongFibres(70, 3, 0.6)).toBeCloseTo(43.2, 9)
    expect(acrossFibres(70, 3, 0.6)).toBeCloseTo(7.04698, 5)
  })

  test('72.4 and 3.1 GPa at 0.6 are 44.68 in line (read); that page asks for equal stress, which is 7.282 (trap)', () => {
    expect(alongFibres(72.4, 3.1, 0.6)).toBeCloseTo(44.68, 9)
    expect(acrossFibres(72.4, 3.1, 0.6)).toBeCloseTo(7.282, 3)
  })

  test('share by volume: ψ 0.48 is 0.3020, ψ 0.50 is 0.3191 (derived, densities 2.56 and 1.20 implied by ISO 12215-5 Eq. C.1, second-hand)', () => {
    expect(glassVolumeShare(0.48)).toBeCloseTo(0.302, 4)
    expect(glassVolumeShare(0.5)).toBeCloseTo(0.3191, 4)
  })
})

describe('sandwich (ISO 12215-5 D.2.2, second-hand)', () => {
  test('1/10/1 mm is 0.0606667 cm⁴/cm; outer 2, core 12, inner 1 is 0.12225 (derived)', () => {
    // ts = 10 + (1 + 1)/2 = 11: 1·1·121/2 = 60.5, (1 + 1)/12 = 0.16667.
    expect(sandwichInertia(1, 10, 1)).toBeCloseTo(0.0606667, 7)
    // ts = 12 + 3/2 = 13.5: 2·182.25/3 = 121.5, (8 + 1)/12 = 0.75.
    expect(sandwichInertia(2, 12, 1)).toBeCloseTo(0.12225, 7)
  })

  test('is what the transformed section says of two faces on a core of no modulus: another way to the same figure', () => {
    // 1 cm⁴/cm is 1000 mm⁴/mm; with E 1 N/mm² the stiffness is the second moment.
    const section = transformedSection([{ thicknessMm: 1, e: 1 }, { thicknessMm: 12, e: 0 }, { thicknessMm: 2, e: 1 }])
    expect(section.ei / 1000).toBeCloseTo(sandwichInertia(2, 12, 1), 9)
  })
})

describe('a strip under a load in its middle (textbook beam, from memory)', () => {
  test('F·L³/(48·EI·b) resting, a quarter of it clamped', () => {
    const strip = { ei: 114_101.28, spanMm: 400, widthMm: 300, loadN: 784.8 }
    // 784.8 · 400³ / (48 · 114 101.28 · 300) = 5.02272e10 / 1.64305843e9 = 30.5693 mm: thin ply alone gives under one foot.
    expect(stripDeflection({ ...strip, ends: 'supported' })).toBeCloseTo(30.5693, 3)
    expect(stripDeflection({ ...strip, ends: 'clamped' })).toBeCloseTo(30.5693 / 4, 3)
  })
})
