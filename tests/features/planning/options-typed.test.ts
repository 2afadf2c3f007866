import { expect, test } from 'vitest'
import { panelOf, personLoad, stripDeflection } from '../../../src/core/estimate/index.ts'
import type { Boat } from '../../../src/core/estimate/types.ts'
import { costOf, estimatePart, type EstimateSeen } from '../../../src/features/planning/option-sheets/estimate-part.ts'
import { changeOf, structuralIn, type Lever, type SheetOption } from '../../../src/features/planning/option-sheets/model.ts'
import { panelResult } from '../../../src/features/planning/option-sheets/panel.ts'
import { blankDraft, draftOf, presetsFor } from '../../../src/features/planning/option-sheets/presets.ts'
import { withPrices } from '../../../src/features/planning/option-sheets/prices.ts'
import { readOptions, readValue } from '../../../src/features/planning/option-sheets/typed.ts'
import { inTurn } from '../../../src/features/planning/option-sheets/turns.ts'
import { defaultCoefficients } from '../../../src/core/estimate/index.ts'

const lever = (over: Partial<Lever> & { key: string }): Lever => (
  { label: over.key, unit: 'mm', choices: [], min: 3, max: 15, leastIfAny: null, group: 'layers', isStructural: true, now: 6, isGuess: true, ...over })
const ply = lever({ key: 'plyBottom', label: 'Ply of the bottom' })
const cloth = lever({ key: 'clothWeight', label: 'Cloth on the bottom', unit: 'g/m2', min: 0, max: 600, leastIfAny: 40, now: 200 })
const coats = lever({ key: 'bottomCoats', label: 'Epoxy coats', unit: 'count', min: 0, max: 6, now: 3, isStructural: false })
const kit = lever({ key: 'kit', label: 'Panels', unit: 'choice', choices: [{ value: 0, label: 'Sheets' }, { value: 1, label: 'A kit' }], min: 0, max: 1, now: 0, isStructural: false })
const length = lever({ key: 'length', label: 'Length', unit: 'm', min: 2, max: 7, now: 4, isStructural: false })

test('a thickness of 60 mm is out of bounds, and a quarter looks like inches', () => {
  expect(readValue(ply, '6', 'metric')).toBe(6)
  expect(readValue(ply, '6,5', 'metric')).toBe(6.5)
  expect(readValue(ply, '60', 'metric')).toBe('Ply of the bottom: between 3 and 15 mm, not 60')
  // 0.25 × 25.4 = 6.35, sold as 6 mm.
  expect(readValue(ply, '0.25', 'metric')).toBe('Ply of the bottom: 6 mm? 0.25 looks like inches')
  expect(readValue(ply, '-4', 'metric')).toMatch(/between 3 and 15 mm/)
  expect(readValue(ply, 'thick', 'metric')).toBe('Ply of the bottom: “thick” is not a number of millimetres')
  expect(readValue(ply, '', 'metric')).toBe(6)
})

test('a cloth of 6 is taken for ounces a square yard', () => {
  // 6 × 33.906 = 203.4, sold as 200 g/m².
  expect(readValue(cloth, '6', 'metric')).toBe('Cloth on the bottom: 6 looks like oz/yd²: 200 g/m²')
  expect(readValue(cloth, '30', 'metric')).toBe('Cloth on the bottom: 0 for none, or between 40 and 600 g/m², not 30')
  expect(readValue(cloth, '0', 'metric')).toBe(0)
  expect(readValue(cloth, '80', 'metric')).toBe(80)
  expect(readValue(cloth, '601', 'metric')).toBe('Cloth on the bottom: 0 for none, or between 40 and 600 g/m², not 601')
})

test('counts are whole, choices are of the list, and lengths are typed in the club’s unit', () => {
  expect(readValue(coats, '2.5', 'metric')).toBe('Epoxy coats: a whole number, not 2.5')
  expect(readValue(kit, '2', 'metric')).toBe('Panels: choose from the list')
  // 13 ft = 3.9624 m
  expect(readValue(length, '13', 'imperial')).toBe(3.9624)
  // 4 m is shown as 13.123 ft: left as it stands, it stays 4 m.
  expect(readValue(length, '13.123', 'imperial')).toBe(4)
  expect(readValue(length, '60', 'imperial')).toBe('Length: between 6.562 and 22.966 ft, not 60')
})

test('inches and ounces are read where the club measures so, and told where it does not', () => {
  const tape = lever({ key: 'tapeWidth', label: 'Tape', min: 25, max: 300, now: 75 })
  // 1/4 in = 6.35 mm is the 6 mm sheet; 3 in = 76.2 mm the 75 mm tape; 6 oz/yd² = 203.4 g/m² the 200 g cloth.
  expect([readValue(ply, '1/4 in', 'imperial'), readValue(tape, '3', 'imperial'), readValue(cloth, '6 oz', 'imperial')]).toEqual([6, 75, 200])
  expect(readValue(tape, '3', 'metric')).toBe('Tape: between 25 and 300 mm, not 3: is it inches (75 mm)?')
  expect(readValue(cloth, '6 oz', 'metric')).toMatch('is in ounces a square yard, and this club measures in g/m²: that is 203.4 g/m²')
})

