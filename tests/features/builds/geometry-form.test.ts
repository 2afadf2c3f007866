import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { About, Sent } from '../../../src/features/builds/facts/geometry-form.ts'
import { readPanel, type PanelGuess } from '../../../src/features/builds/facts/panel-form.ts'
import { readSeam, type SeamGuess } from '../../../src/features/builds/facts/seam-form.ts'
import { arealFault, panelLengthFault, panelWidthFault, plainFault, radiusFault, tapeWidthFault, thicknessFault } from '../../../src/features/builds/facts/geometry-plausible.ts'
import { asSold, readMeasure, shownIn, type MeasureKind, type Units } from '../../../src/features/builds/facts/measure-text.ts'
import type { PanelMeasured, SeamMeasured } from '../../../src/features/builds/job-lists/geometry.ts'
import { outlineOf } from '../../../src/features/builds/job-lists/outline.ts'

const value = (text: string, kind: MeasureKind, units: Units): number => {
  const read = readMeasure(text, kind, units)
  if (!read.ok) throw new Error(read.refusal)
  return read.value
}
const refusal = (text: string, kind: MeasureKind, units: Units): string => {
  const read = readMeasure(text, kind, units)
  return read.ok ? `read as ${read.value}` : read.refusal
}

describe('measurements as people write them', () => {
  test('a metric club writes its unit or none, a comma or a point', () => {
    expect(value('3,6', 'length', 'metric')).toBe(3.6)
    expect(value('1440', 'small', 'metric')).toBe(1440)
    expect(value('1.44 m', 'small', 'metric')).toBeCloseTo(1440, 9)
    expect(value('144cm', 'small', 'metric')).toBe(1440)
    expect(value('0.85 m2', 'area', 'metric')).toBe(0.85)
    expect(value('120°', 'angle', 'metric')).toBe(120)
  })

  test('feet and inches are refused by a metric club with the reason and what they come to', () => {
    // 5 × 304.8 + 6 × 25.4 = 1676.4 mm
    expect(refusal('5\' 6"', 'small', 'metric')).toBe('“5\' 6"” is in feet and inches, and this club measures in millimetres: that is 1676.4 mm')
    expect(refusal('5’6”', 'length', 'metric')).toContain('that is 1.676 m')
    expect(refusal('6 oz', 'areal', 'metric')).toContain('that is 203.4 g/m²')
    expect(refusal('1,440', 'small', 'metric')).toContain('can be read as 1.44 or as 1440')
    expect(refusal('wide', 'small', 'metric')).toBe('“wide” is not a number of millimetres')
  })

  test('an imperial club writes feet, inches, fractions and the offsets of a plan', () => {
    // The international foot is 0.3048 m, the inch 25.4 mm (1959, exact).
    expect(value('5\' 6 1/2"', 'small', 'imperial')).toBeCloseTo(5 * 304.8 + 6.5 * 25.4, 9)
    expect(value('5 ft 6 in', 'length', 'imperial')).toBeCloseTo(1.6764, 9)
    expect(value('12', 'length', 'imperial')).toBeCloseTo(3.6576, 9)
    expect(value('5 1/2', 'small', 'imperial')).toBeCloseTo(139.7, 9)
    // Feet, inches, eighths: 2-3-4 is 2 ft 3 1/2 in.
    expect(value('2-3-4', 'small', 'imperial')).toBeCloseTo(2 * 304.8 + 3.5 * 25.4, 9)
    expect(value('66"', 'small', 'imperial')).toBeCloseTo(1676.4, 9)
    expect(value('1440 mm', 'small', 'imperial')).toBe(1440)
    expect(value('10 sq ft', 'area', 'imperial')).toBeCloseTo(0.9290304, 9)
  })

  test('what is shown is read back as it was, in both systems', () => {
    for (const units of ['metric', 'imperial'] as const) {
      for (const [kind, si] of [['length', 3.6], ['small', 1440], ['area', 1.912], ['sheet', 6], ['tape', 87], ['areal', 200]] as const) {
        // A field shows hundredths of an inch: a thousandth of the figure or two.
        expect(Math.abs(value(shownIn(si, kind, units), kind, units) / si - 1), `${kind} ${units}`).toBeLessThan(2e-3)
      }
    }
    // Any figure that a field shows is read back as it is shown.
    const kinds = fc.constantFrom<MeasureKind>('length', 'small', 'sheet', 'tape', 'area', 'areal', 'angle')
    fc.assert(fc.property(fc.double({ min: 0.5, max: 5000, noNaN: true }), kinds, fc.constantFrom<Units>('metric', 'imperial'), (si, kind, units) => {
      const shown = shownIn(si, kind, units)
      expect(shownIn(value(shown, kind, units), kind, units)).toBe(shown)
    }))
    // The 75 mm tape is the 3 in tape.
    expect([shownIn(75, 'tape', 'imperial'), asSold(76.2, 'tape', '3', 'imperial'), asSold(76.2, 'tape', '76.2 mm', 'imperial')]).toEqual(['3', 75, 76.2])
    expect([asSold(6.35, 'sheet', '1/4 in', 'imperial'), asSold(6.35, 'sheet', '6.35', 'imperial'), asSold(11, 'sheet', '11', 'metric')]).toEqual([6, 6.35, 11])
  })
})

