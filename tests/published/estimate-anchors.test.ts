/**
 * Whole boats against what the trade says they took. The 4 m dinghy's kg are derived in the trade's figures (7.5 m² outside, 7.5 m² inside,
 * 9 m² of parts, three coats everywhere; a beginner takes twice the resin, plan seller's forum, read). Pram and masses per m²: magazine
 * article "Estimating Epoxy Amounts" (read), whose hands are skilled (half glass, half resin) and whose waste is about 15 %.
 * Thin cloth on a bottom: common practice, no source.
 */
import { describe, expect, test } from 'vitest'
import { estimate } from '../../src/core/estimate/index.ts'
import type { Line, Skill, Spread } from '../../src/core/estimate/types.ts'
import { bare, cloth, dinghy, massAdded, mixedEpoxy, panel, settingsFor, surface, total } from '../core/estimate/boats.ts'

const SKILLS: readonly Skill[] = ['first', 'some', 'practised']

describe('a 4 m dinghy with three coats everywhere, kg of mixed epoxy', () => {
  test.each([
    ['seams only, lean', {}, 'practised', 14],
    ['200 g/m² outside', { outside: 200 }, 'some', 17],
    ['200 g/m² outside, a novice', { outside: 200 }, 'first', 23],
    ['200 g/m² outside and inside, a novice', { outside: 200, inside: 200 }, 'first', 26],
  ] as const)('%s: the range holds the figure and the likely one is within a quarter of it', (_name, glass, skill, kg) => {
    const { low, likely, high } = mixedEpoxy(estimate(dinghy(glass), settingsFor(skill)))
    expect(low).toBeLessThan(kg)
    expect(high).toBeGreaterThan(kg)
    expect(Math.abs(likely / kg - 1)).toBeLessThan(0.25)
  })

  test('more glass and less practice take more', () => {
    const likely = (glass: Parameters<typeof dinghy>[0], skill: Skill): number => mixedEpoxy(estimate(dinghy(glass), settingsFor(skill))).likely
    expect(likely({}, 'practised')).toBeLessThan(likely({ outside: 200 }, 'practised'))
    expect(likely({ outside: 200 }, 'practised')).toBeLessThan(likely({ outside: 200 }, 'first'))
    expect(likely({ outside: 200 }, 'first')).toBeLessThan(likely({ outside: 200, inside: 200 }, 'first'))
  })
})

test('the 2.3 m pram, 5.2 m² in two layers of 6 oz and 5.7 m² in one, took 1.76 gal = 7.7 kg', () => {
  // 6 oz/yd² = 203.4 g/m².
  const faces = [surface('outside', 5.2, { cloth: cloth(203.4, 2), fillCoats: 3 }), surface('inside', 5.7, { cloth: cloth(203.4), fillCoats: 3 })]
  const pram = { ...bare, surfaces: faces }
  const { low, likely, high } = mixedEpoxy(estimate(pram, settingsFor('practised')))
  expect(low).toBeLessThan(7.7)
  expect(high).toBeGreaterThan(7.7)
  expect(Math.abs(likely / 7.7 - 1)).toBeLessThan(0.25)
})

test.each([[136, 0.51], [200, 0.59], [300, 0.7], [400, 0.82]])('a square metre of %d g/m² with three fill coats takes %d kg', (glass, kg) => {
  const lines = estimate({ ...bare, surfaces: [surface('face', 1, { cloth: cloth(glass), fillCoats: 3 })] }, settingsFor('practised'))
  const { low, likely, high } = mixedEpoxy(lines)
  expect(low).toBeLessThan(kg)
  expect(high).toBeGreaterThan(kg)
  expect(Math.abs(likely / kg - 1)).toBeLessThan(0.25)
})

describe('a bottom of 4 to 7 m² in 80 g/m² cloth, filled until the weave is gone (common practice, no source)', () => {
  const bottom = (area: number, skill: Skill) =>
    estimate({ ...bare, surfaces: [surface('bottom', area, { cloth: cloth(80), fillCoats: 2 })] }, settingsFor(skill))

  const cases = SKILLS.flatMap((skill) => [4, 5.5, 7].map((area) => [area, skill] as const))
  test.each(cases)('%d m², %s: about 1.5 kg of mixed epoxy lie in the range', (area, skill) => {
    const { low, high } = mixedEpoxy(bottom(area, skill))
    expect(low).toBeLessThan(1.5)
    expect(high).toBeGreaterThan(1.5)
  })

  test.each(SKILLS)('5.5 m², %s: about 2 kg added lie in the range', (skill) => {
    const { low, high } = massAdded(bottom(5.5, skill))
    expect(low).toBeLessThan(2)
    expect(high).toBeGreaterThan(2)
  })
})