const typed = (...rows: [string, string, string][]) => Object.fromEntries(rows.flatMap(([name, mm, g], n) => [[`o${n}.name`, name], [`o${n}.plyBottom`, mm], [`o${n}.clothWeight`, g]]))
const read = (...rows: [string, string, string][]) => readOptions(typed(...rows), [ply, cloth], 'metric')

test('two to four different options are read; empty ones are left out', () => {
  expect(read(['Thin', '4', '80'], ['', '', ''], ['Bare', '', '0'])).toEqual({
    options: [{ name: 'Thin', values: { plyBottom: 4, clothWeight: 80 } }, { name: 'Bare', values: { plyBottom: 6, clothWeight: 0 } }], fields: {}, places: [0, 2],
  })
})

test('one option, an option without a name, two that are the same, and two of one name are refused at their fields', () => {
  expect(read(['Thin', '4', '80']).fields).toEqual({ 'o1.name': 'Name a second option: a sheet compares two to four' })
  expect(read().fields).toEqual({ 'o0.name': 'Name at least two options: a sheet compares two to four' })
  expect(read(['Thin', '4', '80'], ['', '6', '0']).fields).toEqual({ 'o1.name': 'Give this option a name' })
  expect(read(['Thin', '4', '80'], ['Other', '6', '0'], ['Thinner', '4.0', '80']).fields).toEqual({ 'o2.name': '“Thinner” is the same as “Thin”: change a figure, or leave it out' })
  expect(read(['Thin', '4', '80'], ['thin', '6', '0']).fields).toEqual({ 'o1.name': 'Two options are called “thin”: give this one another name' })
  // What can't be read is told first, at its own field.
  expect(Object.keys(read(['Thin', '60', '80'], ['Bare', '6', '6']).fields)).toEqual(['o0.plyBottom', 'o1.clothWeight'])
})

test('presets are filled from the build’s own figures, as she is first', () => {
  const levers = [ply, cloth, coats, kit]
  expect(presetsFor(levers).map((p) => p.key)).toEqual(['ply', 'kit'])
  const of = (plyBottom: number, clothWeight: number, bottomCoats: number) => ({ plyBottom, clothWeight, bottomCoats })
  expect(draftOf('ply', levers).options).toEqual([
    { name: '6 mm with 200 g/m² glass', values: of(6, 200, 3) }, { name: '4 mm with 80 g/m² glass', values: of(4, 80, 3) },
    { name: '6 mm bare', values: of(6, 0, 0) }, { name: '6 mm epoxy-coated', values: of(6, 0, 3) },
  ])
  const asIs = (over: Partial<Lever>, cl: number, n: number) => draftOf('ply', [{ ...ply, ...over }, { ...cloth, now: cl }, { ...coats, now: n }]).options.map((o) => o.name)
  // Bare already: that one is as she is, and there are three.
  expect(asIs({}, 0, 0)).toEqual(['6 mm bare', '4 mm with 80 g/m² glass', '6 mm epoxy-coated'])
  // Nothing thinner than 3 mm is sold: 3 mm with glass beside 4 mm.
  expect(asIs({ now: 3 }, 80, 3)).toEqual(['3 mm with 80 g/m² glass', '4 mm bare', '4 mm epoxy-coated'])
  expect(draftOf('kit', levers).options.map((o) => o.name)).toEqual(['Cut from sheets', 'Kit of cut panels'])
  expect(blankDraft(['plyBottom'], levers)).toEqual({ question: '', vary: ['plyBottom'], options: [{ name: 'As she is', values: { plyBottom: 6 } }] })
})

test('only what differs from how she is now is changed, and the designer is asked about what strength hangs on', () => {
  const levers = [ply, cloth, coats]
  const change = changeOf({ plyBottom: 6, clothWeight: 80, bottomCoats: 2 }, levers)
  expect(change).toEqual({ clothWeight: 80, bottomCoats: 2 })
  expect(structuralIn(change, levers).map((l) => l.key)).toEqual(['clothWeight'])
})