test('whatever is typed is a finite figure or a refusal with what was typed', () => {
  const typed = fc.oneof(fc.string({ unit: fc.constantFrom(...'0123456789.,-/ \'"½’”ftinmcg²°oz') }), fc.string())
  fc.assert(fc.property(typed, fc.constantFrom<MeasureKind>('length', 'small', 'tape', 'area', 'areal', 'count'), fc.constantFrom<Units>('metric', 'imperial'), (text, kind, units) => {
    const read = readMeasure(text, kind, units)
    if (read.ok) expect(Number.isFinite(read.value)).toBe(true)
    else expect(read.refusal).toContain(text.trim())
  }), { numRuns: 1000 })
})

const PRAM = { lengthM: 3.6, beamM: 1.5 }
describe('what can’t be, or hardly', () => {
  test('inches, feet and metres typed where millimetres are asked', () => {
    // 144 in = 144 × 25.4 = 3657.6 mm.
    expect(panelLengthFault(144, PRAM, 3600, 'metric')).toEqual({ isDoubt: true, text: '144 mm is short for a panel of a 3.6 m boat: is it inches (3657.6 mm)?' })
    expect(panelLengthFault(144, PRAM, null, 'metric')?.text).toContain('is it inches (3657.6 mm)?')
    // 12 ft = 3657.6 mm; 3.6 m = 3600 mm.
    expect(panelLengthFault(12, PRAM, 3600, 'metric')?.text).toContain('is it feet (3657.6 mm)?')
    expect(panelLengthFault(3.6, PRAM, 3600, 'metric')?.text).toContain('is it metres (3600 mm)?')
    expect(panelLengthFault(360, PRAM, 3600, 'metric')?.text).toContain('is it centimetres (3600 mm)?')
    // 1.5 × 3.6 m = 5400 mm.
    expect(panelLengthFault(5400, PRAM, 3600, 'metric')).toBeNull()
    expect(panelLengthFault(5401, PRAM, 3600, 'metric')).toMatchObject({ isDoubt: false, text: '5401 mm is longer than one and a half times the boat (3.6 m)' })
    expect(panelWidthFault(2251, PRAM, 600, 'metric')?.text).toContain('wider than one and a half times her beam')
    // 24 in = 609.6 mm.
    expect(panelWidthFault(24, PRAM, 600, 'metric')?.text).toContain('is it inches (609.6 mm)?')
    expect(panelWidthFault(450, PRAM, 600, 'metric')).toBeNull()
  })

  test('millimetres typed where inches are asked', () => {
    // 3600 typed as inches is 91440 mm.
    expect(panelLengthFault(3600 * 25.4, PRAM, 3600, 'imperial')?.text).toMatch(/^3600 in is longer than one and a half times the boat \(11\.811 ft\): is it millimetres \(141\.73 in\)\?$/)
  })

  test('thickness, radius, cloth and tape in inches and ounces', () => {
    // 0.25 in = 6.35 mm, sold as 6 mm; 0.7 in = 17.78 mm; 6 oz/yd² = 6 × 33.906 = 203 g/m², sold as 200; 3 in = 76.2 mm, sold as 75.
    expect(thicknessFault(0.25, 'metric')?.text).toBe('6 mm? 0.25 looks like inches')
    expect(radiusFault(0.7, 'metric')?.text).toBe('18 mm? 0.7 looks like inches')
    expect(arealFault(6)?.text).toBe('6 looks like oz/yd²: 200 g/m²')
    expect(tapeWidthFault(3, 'metric')?.text).toBe('75 mm? 3 looks like inches')
    for (const fine of [thicknessFault(6, 'metric'), radiusFault(0, 'metric'), radiusFault(18, 'metric'), arealFault(80), tapeWidthFault(75, 'metric')]) expect(fine).toBeNull()
  })

  test('plain measurements: the list’s bounds in the club’s units, and another reading', () => {
    const length = { label: 'Length overall', min: 2, max: 7 }
    expect(plainFault(length, 12, 'length', 4, 'metric')).toEqual({ isDoubt: false, text: 'Length overall: between 2 and 7 m, not 12: is it feet (3.658 m)?' })
    expect(plainFault(length, 12 * 0.3048, 'length', 4, 'imperial')).toBeNull()
    expect(plainFault({ label: 'Cloth', min: 0, max: 600 }, 6, 'areal', 200, 'metric')?.text).toBe('Cloth: 6 looks like oz/yd²: 200 g/m²')
    expect(plainFault({ label: 'Cloth', min: 0, max: 600 }, 0, 'areal', 200, 'metric')).toBeNull()
    expect(plainFault({ label: 'Sides', min: 3, max: 15 }, 0.25, 'sheet', 6, 'metric')?.text).toBe('Sides: 6 mm? 0.25 looks like inches')
    // 1.3 m² typed in a club of metres is 14 ft²; 12 m² is no bottom of a boat that should have about 2.5.
    expect(plainFault({ label: 'Bottom', min: 0.5, max: 15 }, 14, 'area', 1.3, 'metric')).toEqual({ isDoubt: true, text: 'Bottom: 14 m² is far from what is likely (1.3 m²): is it square feet (1.301 m²)?' })
    expect(plainFault({ label: 'Bottom', min: 0.5, max: 15 }, 12, 'area', 2.5, 'metric')?.text).toBe('Bottom: 12 m² is far from what is likely (2.5 m²)')
    expect(plainFault({ label: 'Bottom', min: 0.5, max: 15 }, 5, 'area', 2.5, 'metric')).toBeNull()
    expect(plainFault({ label: 'Coats', min: 1, max: 5 }, 2.5, 'count', 2, 'metric')?.text).toBe('Coats: a whole number, not 2.5')
  })
})

