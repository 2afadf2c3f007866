import { describe, expect, test } from 'vitest'
import type { Boat, Figure, Line, Spread } from '../../../src/core/estimate/types.ts'
import { toBuyOf } from '../../../src/features/builds/facts/estimate-buying.ts'
import { nudged, swingsOf, thingsOf, type MeasuredThing } from '../../../src/features/builds/facts/estimate-guesses.ts'
import { estimatedHours } from '../../../src/features/builds/facts/estimate-hours.ts'
import { priceLines, tieOfLine, wholeSheets, type StoresView, type TakingTask } from '../../../src/features/builds/facts/estimate-lines.ts'
import { byMaterial, restOf, totalsOf } from '../../../src/features/builds/facts/estimate-totals.ts'
import { guessSentence, inputLines, learntWords, priceWords, swingWords, takesSentence } from '../../../views/builds/_estimate-words.ts'

const exactly = (n: number): Spread => ({ low: n, likely: n, high: n })
const METRIC = { name: 'Club', locale: 'en-GB', units: 'metric', currency: 'EUR' } as Parameters<typeof learntWords>[1]
const line = (over: Partial<Line>): Line => ({
  key: 'bottom.wet-out', rule: 'wet-out', part: 'bottom', name: 'Bottom: wet-out', material: 'Mixed epoxy', unit: 'g', net: exactly(1000), waste: exactly(150), kg: exactly(1),
  inputs: [], formula: '', source: '', factor: 1, ...over,
})
const item = (id: string, name: string, unit: string, cents: number, amount = 1, kind = 'other') => [id, {
  id, name, kind, unit, isActive: true, density: null, widthMm: null, arealMass: null, thicknessMm: null, packs: cents === 0 ? [] : [{ name: `${amount}`, milli: amount * 1000, priceCents: cents }], held: { milli: 0, cents: 0 },
}] as const
const stores: StoresView = {
  items: new Map([item('resin', 'Resin', 'g', 2000, 1000, 'resin'), item('hard', 'Hardener', 'g', 3500, 1000, 'hardener'), item('ply', 'Okoume plywood 6 mm', 'pcs', 6500, 1, 'ply'), item('tape', 'Tape', 'm', 120, 1, 'tape')]),
  // Two parts to one by mass: (2 × 2.0 + 3.5) / 3 = 2.5 cents a gram.
  mixes: new Map([['slow', { name: 'Slow', kind: 'epoxy', parts: { resinId: 'resin', hardenerId: 'hard', ratio: { a: 2, b: 1 } } }], ['glue', { name: 'Glue', kind: 'glue', parts: null }]]),
  known: new Map([['Mixed epoxy', { is: 'mixed' }]]),
}
const row = (over: Partial<TakingTask['materials'][number]>) => ({ ...exactly(1150), line: 'bottom.wet-out', name: 'Mixed epoxy', unit: 'g', itemId: null, productId: 'slow', structural: true, ...over })
const task = (over: Partial<TakingTask & { listKey: string | null }>): TakingTask & { listKey: string | null } => ({ id: 't', name: 'Sheath', isDone: false, productId: 'slow', listKey: 'sheath', materials: [row({})], ...over })
const priced = (lines: Line[], tasks: TakingTask[], drawn = new Map<string, Map<string, number>>(), sheets = new Map<string, number>()) => priceLines({ lines, tasks, drawn, stores, mixedBy: 'slow', sheets })

describe('sheets', () => {
  test('are whole: rounded up, or as many as the layout has found', () => {
    expect(wholeSheets({ low: 4.2, likely: 5.5, high: 6.01 }, null)).toEqual({ low: 5, likely: 6, high: 7 })
    expect(wholeSheets(exactly(5), null)).toEqual(exactly(5))
    expect(wholeSheets({ low: 4.2, likely: 5.5, high: 6.4 }, 8)).toEqual({ low: 5, likely: 8, high: 8 })
    expect(wholeSheets({ low: 4.2, likely: 5.5, high: 6.4 }, 4)).toEqual({ low: 4, likely: 4, high: 7 })
  })
})