/**
 * Common practice, no source: glassing a thinner ply cost two to three times the price of the next thickness and saved about half a kilo. Read as:
 * what the glass takes of materials, against what the next thickness costs more; and its mass against the glass's. A bottom of 5.5 m², 3 mm okoume
 * under 80 g/m², beside 4 mm bare. Prices are invented, of one shop: a sheet of 3 mm 52, of 4 mm 64, a kilogram of mixed epoxy 25, a square metre
 * of the cloth 5.
 */
describe('3 mm ply under thin glass beside 4 mm bare (common practice, no source; prices invented)', () => {
  const PRICE = { thinner: 52, thicker: 64, epoxyKg: 25, clothM2: 5 }
  const bottomOf = (thicknessMm: number, skill: Skill, glass: boolean) => estimate({
    ...bare,
    panels: [panel('bottom', 2.75, 3600, 800, { count: 2, ply: { species: 'okoume', thicknessMm } })],
    surfaces: glass ? [surface('bottom', 5.5, { cloth: cloth(80), fillCoats: 2 })] : [],
  }, settingsFor(skill))
  const gross = (lines: readonly Line[], of: (l: Line) => boolean): Spread => {
    const { net, waste } = { net: total(lines.filter(of), (l) => l.net), waste: total(lines.filter(of), (l) => l.waste) }
    return { low: net.low + waste.low, likely: net.likely + waste.likely, high: net.high + waste.high }
  }
  const isGlass = (l: Line): boolean => l.part === 'bottom'

  test.each(SKILLS)('%s: its materials cost two to three times the step to the next thickness', (skill) => {
    const lines = bottomOf(3, skill, true)
    const [epoxy, clothM2] = [gross(lines, (l) => isGlass(l) && l.unit === 'g'), gross(lines, (l) => l.rule === 'cloth')]
    const sheets = gross(lines, (l) => l.rule === 'ply')
    const glass = (end: keyof Spread): number => (epoxy[end] / 1000) * PRICE.epoxyKg + clothM2[end] * PRICE.clothM2
    const step = (end: keyof Spread): number => sheets[end] * (PRICE.thicker - PRICE.thinner)
    expect(glass('low') / step('high')).toBeLessThan(2)
    expect(glass('high') / step('low')).toBeGreaterThan(3)
    // Not just a wide range: the likely figure is within a half of two and a half.
    expect(Math.abs(glass('likely') / step('likely') / 2.5 - 1)).toBeLessThan(0.5)
  })

  // A millimetre of okoume on 5.5 m² is 2.475 kg; the glass adds 1.3 to 2.9 kg.
  test.each(SKILLS)('%s: half a kilo saved lies in the range', (skill) => {
    const ply = (mm: number): number => total(bottomOf(mm, skill, false).filter((l) => l.rule === 'ply'), (l) => l.kg).likely
    const step = ply(4) - ply(3)
    expect(step).toBeCloseTo(2.475, 9)
    const added = total(bottomOf(3, skill, true).filter(isGlass), (l) => l.kg)
    expect(step - added.high).toBeLessThan(0.5)
    expect(step - added.low).toBeGreaterThan(0.5)
    expect(Math.abs(step - added.likely - 0.5)).toBeLessThan(1)
  })
})

test('4 oz glass on both sides of a sheet and a first coat under one, 0.61 kg/m² (forum, read): the likely figure is within a quarter of it', () => {
  // 4 oz/yd² = 135.6 g/m²: two layers 0.271 kg, resin of ψ 0.47 0.306 kg, a first coat 0.14 kg: 0.717 kg/m², 18 % more than that sheet.
  const sheet = { ...bare, surfaces: [surface('outside', 1, { cloth: cloth(135.6), sealCoats: 1 }), surface('inside', 1, { cloth: cloth(135.6) })] }
  const { likely } = massAdded(estimate(sheet, settingsFor('practised')))
  expect(likely).toBeCloseTo(0.717, 3)
  expect(Math.abs(likely / 0.61 - 1)).toBeLessThan(0.25)
})
