import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  clothOnRoll, layUpOf, panelOf, personLoad, plyBending, plySpecies, sandwichInertia, sheetBound, splitPanel, splitRules, stripDeflection, transformedSection,
  type Skin,
} from '../../../src/core/estimate/panels.ts'
import type { PlySpecies } from '../../../src/core/estimate/types.ts'

const species = fc.constantFrom<PlySpecies>('okoume', 'sapele', 'birch', 'fir')
const thickness = fc.integer({ min: 3, max: 25 })
const skinOf = fc.record({ arealMass: fc.integer({ min: 80, max: 600 }), layers: fc.integer({ min: 1, max: 3 }), glassFraction: fc.integer({ min: 30, max: 60 }).map((n) => n / 100) })
const BARE = { outside: null, inside: null }

describe('plywood', () => {
  test('has an odd number of veneers that add up to its thickness, face grain on both faces', () => {
    fc.assert(fc.property(species, thickness, (s, mm) => {
      const { veneers } = layUpOf({ species: s, thicknessMm: mm })
      expect(veneers.length % 2).toBe(1)
      expect(veneers.length).toBeGreaterThanOrEqual(3)
      expect(veneers[0]!.isAlong && veneers.at(-1)!.isAlong).toBe(true)
      expect(veneers.reduce((sum, v) => sum + v.thicknessMm, 0)).toBeCloseTo(mm, 9)
    }))
  })

  test('is between its wood along and across the grain, and both ways together are the two woods together', () => {
    fc.assert(fc.property(species, thickness, (s, mm) => {
      const { eAlong, eAcross } = plyBending(layUpOf({ species: s, thicknessMm: mm }))
      const { alongGrain, acrossGrain } = plySpecies[s]
      expect(eAlong).toBeLessThan(alongGrain)
      expect(eAcross).toBeGreaterThan(acrossGrain)
      // Each veneer counts once with either modulus: ΣIi/I = 1.
      expect(eAlong + eAcross).toBeCloseTo(alongGrain + acrossGrain, 6)
    }))
  })

  test('is refused without thickness', () => {
    expect(() => layUpOf({ species: 'okoume', thicknessMm: 0 })).toThrow(RangeError)
    expect(() => layUpOf({ species: 'okoume', thicknessMm: Number.NaN })).toThrow(RangeError)
    expect(() => plyBending({ veneers: [], alongGrain: 7900, acrossGrain: 395 })).toThrow(RangeError)
  })
})