describe('what a line is in the stores', () => {
  test('as its task says, before what the name is known for', () => {
    expect(tieOfLine(line({}), [task({})], stores, null)).toEqual({ is: 'mix', id: 'slow', name: 'Slow', isGuess: false })
    expect(tieOfLine(line({}), [task({ materials: [row({ productId: 'glue' })] })], stores, 'slow')).toMatchObject({ id: 'glue' })
    // Nobody takes it: a mix is known to be one, of what she mixes most.
    expect(tieOfLine(line({}), [], stores, 'slow')).toMatchObject({ id: 'slow', isGuess: false })
    expect(tieOfLine(line({ material: 'Okoume plywood 6 mm', unit: 'pcs', rule: 'ply' }), [], stores, null)).toMatchObject({ id: 'ply', isGuess: true })
    expect(tieOfLine(line({ material: 'Topcoat', unit: 'ml', rule: 'paint' }), [], stores, null)).toBeNull()
  })

  test('a mix whose resin and hardener nobody has named has no price and is not drawn', () => {
    const [one] = priced([line({})], [task({ materials: [row({ productId: 'glue' })] })], new Map([['t', new Map([['resin', 5000]])]]))
    expect([one!.tie!.name, one!.cents, one!.drawn]).toEqual(['Glue', null, 0])
    expect(totalsOf([one!], []).unpriced).toEqual(['Mixed epoxy (Glue)'])
  })

  test('1150 g at 2.5 cents, and what was drawn of both parts', () => {
    const [one] = priced([line({})], [task({})], new Map([['t', new Map([['resin', 400_000], ['hard', 200_000], ['tape', 9000]])]]))
    expect([one!.cents, one!.drawn]).toEqual([exactly(2875), 600])
  })
})

describe('what tasks ask for beside the lines', () => {
  const draft = [{ listKey: 'sheath', materials: [{ name: 'Mixed epoxy' }] }]
  test('typed at a task of her own it is a row; an amount of the list typed anew is not counted twice', () => {
    const typed = task({ id: 'own', listKey: null, name: 'Own task', materials: [row({ line: null, name: 'Tape', unit: 'm', itemId: 'tape', productId: null, ...exactly(5) })] })
    const anew = task({ materials: [row({ line: null, ...exactly(2000) })] })
    const rest = restOf([line({})], draft, [typed, anew], stores)
    // 5 m at 1.20.
    expect(rest.map((r) => [r.name, r.cents, r.isMixed])).toEqual([['Tape', exactly(600), false]])
    // What a begun task takes of a line that is no more is one, too, and mixed epoxy counts as such.
    const kept = restOf([], [], [task({})], stores)
    expect(kept.map((r) => [r.name, r.isMixed])).toEqual([['Mixed epoxy', true]])
    expect(totalsOf([], kept).epoxyG).toEqual(exactly(1150))
  })

  test('sums by material put lines of one tie together and keep another product apart', () => {
    const lines = priced([line({}), line({ key: 'keel.fillet', part: 'keel' }), line({ key: 'rail.glue-line', rule: 'glue-line', part: 'rail' })], [
      task({ materials: [row({}), row({ line: 'keel.fillet' }), row({ line: 'rail.glue-line', productId: 'glue' })] }),
    ])
    expect(byMaterial(lines, []).map((m) => [m.name, m.tie!.name, m.gross.likely, m.cents?.likely ?? null])).toEqual([['Mixed epoxy', 'Slow', 2300, 5750], ['Mixed epoxy', 'Glue', 1150, null]])
  })
})

describe('what is still to buy', () => {
  test('what is left to draw less what is there and on order, in the cheapest packs that are not short', () => {
    const items = new Map([item('resin', 'Resin', 'g', 2000, 1000)])
    const one = (left: number, here: number, coming: number) => toBuyOf([{ itemId: 'resin', leftMilli: left, drawnMilli: 0 }], items, new Map([['resin', here]]), new Map([['resin', coming]]))[0]!
    // 3.5 kg less 1 kg there and 1 kg on order: 1.5 kg, two cans of 1 kg at 20.00.
    expect(one(3_500_000, 1_000_000, 1_000_000)).toMatchObject({ shortMilli: 1_500_000, packs: [{ name: '1000', count: 2 }], cents: 4000 })
    expect(one(500_000, 1_000_000, 0)).toMatchObject({ shortMilli: 0, packs: [], cents: 0 })
    // No packs put in: how much, and no price.
    expect(toBuyOf([{ itemId: 'x', leftMilli: 5000, drawnMilli: 0 }], new Map([item('x', 'Thing', 'pcs', 0)]), new Map(), new Map())[0]).toMatchObject({ shortMilli: 5000, packs: [], cents: null })
  })
})

