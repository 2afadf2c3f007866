import { expect, test } from 'vitest'
import type { Lever, OptionResult, Results } from '../../../src/features/planning/option-sheets/model.ts'
import { timeWords } from '../../../views/shared/times.ts'
import { bestOf, optionRows, settingWords, valueWords, verdict, type RowKey, type Words } from '../../../views/planning/words.ts'

const CLUB = { name: 'Saltmarsh Boat Club', zone: 'Europe/Berlin', units: 'metric', currency: 'EUR', locale: 'en-GB' } as const
const at = (iso: string) => Date.parse(`${iso}:00Z`) / 60_000
const NOW = at('2026-05-30T08:00')
const names = [{ name: '6 mm bare' }, { name: '4 mm with 80 g/m² glass' }]
const none = new Map<string, never>()
const w: Words = {
  names: { builds: new Map([['tern', 'Tern']]), tasks: none, links: none, people: none, places: none, tools: none, competences: none, items: none },
  times: timeWords(CLUB, new Date('2026-05-30T08:00:00Z')), club: CLUB,
}
const same = (n: number) => ({ low: n, likely: n, high: n })
const panel = (along: number, deflectionMm: number) => ({ name: 'Bottom panel', thicknessMm: 6, kgPerM2: 3, along, across: along / 3, spanMm: 600, deflectionMm })

const bare: OptionResult = {
  isAsSheIs: false,
  cents: { low: 380_00, likely: 400_00, high: 460_00 }, unpriced: [], kg: { low: 40, likely: 44.04, high: 50 }, epoxyG: same(9_000), sheets: 5, panel: panel(90, 12.34), hours: same(200), leftMin: 6_000,
  launch: { start: at('2026-08-01T12:00'), end: at('2026-08-01T12:00'), projected: false }, whyNot: null, missed: 0,
  resin: [{ itemId: 'r', name: 'Epoxy resin', unit: 'g', milli: 2_000_000 }], short: [], others: [], tasks: { redone: 0, added: [], removed: [], kept: [] },
}
const glassed: OptionResult = {
  ...bare, cents: { low: 700_00, likely: 760_00, high: 900_00 }, kg: same(43.6), epoxyG: same(10_500), panel: panel(60, 18.5), hours: same(212.4), leftMin: 6_744,
  launch: { start: at('2026-08-15T12:00'), end: at('2026-08-15T12:00'), projected: false }, missed: 1,
  resin: [{ itemId: 'r', name: 'Epoxy resin', unit: 'g', milli: 400_000 }],
}
const results = (...options: OptionResult[]): Results => ({ buildVersion: 1, planId: '1', now: NOW, options })
const row = (key: RowKey, r: Results, money = true) => optionRows(w, r, { money }).find((x) => x.key === key)

test('the best of a row is marked, all that are equally good, and nothing where all are the same', () => {
  expect([...bestOf([3, 1, 2], -1)]).toEqual([1])
  expect([...bestOf([1, 1, 2], -1)]).toEqual([0, 1])
  expect([...bestOf([2, 2], -1)]).toEqual([])
  expect([...bestOf([5, null, 7], 1)]).toEqual([2])
  expect([...bestOf([5, null], 1)]).toEqual([])
  expect([...bestOf([1, 2], 0)]).toEqual([])
})

test('figures are told likely first, with their range, and differ from the first option in words', () => {
  const r = results(bare, glassed)
  expect(row('cost', r)?.cells).toEqual([
    { text: '€400 (€380 to €460)', difference: '', isBest: true },
    // 760 − 400 = 360
    { text: '€760 (€700 to €900)', difference: '€360 more', isBest: false },
  ])
  // 43.6 − 44.0 = −0.4 kg
  expect(row('mass', r)?.cells[1]).toEqual({ text: '43.6 kg', difference: '400 g lighter', isBest: true })
  // 212 − 200 h
  expect(row('hours', r)?.cells[1]).toEqual({ text: '212 h', difference: '12 h more', isBest: false })
  // 6744 min = 112.4 h against 100 h
  expect(row('left', r)?.cells.map((c) => c.text)).toEqual(['100 h', '112 h'])
  expect(row('missed', r)?.cells).toEqual([{ text: 'none', difference: '', isBest: true }, { text: '1', difference: '1 more', isBest: false }])
})