describe('panels', () => {
  test('thicker of the same number of veneers is stiffer and heavier both ways', () => {
    fc.assert(fc.property(species, thickness, fc.integer({ min: 101, max: 200 }), (s, mm, percent) => {
      const layUp = layUpOf({ species: s, thicknessMm: mm })
      const thicker = { ...layUp, veneers: layUp.veneers.map((v) => ({ ...v, thicknessMm: (v.thicknessMm * percent) / 100 })) }
      const a = panelOf({ ply: { species: s, thicknessMm: mm }, ...BARE, layUp })
      const b = panelOf({ ply: { species: s, thicknessMm: (mm * percent) / 100 }, ...BARE, layUp: thicker })
      // The cube law, arrived at veneer by veneer.
      expect(b.eiAlong / a.eiAlong).toBeCloseTo((percent / 100) ** 3, 6)
      expect(b.eiAcross / a.eiAcross).toBeCloseTo((percent / 100) ** 3, 6)
      expect(b.kgPerM2).toBeGreaterThan(a.kgPerM2)
    }))
  })

  test('the usual sheets get stiffer along and across with every thickness', () => {
    for (const s of ['okoume', 'sapele', 'birch', 'fir'] as const) {
      const figures = [3, 4, 5, 6, 8, 9, 10, 12, 15, 18].map((thicknessMm) => panelOf({ ply: { species: s, thicknessMm }, ...BARE }))
      for (let i = 1; i < figures.length; i++) {
        expect(figures[i]!.eiAlong, `${s} ${i}`).toBeGreaterThan(figures[i - 1]!.eiAlong)
        expect(figures[i]!.eiAcross, `${s} ${i}`).toBeGreaterThan(figures[i - 1]!.eiAcross)
      }
    }
  })

  test('a skin never makes it softer or lighter, a second layer even less so', () => {
    fc.assert(fc.property(species, thickness, skinOf, fc.boolean(), (s, mm, skin, isInside) => {
      const ply = { species: s, thicknessMm: mm }
      const on = (layers: number) => panelOf({ ply, outside: isInside ? null : { ...skin, layers }, inside: isInside ? { ...skin, layers } : null })
      const [bare, one, two] = [panelOf({ ply, ...BARE }), on(1), on(2)]
      for (const key of ['eiAlong', 'eiAcross', 'kgPerM2', 'thicknessMm'] as const) {
        expect(one[key]).toBeGreaterThan(bare[key])
        expect(two[key]).toBeGreaterThan(one[key])
      }
    }))
  })

  test('no cloth or no layer is bare ply, to the digit', () => {
    fc.assert(fc.property(species, thickness, skinOf, (s, mm, skin) => {
      const ply = { species: s, thicknessMm: mm }
      const bare = panelOf({ ply, ...BARE })
      expect(panelOf({ ply, outside: { ...skin, layers: 0 }, inside: { ...skin, arealMass: 0 } })).toEqual(bare)
      // By transformed section and by the mid-plane: two ways to one figure for a sheet that is the same from both faces.
      expect(bare.eiAlong).toBeCloseTo(plyBending(layUpOf(ply)).eiAlong, 4)
      expect(bare.eiAcross).toBeCloseTo(plyBending(layUpOf(ply)).eiAcross, 4)
    }))
  })

  test('turned inside out it is the same panel', () => {
    fc.assert(fc.property(species, thickness, skinOf, skinOf, (s, mm, a, b) => {
      const ply = { species: s, thicknessMm: mm }
      const [one, other] = [panelOf({ ply, outside: a, inside: b }), panelOf({ ply, outside: b, inside: a })]
      for (const key of ['eiAlong', 'eiAcross', 'kgPerM2', 'thicknessMm'] as const) expect(one[key] / other[key]).toBeCloseTo(1, 12)
    }))
  })

  test('the neutral axis of a section like from both faces is its middle, and goes towards a skin', () => {
    const wood = { thicknessMm: 6, e: 8000 }
    const skin = { thicknessMm: 0.3, e: 13_000 }
    expect(transformedSection([skin, wood, skin]).neutralMm).toBeCloseTo(3.3, 12)
    expect(transformedSection([wood, skin]).neutralMm).toBeGreaterThan(3)
    expect(transformedSection([skin, wood]).neutralMm).toBeLessThan(3.3)
  })

  test.each([1, 0, 0.1, 0.9, -0.3, Number.NaN])('a glass fraction of %d is refused', (glassFraction) => {
    const skin: Skin = { arealMass: 200, layers: 1, glassFraction }
    expect(() => panelOf({ ply: { species: 'okoume', thicknessMm: 6 }, outside: skin, inside: null })).toThrow(RangeError)
  })
})

describe('a strip between frames', () => {
  const strip = { ei: 100_000, spanMm: 400, widthMm: 300, loadN: personLoad(), ends: 'supported' as const }
  test('gives as the cube of its span, less where it is stiffer, wider or clamped, not at all without a load', () => {
    expect(stripDeflection({ ...strip, spanMm: 800 }) / stripDeflection(strip)).toBeCloseTo(8, 9)
    expect(stripDeflection({ ...strip, ei: 200_000 })).toBeLessThan(stripDeflection(strip))
    expect(stripDeflection({ ...strip, widthMm: 301 })).toBeLessThan(stripDeflection(strip))
    expect(stripDeflection(strip) / stripDeflection({ ...strip, ends: 'clamped' })).toBeCloseTo(4, 9)
    expect(stripDeflection({ ...strip, loadN: 0 })).toBe(0)
    // 80 kg × 9.81 m/s².
    expect(personLoad(80)).toBeCloseTo(784.8, 9)
  })

  test('is refused without stiffness, span or width', () => {
    for (const over of [{ ei: 0 }, { spanMm: 0 }, { widthMm: -1 }, { loadN: -1 }, { spanMm: Number.NaN }]) expect(() => stripDeflection({ ...strip, ...over })).toThrow(RangeError)
  })

  test('a sandwich is stiffer with a thicker core, the same inside out, and refused without a face', () => {
    expect(sandwichInertia(1, 12, 1)).toBeGreaterThan(sandwichInertia(1, 10, 1))
    expect(sandwichInertia(2, 10, 1)).toBeCloseTo(sandwichInertia(1, 10, 2), 12)
    expect(() => sandwichInertia(0, 10, 1)).toThrow(RangeError)
  })
})

const SHEET = { along: 2440, across: 1220 }
const panel = { lengthMm: 3600, widthMm: 500, thicknessMm: 6, joint: 'scarf' as const }