describe('hours', () => {
  const work = (likely: number, over = {}) => ({ kind: 'shared' as const, workLowMin: likely / 2, workLikelyMin: likely, workHighMin: likely * 2, handsFrom: 1, ...over })
  const rule = { base: [30, 60, 120] as const, factor: 1, by: [], share: 1, grade: 1 }
  test('by phase in the list’s order: the list’s tasks as it has them, people’s own as they stand, by all hands', () => {
    const hours = estimatedHours(
      [{ key: 'a', name: 'Panels' }, { key: 'b', name: 'Paint' }],
      [{ listKey: 'cut', phase: 'a', name: 'Cut', hours: rule, ...work(60) }, { listKey: 'turn', phase: 'b', name: 'Turn', hours: rule, ...work(30, { kind: 'together', handsFrom: 4 }) }],
      [
        { id: '1', listKey: 'turn', phase: 'Paint', name: 'Turn', isDone: false, ...work(45, { kind: 'together', handsFrom: 4 }) },
        { id: '2', listKey: null, phase: 'Extras', name: 'Wait', isDone: true, ...work(600, { kind: 'unattended', handsFrom: 0 }) },
      ],
    )
    // 1 h; 4 × 30 min = 2 h, and the task itself says 4 × 45 min; what happens by itself takes no hands.
    expect(hours.byPhase.map((p) => [p.name, p.minutes.likely])).toEqual([['Panels', 60], ['Paint', 120], ['Extras', 0]])
    expect(hours.minutes).toEqual({ low: 90, likely: 180, high: 360 })
    expect(hours.byPhase[1]!.tasks[0]!.stated!.likely).toBe(180)
    expect(hours.byPhase[0]!.tasks[0]!.id).toBeNull()
  })
})

describe('guesses', () => {
  const figure = (value: number, origin: Figure['origin'] = 'guess'): Figure => ({ value, origin })
  const boat = {
    panels: [{ key: 'bottom', name: 'Bottom', count: 2, areaM2: figure(2), lengthMm: figure(3600), widthMm: figure(700), ply: { species: 'okoume', thicknessMm: 6 }, grain: 'along', joint: 'scarf' }],
    seams: [{ key: 'keel', name: 'Keel', lengthM: figure(3.6, 'measured'), anglesDeg: [90, 160], angleOrigin: 'guess', radiusMm: figure(18), tapes: [] }],
    surfaces: [], joints: [], timbers: [], extras: [],
  } as Boat

  test('what a tape measure tells is counted; coats and thickness are decisions', () => {
    const def = (key: string, group: string, unit: string) => ({ def: { key, label: key, unit, group }, figure: figure(1) })
    const things = thingsOf([def('areaInside', 'areas', 'm2'), def('plyBottom', 'layers', 'mm'), def('fillCoats', 'coats', 'count')], boat)
    expect(things.map((t) => `${t.kind} ${t.key} ${t.origin}`)).toEqual(['scalar areaInside guess', 'panel bottom guess', 'seam keel measured', 'seam-angle keel guess'])
  })

  test('a fifth more of one moves it alone, and no angle beyond flat', () => {
    expect(nudged(boat, { kind: 'panel', key: 'bottom' }, 1.2).panels[0]!.areaM2.value).toBeCloseTo(2.4, 12)
    expect(nudged(boat, { kind: 'seam', key: 'keel' }, 0.8).seams[0]!.lengthM.value).toBeCloseTo(2.88, 12)
    const angles = nudged(boat, { kind: 'seam-angle', key: 'keel' }, 1.2)
    expect(angles.seams[0]!.anglesDeg).toEqual([108, 179])
    expect(angles.panels).toEqual(boat.panels)
  })

  test('the one that moves epoxy or cost most comes first, by its larger side; what moves nothing is left out', () => {
    const thing = (key: string, origin: Figure['origin'] = 'guess'): MeasuredThing => ({ kind: 'scalar', key, label: key, origin })
    const answers: Record<string, [number, number]> = { a: [50, 0], b: [10, 800], c: [0, 0], d: [900, 900] }
    const swings = swingsOf([thing('a'), thing('b'), thing('c'), thing('d', 'measured')], { epoxyG: 1000, cents: 10_000 }, (t, factor) => {
      const [g, c] = answers[t.key]!
      return { epoxyG: 1000 + (factor > 1 ? g : -2 * g), cents: 10_000 + (factor > 1 ? c : -c) }
    })
    // b: 800 of 10,000 is 8 %, epoxy 20 of 1000 is 2 %; a: 100 of 1000 is 10 %.
    expect(swings.map((s) => [s.key, s.epoxy, s.cost])).toEqual([['a', 0.1, 0], ['b', 0.02, 0.08]])
  })
})