test('stiffness is told as a ratio, and so is how much the panel gives', () => {
  const r = results(bare, glassed)
  // 60 ÷ 90 = 0.67; 18.5 ÷ 12.34 = 1.499
  expect(row('along', r)?.cells).toEqual([
    { text: '90 N·m²/m', difference: '', isBest: true }, { text: '60 N·m²/m', difference: '0.67 times as stiff', isBest: false },
  ])
  expect(row('deflection', r)?.cells[1]?.difference).toBe('1.5 times as much')
  expect(row('along', results(bare, { ...glassed, panel: null }))).toBeUndefined()
})

test('a launch is told by its day, or by its week where people are only assumed to come', () => {
  // 1 August to 15 August 2026: 14 days, told as two weeks.
  expect(row('launch', results(bare, glassed))?.cells).toEqual([
    { text: 'Sat 1 Aug', difference: '', isBest: true }, { text: 'Sat 15 Aug', difference: '2 weeks later', isBest: false },
  ])
  const far = (day: string): OptionResult => ({ ...bare, launch: { start: at(`${day}T12:00`), end: at(`${day}T12:00`), projected: true } })
  // Thursday 6 and Sunday 9 August 2026 are of one week.
  expect(row('launch', results(far('2026-08-06'), far('2026-08-09')))?.cells).toEqual([
    { text: 'week 32 (from 3 Aug)', difference: '', isBest: false }, { text: 'week 32 (from 3 Aug)', difference: '', isBest: false },
  ])
  expect(row('launch', results(far('2026-08-09'), far('2026-08-10')))?.cells[1]?.difference).toBe('1 week later')
  // 63 days from 30 May: nine weeks.
  expect(row('weeks', results(bare, glassed))?.cells.map((c) => c.text)).toEqual(['9', '11'])
})

test('an option without a launch date says why, and is not the soonest', () => {
  const never: OptionResult = { ...glassed, launch: null, whyNot: 'no date: Turn her over can’t be planned' }
  expect(row('launch', results(bare, never, glassed))?.cells.map((c) => [c.text, c.isBest])).toEqual([['Sat 1 Aug', true], ['no date: Turn her over can’t be planned', false], ['Sat 15 Aug', false]])
  expect(row('weeks', results(bare, never))?.cells[1]).toEqual({ text: 'not known', difference: '', isBest: false })
})

test('resin left, what is missing and other builds are told; a build that this person may not see has no name', () => {
  const others = [
    { buildId: 'tern', from: bare.launch, to: glassed.launch }, { buildId: 'secret', from: bare.launch, to: null },
  ]
  const r = results(bare, { ...glassed, others, short: [{ itemId: 'c', name: 'Glass cloth 80 g/m²', unit: 'm2', milli: 1_230 }] })
  expect(row('resin', r)?.cells).toEqual([{ text: '2 kg Epoxy resin', difference: '', isBest: true }, { text: '400 g Epoxy resin', difference: '1.6 kg less Epoxy resin', isBest: false }])
  expect(row('short', r)?.cells.map((c) => c.text)).toEqual(['nothing', '1.23 m² Glass cloth 80 g/m²'])
  expect(row('others', r)?.cells.map((c) => c.text)).toEqual(['keep their launches', 'Tern: Sat 15 Aug instead of Sat 1 Aug and one build of another team moves too'])
  // What every option lacks alike is counted, not told over and over.
  const tape = { itemId: 't', name: 'Tape', unit: 'm', milli: 5_000 } as const
  const alike = results({ ...bare, short: [tape] }, { ...glassed, short: [tape, { ...tape, itemId: 'c', name: 'Cloth', unit: 'm2', milli: 2_000 }] })
  expect(row('short', alike)?.cells.map((c) => [c.text, c.isBest])).toEqual([['only one item that both lack alike', true], ['2 m² Cloth; and one item that both lack alike', false]])
  // 3 m of tape and 2 m: neither lacks nothing, so neither is best.
  const both = results({ ...bare, short: [{ ...tape, milli: 3_000 }] }, { ...glassed, short: [{ ...tape, milli: 2_000 }] })
  expect(row('short', both)?.cells.map((c) => [c.text, c.isBest])).toEqual([['3 m Tape', false], ['2 m Tape', false]])
  const minus = results({ ...bare, resin: [{ ...bare.resin[0]!, milli: -300_000 }] }, bare)
  expect(row('resin', minus)?.cells[0]?.text).toBe('no Epoxy resin: 300 g too little')
})