describe('a panel longer than the sheet', () => {
  test('takes a scarf of eight times its thickness: 3600 mm of 6 mm are 2440 and 1208', () => {
    // 48 mm lie over each other: 2440 + 1208 − 48 = 3600.
    const got = splitPanel(panel, SHEET)
    expect(got.pieces.map((p) => p.lengthMm)).toEqual([2440, 1208])
    expect(got).toMatchObject({ columns: 2, rows: 1, allowanceMm: 48, straps: [] })
  })

  test('butted, its pieces only make up its length, and a strap of twenty times the thickness is cut besides', () => {
    const got = splitPanel({ ...panel, joint: 'butt' }, SHEET)
    expect(got.pieces.map((p) => p.lengthMm)).toEqual([2440, 1160])
    expect(got.straps).toEqual([{ lengthMm: 120, widthMm: 500 }])
  })

  test('what would be left over as a sliver is shared by the last two', () => {
    // 2500 + 48 = 2548 in two: 1274 each, not 2440 and 108.
    expect(splitPanel({ ...panel, lengthMm: 2500 }, SHEET).pieces.map((p) => p.lengthMm)).toEqual([1274, 1274])
  })

  test('can be cut in equal pieces', () => {
    expect(splitPanel(panel, SHEET, { ...splitRules, cut: 'equal' }).pieces.map((p) => p.lengthMm)).toEqual([1824, 1824])
  })

  test('wider than the sheet is split lengthwise too', () => {
    // 1500 + 48 = 1548 across: 1220 and 328 is no room for 300 clear of the joint, so 774 each.
    const got = splitPanel({ ...panel, widthMm: 1500 }, SHEET)
    expect(got).toMatchObject({ columns: 2, rows: 2 })
    expect(got.pieces.map((p) => [p.column, p.row, p.lengthMm, p.widthMm])).toEqual([[1, 1, 2440, 774], [2, 1, 1208, 774], [1, 2, 2440, 774], [2, 2, 1208, 774]])
  })

  test('fits the sheet in every piece and makes up its whole size, whatever the size', () => {
    const size = fc.integer({ min: 50, max: 12_000 })
    fc.assert(fc.property(size, size, thickness, fc.constantFrom('scarf', 'butt'), fc.constantFrom('full', 'equal'), (lengthMm, widthMm, thicknessMm, joint, cut) => {
      const { pieces, straps, columns, rows, allowanceMm } = splitPanel({ lengthMm, widthMm, thicknessMm, joint }, SHEET, { ...splitRules, cut })
      expect(pieces.length).toBe(columns * rows)
      for (const p of [...pieces, ...straps]) {
        expect(p.lengthMm).toBeLessThanOrEqual(SHEET.along + 1e-6)
        expect(p.widthMm).toBeLessThanOrEqual(SHEET.across + 1e-6)
      }
      const overlap = joint === 'scarf' ? allowanceMm : 0
      const run = pieces.filter((p) => p.row === 1).reduce((sum, p) => sum + p.lengthMm, 0) - (columns - 1) * overlap
      const breadth = pieces.filter((p) => p.column === 1).reduce((sum, p) => sum + p.widthMm, 0) - (rows - 1) * overlap
      expect(run).toBeCloseTo(lengthMm, 6)
      expect(breadth).toBeCloseTo(widthMm, 6)
      expect(straps.length).toBe(joint === 'scarf' ? 0 : (columns - 1) * rows + columns * (rows - 1))
    }))
  })

  test('is refused without a size, or on a sheet no longer than its joint', () => {
    expect(() => splitPanel({ ...panel, lengthMm: 0 }, SHEET)).toThrow(RangeError)
    expect(() => splitPanel({ ...panel, widthMm: Number.NaN }, SHEET)).toThrow(RangeError)
    expect(() => splitPanel(panel, { along: 40, across: 1220 })).toThrow(RangeError)
  })
})