const GUESS: PanelGuess = { count: 2, areaM2: 1.8, lengthMm: 3700, widthMm: 600, thicknessMm: 6, grain: 'along', joint: 'scarf' }
const panel = (sent: Sent, over: Partial<About<PanelGuess, PanelMeasured>> = {}, isOwn = false) => readPanel(sent, { units: 'metric', size: PRAM, guess: GUESS, stored: undefined, ...over }, isOwn)
const STANDS = { count: '2', thickness: '6', grain: 'along', joint: 'scarf', how: 'area', area: '1.8', long: '3700', wide: '600' }
const stations = (pairs: readonly (readonly [string, string])[]): Sent => Object.fromEntries(pairs.flatMap(([at, w], i) => [[`at.${i}`, at], [`w.${i}`, w]]))

describe('a panel’s form', () => {
  test('what stands as the list guesses it stays a guess; what was measured stays to the last digit', () => {
    expect(panel(STANDS)).toEqual({ value: {}, fields: {}, isDoubt: false })
    const stored: PanelMeasured = { outline: { how: 'area', areaM2: 1.83456, lengthMm: 3612.345, widthMm: 601 }, thicknessMm: 4 }
    // Shown as 1.835, 3612.35 and 601.
    const again = panel({ ...STANDS, thickness: '4', area: '1.835', long: '3612.35', wide: '601' }, { stored })
    expect(again.value).toEqual(stored)
  })

  test('widths at stations: blank rows are passed over, and the area is the integral', () => {
    const read = panel({ ...STANDS, how: 'widths', ...stations([['0', '0'], ['', ''], ['1800', '600'], ['3600', '0']]) })
    expect(read.fields).toEqual({})
    // A parabola through 0, 600, 0: two thirds of its box: 2/3 × 3.6 × 0.6 = 1.44 m².
    expect(outlineOf(read.value.outline!)!).toMatchObject({ lengthMm: 3600, widthMm: 600 })
    expect(outlineOf(read.value.outline!)!.areaM2).toBeCloseTo(1.44, 9)
    const half = panel({ ...STANDS, how: 'half-breadths', ...stations([['0', '0'], ['1800', '300'], ['3600', '0']]) })
    expect(outlineOf(half.value.outline!)).toEqual(outlineOf(read.value.outline!))
  })

  test('each fault of the stations stands at its field', () => {
    const faults = (pairs: readonly (readonly [string, string])[]) => panel({ ...STANDS, how: 'widths', ...stations(pairs) }).fields
    expect(faults([['0', '100'], ['1200', '500'], ['900', '400']])).toEqual({ 'at.2': 'Position 3: 900 is not beyond 1200 before it; write them from one end to the other' })
    expect(faults([['0', '100'], ['1200', '-5']])).toEqual({ 'w.1': 'Width 2: can’t be negative' })
    expect(faults([['0', '100'], ['1200', '']])['w.1']).toContain('fill this in')
    expect(faults([['0', '100']])['at.1']).toContain('At least two stations')
    expect(faults([['0', '0'], ['72', '24'], ['144', '0']])['at.2']).toContain('144 mm is short for a panel of a 3.6 m boat: is it inches (3657.6 mm)?')
    expect(faults([['0', '0'], ['1800', '24'], ['3600', '0']])['w.1']).toContain('24 mm is narrow for a panel of a 3.6 m boat: is it inches (609.6 mm)?')
  })

  test('half-breadths of both halves together are asked about where the list has two halves', () => {
    const halves = { ...STANDS, how: 'half-breadths', ...stations([['0', '0'], ['1800', '600'], ['3600', '200']]) }
    // Through 0, 600, 200: Simpson by hand, 3600 ÷ 6 × (0 + 4 × 600 + 200) × 2 = 3.12 m², and the list has two of 1.8 m².
    expect(panel(halves).fields['w.1']).toContain('the list has 2 of these, each about half as large')
    expect(panel({ ...halves, sure: 'yes' }).fields).toEqual({})
    expect(panel(halves, { guess: { ...GUESS, count: 1, areaM2: 3.2 } }).fields).toEqual({})
  })

  test('a negative area, an area beyond its rectangle, a missing figure', () => {
    expect(panel({ ...STANDS, area: '-1.8' }).fields['area']).toBe('Area: An area can’t be negative: -1.8 m²')
    // 3.7 × 0.6 = 2.22 m²; 20 ft² = 1.858 m².
    expect(panel({ ...STANDS, area: '20' }).fields['area']).toBe('Area: 20 m² is more than its length times its width (2.22 m²): is it square feet (1.858 m²)?')
    expect(panel({ ...STANDS, long: '' , area: '1.7' }).fields['long']).toContain('Length: fill this in')
    expect(panel({ ...STANDS, area: '', long: '', wide: '' }).value).toEqual({})
  })

  test('an unlikely figure passes when the person insists, an impossible one does not', () => {
    const small = { ...STANDS, name: 'Breasthook', count: '2', area: '0.012', long: '120', wide: '150' }
    const own = panel(small, { guess: null }, true)
    expect(own.isDoubt).toBe(true)
    expect(own.fields['long']).toContain('120 mm is short')
    expect(panel({ ...small, sure: 'yes' }, { guess: null }, true).fields).toEqual({})
    const both = panel({ ...small, area: '-1', sure: 'yes' }, { guess: null }, true)
    expect(both.isDoubt).toBe(false)
    expect(Object.keys(both.fields)).toEqual(['area'])
  })

  test('a panel of one’s own has a name and all its figures', () => {
    const none = panel({ how: 'area', area: '', long: '', wide: '', count: '', thickness: '' }, { guess: null }, true)
    expect(Object.keys(none.fields).sort()).toEqual(['area', 'count', 'long', 'name', 'wide'])
  })
})