test('without the right to see money there is none in rows or sentences', () => {
  expect(row('cost', results(bare, glassed), false)).toBeUndefined()
  expect(verdict(w, [{ name: 'A' }, { name: 'B' }], results(bare, glassed), { money: false })).not.toMatch(/€|cheap|cost/)
})

test('a material without a price is named beside the sum', () => {
  const r = results({ ...bare, unpriced: [{ material: 'Kit of cut panels', unit: 'pcs', amount: 1 }] }, glassed)
  expect(row('cost', r)?.cells[0]?.text).toBe('€400 (€380 to €460), without Kit of cut panels')
  expect(verdict(w, names, r, { money: true })).toMatch(/No price is known for Kit of cut panels, so the cost is compared without\.$/)
})

test('a sentence says which option wins at what, and what the others ask for it', () => {
  // 760 ÷ 400 = 1.9; 6744 − 6000 min = 12.4 h, told as 112 − 100 = 12 h, but the launch says more.
  expect(verdict(w, names, results(bare, glassed), { money: true })).toBe(
    '6 mm bare is cheapest, soonest, stiffest and the least work. ' +
    '4 mm with 80 g/m² glass is lightest: beside 6 mm bare it is 400 g lighter, costs 1.9 times as much and is launched 2 weeks later.',
  )
})

test('options that are alike are told so, and so is a tie', () => {
  expect(verdict(w, names, results(bare, bare), { money: true })).toBe('By these figures the options come out the same.')
  const three = [...names, { name: '6 mm coated' }]
  const coated: OptionResult = { ...bare, cents: same(460_00), kg: same(45), leftMin: 6_300 }
  expect(verdict(w, three, results(bare, glassed, coated), { money: true })).toBe(
    '6 mm bare is cheapest and the least work. ' +
    '4 mm with 80 g/m² glass is lightest: beside 6 mm bare it is 400 g lighter, costs 1.9 times as much and is launched 2 weeks later. ' +
    '6 mm bare and 6 mm coated are soonest and stiffest alike.',
  )
})

test('what is heavier and stiffer is told in one breath', () => {
  // 90 ÷ 60 = 1.5; 44 − 43.6 = 0.4 kg
  const r = results({ ...glassed, leftMin: 5_000 }, { ...bare, launch: glassed.launch, cents: same(800_00), leftMin: 6_000 })
  expect(verdict(w, names, r, { money: true })).toBe(
    '6 mm bare is cheapest, lightest and the least work. 4 mm with 80 g/m² glass is stiffest: beside 6 mm bare it is 400 g heavier, 1.5 times as stiff, costs €40 more and takes 17 h more.',
  )
})

test('a small difference of cost is told in money, not as a multiple', () => {
  // 430 ÷ 400 = 1.075: 30 more.
  expect(verdict(w, names, results(bare, { ...glassed, cents: same(430_00), launch: bare.launch, leftMin: bare.leftMin }), { money: true })).toContain('beside 6 mm bare it is 400 g lighter and costs €30 more.')
})

test('what an option sets is told with its units, and a choice by its name', () => {
  const lever = (over: Partial<Lever>): Lever => ({ key: 'k', label: 'Label', unit: 'mm', choices: [], min: 0, max: 100, leastIfAny: null, group: 'layers', isStructural: false, now: 0, isGuess: true, ...over })
  const levers = [
    lever({ key: 'plyBottom', label: 'Ply of the bottom' }), lever({ key: 'clothWeight', label: 'Cloth', unit: 'g/m2' }), lever({ key: 'kit', label: 'Panels', unit: 'choice', choices: [{ value: 0, label: 'Sheets' }, { value: 1, label: 'A kit' }] }),
  ]
  expect(settingWords(levers, { values: { kit: 1, plyBottom: 4, clothWeight: 80 } }, w)).toEqual(['Ply of the bottom: 4 mm', 'Cloth: 80 g/m²', 'Panels: A kit'])
  expect(valueWords(levers[1]!, 0, w)).toBe('none')
})