test('typed prices count for what the stores have no price for: grams by the kilogram', () => {
  // 250 g at 12.00 a kilogram are 3.00
  expect(costOf({ low: 200, likely: 250, high: 300 }, { cents: 1200, unit: 'g' })).toEqual({ low: 240, likely: 300, high: 360 })
  const line = (material: string, likely: number, cents: number | null) => ({ material, unit: 'pcs' as const, gross: { low: likely, likely, high: likely }, sheets: null, cents: cents === null ? null : { low: cents, likely: cents, high: cents } })
  const one = { low: 1, likely: 1, high: 1 }
  const seen: EstimateSeen = {
    view: { panels: [], boat: { surfaces: [] }, figures: [], settings: { skill: 'some', coefficients: defaultCoefficients } },
    lines: [line('Okoume plywood 6 mm', 5, 200_00), line('Kit of cut panels', 1, null), line('Silica thickener', 0, null)],
    rest: [{ name: 'Cleats', unit: 'pcs', amount: { low: 2, likely: 2, high: 2 }, cents: null }],
    totals: { cents: { low: 200_00, likely: 200_00, high: 200_00 }, kg: one, epoxyG: one, hours: one, sheets: 5 },
  }
  const priced = estimatePart(seen, { 'Kit of cut panels': { cents: 900_00, unit: 'pcs' } }, [])
  expect(priced.cents.likely).toBe(1_100_00)
  // What nobody needs has no missing price.
  expect(priced.unpriced).toEqual([{ material: 'Cleats', unit: 'pcs', amount: 2 }])
  expect(estimatePart(seen, {}, []).unpriced.map((u) => u.material)).toEqual(['Cleats', 'Kit of cut panels'])
})

test('a price is read for what is asked about and for nothing else; an empty field takes it away', () => {
  const options: SheetOption[] = [{ name: 'A', values: {}, prices: { Cleats: { cents: 100, unit: 'pcs' } } }, { name: 'B', values: {}, prices: {} }]
  const results = { buildVersion: 1, planId: null, now: 0, options: [{ unpriced: [{ material: 'Wood flour', unit: 'g' as const, amount: 10 }] }] } as never
  const { options: priced, fields } = withPrices(options, results, [{ material: 'Wood flour', typed: '12,50' }, { material: 'Cleats', typed: '' }, { material: 'Gold', typed: '3' }])
  expect(fields).toEqual({})
  expect(priced.map((o) => o.prices)).toEqual([{ 'Wood flour': { cents: 1250, unit: 'g' } }, { 'Wood flour': { cents: 1250, unit: 'g' } }])
  expect(withPrices(options, results, [{ material: 'Wood flour', typed: 'dear' }]).fields).toEqual({ 'price.Wood flour': 'Wood flour: “dear” is no sum: write 12.50' })
})

test('the panel is the bottom as it is laid up, as a strip between frames', () => {
  const guess = (value: number) => ({ value, origin: 'guess' as const })
  const panel = { name: 'Bottom panel', count: 2, areaM2: guess(2), lengthMm: guess(4000), widthMm: guess(600), grain: 'along' as const, joint: 'scarf' as const }
  const surface = {
    key: 'bottom', name: 'Bottom', areaM2: guess(4), cloth: { arealMass: 80, layers: 1, trimShare: { low: 0, likely: 0.1, high: 0.2 } },
    fillCoats: 2, sealCoats: 0, topUpCoats: 0, paints: [], fairedShare: 0, sanded: true,
  }
  const boat: Boat = {
    panels: [{ ...panel, key: 'bottom', ply: { species: 'okoume', thicknessMm: 4 } }, { ...panel, key: 'side', name: 'Side panel', ply: { species: 'okoume', thicknessMm: 6 } }],
    surfaces: [surface], seams: [], joints: [], timbers: [], extras: [],
  }
  const asked = { panels: boat.panels, surfaces: boat.surfaces, coefficients: defaultCoefficients, skill: 'some' as const, spanMm: 600 }
  const expected = panelOf({ ply: { species: 'okoume', thicknessMm: 4 }, inside: null, outside: { arealMass: 80, layers: 1, glassFraction: defaultCoefficients.glassFraction.some.likely } })
  const result = panelResult({ ...asked, varied: ['plyBottom', 'plySides'] })
  expect(result?.along).toBe(expected.eiAlong / 1000)
  expect(result?.deflectionMm).toBe(stripDeflection({ ei: expected.eiAlong, spanMm: 600, widthMm: 300, loadN: personLoad(), ends: 'clamped' }))
  expect(panelResult({ ...asked, varied: ['plySides'] })?.name).toBe('Side panel')
  expect(panelResult({ ...asked, panels: [], varied: [] })).toBeNull()
})

test('work is done one after another, also after one that failed', async () => {
  const turn = inTurn()
  const seen: string[] = []
  const wait = (name: string, ms: number) => turn(async () => {
    await new Promise((done) => setTimeout(done, ms))
    seen.push(name)
    if (name === 'a') throw new Error('a failed')
    return name
  })
  const [a, b] = [wait('a', 20), wait('b', 0)]
  await expect(a).rejects.toThrow('a failed')
  expect(await b).toBe('b')
  expect(seen).toEqual(['a', 'b'])
})