describe('in words', () => {
  test('the whole in a sentence, without money for those who may not see it', () => {
    const totals = { sheetRange: { low: 5, likely: 6, high: 7 }, epoxyG: { low: 7000, likely: 9500, high: 12_400 }, hours: { low: 150, likely: 212.4, high: 300 }, cents: { low: 98_000, likely: 124_000, high: 156_000 }, kg: exactly(58), unpriced: ['Varnish'] }
    expect(takesSentence('Sanderling', 'some', totals, METRIC, true)).toBe(
      'Sanderling takes 6 sheets (5 to 7) of plywood, 9.5 kg (7 kg to 12.4 kg) of mixed epoxy and 212 h (150 to 300 h) of work, reckoned for hands with some experience.'
      + ' What is counted here will weigh 58 kg in her. Material comes to €1,240 (€980 to €1,560), without what has no price.')
    expect(takesSentence('Sanderling', 'first', totals, METRIC, false)).not.toMatch(/€|price/)
    expect(takesSentence('Sanderling', 'first', { ...totals, sheetRange: exactly(0), epoxyG: exactly(0), hours: exactly(0), kg: exactly(0), cents: exactly(0) }, METRIC, true)).toBe('Nothing can be said yet of what Sanderling takes.')
  })

  test('guesses, what they move, and what was learnt', () => {
    const swing = { label: 'Bottom', epoxy: 0.091, cost: 0.034 }
    expect(guessSentence({ all: 31, guesses: 12 }, swing)).toBe('12 of 31 figures are guesses; measuring “Bottom” would help most.')
    expect(guessSentence({ all: 31, guesses: 1 }, undefined)).toBe('1 of 31 figures is a guess.')
    expect(guessSentence({ all: 31, guesses: 0 }, undefined)).toBe('None of her 31 figures is a guess.')
    expect(swingWords(swing, true, METRIC)).toBe('a fifth more or less of it moves mixed epoxy by 9.1 % and cost by 3.4 %')
    expect(swingWords(swing, false, METRIC)).toBe('a fifth more or less of it moves mixed epoxy by 9.1 %')
    const learnt = { count: 14, factor: 1.18, low: 1.08, high: 1.29, sure: 'fairly sure', used: true } as const
    expect(learntWords(learnt, METRIC)).toBe('the club’s 14 weighings say 1.18 times (1.08 to 1.29), fairly sure')
    expect(learntWords({ ...learnt, count: 1, used: false }, METRIC)).toBe('the club’s one weighing says 1.18 times (1.08 to 1.29), fairly sure; the club does not use it')
    expect(learntWords({ ...learnt, factor: 1.004, low: 0.97, high: 1.04, sure: 'sure' }, METRIC)).toBe('the club’s 14 weighings agree with the rule (0.97 to 1.04), sure')
  })

  test('prices by the unit that people buy in, ends of a figure behind it, the course of an angle in one line', () => {
    expect(priceWords({ cents: 1.9, unit: 'g', from: 'pack', pack: '5 kg' }, METRIC)).toBe('€19.00 a kg: cheapest pack, 5 kg')
    // 1.9 cents × 453.59237 g = 861.8 cents a pound.
    expect(priceWords({ cents: 1.9, unit: 'g', from: 'average', pack: null }, { ...METRIC!, units: 'imperial' })).toBe('€8.62 a lb: what the stock cost on average')
    const input = (label: string, value: number, unit: string) => ({ label, value, unit, origin: null })
    const shown = inputLines([input('offcuts on top (0.15 to 0.5)', 0.3, 'share'), input('first coat (100 to 200)', 140, 'g/m²'), input('inside angle 1 of 2, from fore', 80, '°'), input('inside angle 2 of 2, from fore', 110, '°'), input('for each', 0.001, 'kg / g')], METRIC)
    expect(shown.map((s) => s.text)).toEqual(['offcuts on top: 30 % (15 to 50 %)', 'first coat: 140 g/m² (100 to 200 g/m²)', 'inside angle from fore to aft: 80°, 110°'])
  })
})