const SEAM: SeamGuess = { lengthM: 3.6, anglesDeg: [150], radiusMm: 18, tapes: [{ side: 'inside', widthMm: 75, arealMass: 200, layers: 1, overlapMm: 50 }] }
const seam = (sent: Sent, over: Partial<About<SeamGuess, SeamMeasured>> = {}, isOwn = false) => readSeam({ ...SEAM_STANDS, ...sent }, { units: 'metric', size: PRAM, guess: SEAM, stored: undefined, ...over }, isOwn)
const SEAM_STANDS = { length: '3.6', radius: '18', 'angle.0': '150', 'side.0': 'inside', 'tape.0': '75', 'mass.0': '200', 'layers.0': '1', 'overlap.0': '50' }

describe('a seam’s form', () => {
  test('what stands stays a guess, and each part is measured by itself', () => {
    expect(seam({}).value).toEqual({})
    expect(seam({ 'angle.0': '168', 'angle.1': '140', 'angle.2': '120' }).value).toEqual({ anglesDeg: [168, 140, 120] })
    expect(seam({ 'tape.0': '', 'mass.0': '', 'layers.0': '', 'overlap.0': '' }).value).toEqual({ tapes: [] })
    // Typed as the list has them again, tapes follow the list.
    expect(seam({}, { stored: { tapes: [] } }).value).toEqual({})
    expect(seam({ 'tape.0': '100' }).value).toEqual({ tapes: [{ ...SEAM.tapes[0], widthMm: 100 }] })
  })

  test('an angle of 200°, a gap in the course, a radius in inches, a length in feet', () => {
    expect(seam({ 'angle.0': '200' }).fields).toEqual({ 'angle.0': 'Angle 1: 200° can’t be: between 1° and 180°: the inside angle between the two panels' })
    expect(seam({ 'angle.0': '0' }).fields['angle.0']).toContain('between 1° and 180°')
    expect(seam({ 'angle.0': '168', 'angle.2': '120' }).fields['angle.1']).toContain('without gaps')
    expect(seam({ 'angle.0': '2.6' }).fields['angle.0']).toContain('is it radians (149°)?')
    expect(seam({ radius: '0.7' }).fields).toEqual({ radius: 'Radius: 18 mm? 0.7 looks like inches' })
    // 12 ft = 3.658 m.
    expect(seam({ length: '12' })).toMatchObject({ isDoubt: true, fields: { length: 'Length: 12 m is long for this seam: is it feet (3.658 m)?' } })
    expect(seam({ length: '3600' }).fields['length']).toContain('is it millimetres (3.6 m)?')
    expect(seam({ length: '-1' }).fields['length']).toContain('above 0')
  })

  test('a tape half filled in, in ounces, with half a layer', () => {
    expect(seam({ 'mass.0': '6' }).fields).toEqual({ 'mass.0': 'Tape 1, g/m²: 6 looks like oz/yd²: 200 g/m²' })
    expect(seam({ 'layers.0': '1.5' }).fields['layers.0']).toContain('a whole number from 1 to 8')
    expect(seam({ 'tape.1': '50' }).fields).toMatchObject({ 'mass.1': expect.stringContaining('or empty the whole row'), 'layers.1': expect.any(String) })
  })

  test('an imperial club types inches and ounces and gets what is sold by them', () => {
    const read = seam({ length: '12', radius: '3/4', 'tape.0': '3', 'mass.0': '6 oz', 'overlap.0': '2' }, { units: 'imperial' })
    expect(read.fields).toEqual({})
    // 12 ft = 3.6576 m; 3/4 in = 19.05 mm; 3 in = 76.2 mm is sold as 75; 6 oz/yd² is sold as 200 g/m²; 2 in = 50.8 mm.
    expect(read.value.lengthM).toBeCloseTo(3.6576, 9)
    expect(read.value.radiusMm).toBe(19.05)
    expect(read.value.tapes).toEqual([{ side: 'inside', widthMm: 75, arealMass: 200, layers: 1, overlapMm: 50.8 }])
  })
})