describe('the fewest sheets there can be', () => {
  const sheet = { lengthMm: 2440, widthMm: 1220 }
  const part = (lengthMm: number, widthMm: number, mayTurn = false) => ({ lengthMm, widthMm, mayTurn })

  test('by area: four quarters are one sheet, five are two', () => {
    const quarters = (n: number) => Array.from({ length: n }, () => part(1220, 610))
    expect(sheetBound(quarters(4), sheet)).toEqual({ area: 1, sheets: 1, strong: 1 })
    expect(sheetBound(quarters(5), sheet)).toEqual({ area: 1.25, sheets: 2, strong: 2 })
  })

  test('what is longer and wider than half can’t share a sheet: three of 0.6 × 0.6 are three sheets, by area two', () => {
    // 3 × 0.36 = 1.08.
    expect(sheetBound([part(1464, 732), part(1464, 732), part(1464, 732)], sheet)).toMatchObject({ sheets: 2, strong: 3 })
  })

  test('what may be turned counts the way that takes less', () => {
    // 1200 × 700: two lie end to end and none beside them; turned, three of 700 × 1200 stand side by side. By area 3 × 0.282 = 0.85.
    const three = (mayTurn: boolean) => sheetBound(Array.from({ length: 3 }, () => part(1200, 700, mayTurn)), sheet).strong
    expect([three(false), three(true)]).toEqual([2, 1])
  })

  test('is no part, no sheet; a part that is on no sheet is refused', () => {
    expect(sheetBound([], sheet)).toEqual({ area: 0, sheets: 0, strong: 0 })
    expect(() => sheetBound([part(1300, 1300)], sheet)).toThrow(RangeError)
    expect(() => sheetBound([part(1000, 2000)], sheet)).toThrow(RangeError)
    expect(sheetBound([part(1000, 2000, true)], sheet).sheets).toBe(1)
  })

  test('is never above a layout that is known: sheets sawn apart at random', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 5 }), fc.array(fc.tuple(fc.nat(), fc.boolean(), fc.integer({ min: 10, max: 90 })), { maxLength: 30 }), (count, cuts) => {
      const parts = Array.from({ length: count }, () => [2440, 1220] as [number, number])
      for (const [which, isAlong, percent] of cuts) {
        const at = which % parts.length
        const [l, w] = parts[at]!
        const [a, b] = isAlong ? [[(l * percent) / 100, w], [l - (l * percent) / 100, w]] : [[l, (w * percent) / 100], [l, w - (w * percent) / 100]]
        parts.splice(at, 1, a as [number, number], b as [number, number])
      }
      const bound = sheetBound(parts.map(([l, w]) => part(l, w)), sheet)
      expect(bound.area).toBeCloseTo(count, 9)
      expect(bound).toMatchObject({ sheets: count, strong: count })
    }))
  })
})

describe('cloth off the roll', () => {
  const roll = { widthMm: 1270, lapMm: 50, endMm: 50 }

  test('a face narrower than the roll is one length with its two ends', () => {
    expect(clothOnRoll({ lengthMm: 3600, girthMm: 1200 }, roll).best).toMatchObject({ direction: 'along', strips: 1, lengthMm: 3700, totalMm: 3700, lapMm: 0 })
  })

  test('a bottom of 3600 × 1500 mm is two lengths along, or three across, whichever takes less', () => {
    // Along: 2 × 3700 = 7400. Across: (3600 − 50) / 1220 = 2.9, so 3 × 1600 = 4800.
    const { best, other } = clothOnRoll({ lengthMm: 3600, girthMm: 1500 }, roll)
    expect(best).toMatchObject({ direction: 'across', strips: 3, lengthMm: 1600, totalMm: 4800 })
    expect(other).toMatchObject({ direction: 'along', strips: 2, lengthMm: 3700, totalMm: 7400 })
    // 4.8 m off a roll of 1.27 m.
    expect(best.areaM2).toBeCloseTo(6.096, 9)
    // Spread evenly three strips of 1270 lie (3810 − 3600) / 2 = 105 mm over each other.
    expect(best.lapMm).toBeCloseTo(105, 9)
  })

  test('covers the face, with at least the lap, and never less cloth than it has area', () => {
    const size = fc.integer({ min: 100, max: 8000 })
    fc.assert(fc.property(size, size, fc.integer({ min: 600, max: 1600 }), fc.integer({ min: 0, max: 200 }), (lengthMm, girthMm, widthMm, lapMm) => {
      for (const c of Object.values(clothOnRoll({ lengthMm, girthMm }, { widthMm, lapMm, endMm: 50 }))) {
        const breadth = c.direction === 'along' ? girthMm : lengthMm
        expect(c.strips * widthMm - (c.strips - 1) * lapMm).toBeGreaterThanOrEqual(breadth - 1e-6)
        expect((c.strips - 1) * widthMm - (c.strips - 2) * lapMm).toBeLessThan(breadth + (c.strips === 1 ? widthMm + lapMm : 0))
        expect(c.strips === 1 || c.lapMm >= lapMm - 1e-6).toBe(true)
        expect(c.areaM2).toBeGreaterThanOrEqual((lengthMm * girthMm) / 1e6)
      }
    }))
  })

  test('is refused where the lap is as wide as the roll', () => {
    expect(() => clothOnRoll({ lengthMm: 1000, girthMm: 1000 }, { ...roll, lapMm: 1270 })).toThrow(RangeError)
    expect(() => clothOnRoll({ lengthMm: 0, girthMm: 1000 }, roll)).toThrow(RangeError)
  })
})
