import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { readMass } from '../../../src/features/builds/facts/mass-text.ts'
import { against, budgetOf, chartDays, fromHereOn, massDone, mostKg, sharesDone, type MassLine, type Taking } from '../../../src/features/builds/facts/weight.ts'
import { boatView } from '../../../src/features/builds/queries/boat.ts'
import { weightPage } from '../../../src/features/builds/queries/weight.ts'
import type { Boat } from '../../../src/core/estimate/types.ts'
import { testClub, type Person } from '../../support/app.ts'
import { words } from './support.ts'

const line = (key: string, rule: MassLine['rule'], low: number, likely: number, high: number): MassLine => ({ key, rule, part: key.split('.')[0]!, name: key, kg: { low, likely, high } })
const day = (iso: string) => new Date(`${iso}T12:00:00Z`)
const LINES = [line('ply-okoume-6.ply', 'ply', 20, 22, 24), line('bottom.wet-out', 'wet-out', 1, 1.5, 2), line('outside.paint.Primer', 'paint', 0.4, 0.5, 0.8), line('outside.abrasive', 'abrasive', 0, 0, 0)]
// The bottom is wetted out in two tasks of 600 g and 200 g; the ply is cut in one.
const TAKINGS: Taking[] = [
  { line: 'ply-okoume-6.ply', amount: 4.5, finishedAt: day('2026-03-07') }, { line: 'bottom.wet-out', amount: 600, finishedAt: day('2026-04-11') }, { line: 'bottom.wet-out', amount: 200, finishedAt: null },
]
const BOAT: Boat = {
  panels: [], seams: [], joints: [], timbers: [], extras: [],
  surfaces: [{ key: 'bottom', name: 'Bottom', areaM2: { value: 4, origin: 'guess' }, cloth: null, fillCoats: 0, sealCoats: 0, topUpCoats: 0, paints: [], fairedShare: 0, sanded: false }],
}

describe('what she should weigh as far as she is built', () => {
  test('is each line by the share of it that finished tasks took', () => {
    expect([...sharesDone(TAKINGS, day('2026-04-11'))]).toEqual([['ply-okoume-6.ply', 1], ['bottom.wet-out', 0.75]])
    // By 1 April only the ply: 20 to 24. By 1 May 600 of 800 g of resin too: 20 + 0.75, 22 + 1.125, 24 + 1.5.
    expect(massDone(LINES, TAKINGS, day('2026-04-01'))).toEqual({ low: 20, likely: 22, high: 24 })
    expect(massDone(LINES, TAKINGS, day('2026-05-01'))).toEqual({ low: 20.75, likely: 23.125, high: 25.5 })
    expect(massDone(LINES, TAKINGS, day('2026-01-01'))).toEqual({ low: 0, likely: 0, high: 0 })
  })

  test('never falls as tasks are finished, and is the whole once all are', () => {
    fc.assert(fc.property(fc.array(fc.tuple(fc.constantFrom(...LINES.map((l) => l.key)), fc.double({ min: 0.1, max: 900, noNaN: true }), fc.integer({ min: 1, max: 28 })), { minLength: 1, maxLength: 20 }), (all) => {
      const takings = all.map(([key, amount, d]) => ({ line: key, amount, finishedAt: day(`2026-02-${String(d).padStart(2, '0')}`) }))
      let before = -1
      for (let d = 1; d <= 28; d++) {
        const now = massDone(LINES, takings, day(`2026-02-${String(d).padStart(2, '0')}`)).likely
        expect(now).toBeGreaterThanOrEqual(before - 1e-12)
        before = now
      }
      const taken = LINES.filter((l) => takings.some((t) => t.line === l.key)).reduce((n, l) => n + l.kg.likely, 0)
      expect(before).toBeCloseTo(taken, 9)
    }))
  })

  test('is told by material and by part, and both add up to all of her', () => {
    const b = budgetOf(LINES, TAKINGS, day('2026-05-01'), BOAT)
    expect(b.byMatter.map((r) => [r.name, r.all.likely])).toEqual([['Plywood', 22], ['Glass and epoxy', 1.5], ['Primer, paint and varnish', 0.5]])
    expect(b.byPart.map((r) => r.name)).toEqual(['ply-okoume-6.ply', 'Bottom', 'outside.paint.Primer'])
    expect(b.all).toEqual({ low: 21.4, likely: 24, high: 26.8 })
    for (const rows of [b.byMatter, b.byPart]) {
      expect(rows.reduce((n, r) => n + r.all.high, 0)).toBeCloseTo(26.8, 9)
      expect(rows.reduce((n, r) => n + r.done.likely, 0)).toBeCloseTo(23.125, 9)
    }
  })
})

describe('a weighing', () => {
  const expected = { low: 33, likely: 36, high: 39 }
  test.each([[38.2, 'within', 2.2], [39, 'within', 3], [33, 'within', -3], [40.5, 'above', 1.5], [31, 'below', -2]] as const)('of %d kg beside 33 to 39 is %s', (kg, is, by) => {
    const a = against(kg, expected)
    expect(a.is).toBe(is)
    expect(a.byKg).toBeCloseTo(by, 9)
  })
  test('before anything was finished is held against nothing', () => expect(against(12, { low: 0, likely: 0, high: 0 }).is).toBe('nothing-done'))

  test('takes the place of what was estimated until then', () => {
    // 38.2 on the scales, 70 less 36 likely to come: 72.2; at least 60 - 33, at most 80 - 39.
    const ahead = fromHereOn(38.2, { all: { low: 60, likely: 70, high: 80 }, done: expected })
    expect(ahead.low).toBeCloseTo(65.2, 9)
    expect(ahead.likely).toBeCloseTo(72.2, 9)
    expect(ahead.high).toBeCloseTo(79.2, 9)
  })

  test.each<[string, 'metric' | 'imperial', number]>([['38.2', 'metric', 38_200], ['38,2 kg', 'metric', 38_200], ['38200 g', 'metric', 38_200], ['84', 'imperial', 38_102], ['84 lb', 'metric', 38_102], ['38.2 kg', 'imperial', 38_200]])('typed as “%s” is read (%s)', (text, units, grams) => {
    expect(readMass(text, units)).toEqual({ ok: true, grams })
  })
  test.each<[string, string]>([
    ['', 'Say what the scales showed, in kg'], ['0', 'weighs more than nothing'], ['-4', '“-4” is below nothing'], ['heavy', '“heavy” is no amount: write a number of kg'], ['38.2 m', 'write it in kg'],
    ['1,250', '“1,250” can be read in two ways'],
  ])('typed as “%s” is refused', (text, said) => {
    const r = readMass(text, 'metric')
    expect(r.ok ? r.grams : r.message).toContain(said)
  })
  test('beyond four times the heaviest estimate is a slip', () => {
    expect(mostKg({ low: 50, likely: 60, high: 75 })).toBe(300)
    expect(mostKg({ low: 0, likely: 0, high: 0 })).toBe(1500)
  })
})

describe('the days of the chart', () => {
  test('are the start, the first of each month, each weighing and today', () => {
    expect(chartDays('2026-01-17', '2026-04-20', ['2026-03-14', '2026-03-01'])).toEqual(['2026-01-17', '2026-02-01', '2026-03-01', '2026-03-14', '2026-04-01', '2026-04-20'])
    expect(chartDays('2026-04-20', '2026-04-20', [])).toEqual(['2026-04-20'])
  })
  test('of a build of many years are thinned, and no weighing is lost', () => {
    const days = chartDays('2016-01-17', '2026-04-20', ['2019-07-07'])
    expect(days.length).toBeLessThan(25)
    expect(days).toContain('2019-07-07')
    expect([days[0], days.at(-1)]).toEqual(['2016-01-17', '2026-04-20'])
  })
})

const club = await testClub({ now: '2026-05-30T08:00:00Z' })
let builder: Person & { memberId: string }
let buildId = ''
const started = new Date('2026-02-01T00:00:00Z')

/** A 3.6 m dinghy whose ply, and half of the outside's glass, is done. */
beforeAll(async () => {
  builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
  buildId = (await club.make.build({ name: 'Sanderling', listKey: 'sailing-dinghy', listVersion: 1, measurements: { length: 3.6, beam: 1.4 }, startedOn: started }, [builder.memberId])).id
  const phaseId = (await club.make.phase(buildId)).id
  const view = await boatView(club.db, buildId)
  if (!view.ok) throw new Error(JSON.stringify(view.refusal))
  for (const [i, l] of view.value.lines.entries()) {
    const isDone = l.rule === 'ply'
    await club.db.task.create({
      data: {
        name: l.name, position: i, kind: 'shared', workLowMin: 60, workLikelyMin: 60, workHighMin: 60, buildId, phaseId, finishedAt: isDone ? new Date('2026-03-07T12:00:00Z') : null,
        materials: { create: [{ name: l.material, unit: l.unit, low: l.net.low, likely: l.net.likely, high: l.net.high, line: l.key, ruleKey: l.rule }] },
      },
    })
  }
})
const at = (path = '/weight') => `/builds/${buildId}${path}`
const weigh = (over: Record<string, string> = {}) => builder.post(at('/weigh-ins'), { day: '2026-05-12', mass: '30', what: 'Hull bare', whole: 'whole', note: '', ...over })

describe('the page of her weight', () => {
  test('has the whole estimate by material, and what finished tasks put into her', async () => {
    const model = await weightPage(club.db, buildId, 'Europe/Berlin', club.clock.now())
    const view = await boatView(club.db, buildId)
    if (!view.ok) throw new Error('view')
    const ply = view.value.lines.filter((l) => l.rule === 'ply').reduce((n, l) => n + l.kg.likely, 0)
    expect(ply).toBeGreaterThan(10)
    expect(model.budget!.done.likely).toBeCloseTo(ply, 9)
    expect(model.budget!.all.likely).toBeCloseTo(view.value.lines.reduce((n, l) => n + l.kg.likely, 0), 9)
    const page = words((await builder.get(at())).body)
    expect(page).toContain('Sanderling was not on the scales yet.')
    expect(page).toContain('Glass and epoxy')
    expect(page).toContain('She has no target')
  })

  test('takes a weighing, holds it against what was done by that day and says so in a sentence', async () => {
    const { budget } = await weightPage(club.db, buildId, 'Europe/Berlin', club.clock.now())
    // 4 % above the likely figure, inside the range: on the heavy side.
    const heavy = Math.round(budget!.done.likely * 1.04 * 10) / 10
    expect((await weigh({ mass: `${heavy}` })).statusCode).toBe(303)
    const model = await weightPage(club.db, buildId, 'Europe/Berlin', club.clock.now())
    expect(model.latest).toMatchObject({ massG: heavy * 1000, isWhole: true, by: 'Ann Tern' })
    expect(model.latest!.against!.byKg).toBeCloseTo(heavy - budget!.done.likely, 1)
    expect(model.ahead!.likely).toBeCloseTo(heavy + budget!.all.likely - budget!.done.likely, 6)
    const page = words((await builder.get(at())).body)
    expect(page).toContain('for what was done by then: on the heavy side by')
    // Before the ply was cut there is nothing to compare with.
    expect((await weigh({ day: '2026-02-20', mass: '12', what: 'Frames' })).statusCode).toBe(303)
    const first = (await weightPage(club.db, buildId, 'Europe/Berlin', club.clock.now())).weighIns[0]!
    expect(first.against!.is).toBe('nothing-done')
    // A part is only written down.
    expect((await weigh({ whole: 'part', mass: '1800 g', what: 'Rudder' })).statusCode).toBe(303)
    expect((await weightPage(club.db, buildId, 'Europe/Berlin', club.clock.now())).weighIns.find((w) => w.what === 'Rudder')).toMatchObject({ massG: 1800, expected: null, against: null })
  })

  test.each<[string, Record<string, string>, string]>([
    ['nothing', { mass: '0' }, 'weighs more than nothing'],
    ['a slip of a thousand', { mass: '3800' }, 'can’t be hers: by the estimate all of her weighs at most'],
    ['a few grams', { mass: '38 g' }, 'is no boat'],
    ['a day to come', { day: '2026-05-31' }, 'that is still to come'],
    ['a day before she was begun', { day: '2026-01-31' }, 'was not begun before'],
    ['no day', { day: '' }, 'write the date as'],
    ['words', { mass: 'heavy' }, '“heavy” is no amount'],
    ['nothing said', { what: ' ' }, 'What hung on the scales: fill this in'],
    ['neither all nor part', { whole: 'maybe' }, 'Say whether it was all of her'],
  ])('refuses %s at its field and keeps what was typed', async (_name, fields, said) => {
    const before = await club.db.weighIn.count()
    const answer = await weigh({ what: 'Hull with thwarts', ...fields })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain(said)
    if (fields['what'] === undefined) expect(answer.body).toContain('value="Hull with thwarts"')
    expect(await club.db.weighIn.count()).toBe(before)
  })

  test('keeps a withdrawn weighing, struck out, and reckons without it', async () => {
    const w = await club.db.weighIn.findFirstOrThrow({ where: { what: 'Hull bare' } })
    expect((await builder.post(at(`/weigh-ins/${w.id}/withdraw`), {})).statusCode).toBe(303)
    const page = await builder.get(at())
    expect(page.body).toContain('<s>')
    expect(words(page.body)).toContain('(withdrawn)')
    expect((await weightPage(club.db, buildId, 'Europe/Berlin', club.clock.now())).latest!.what).toBe('Frames')
    expect((await builder.post(at(`/weigh-ins/${w.id}/withdraw`), {})).statusCode).toBe(404)
    // Nobody reaches another boat's weighing through their own.
    const other = await club.make.build({}, [builder.memberId])
    const frames = await club.db.weighIn.findFirstOrThrow({ where: { what: 'Frames' } })
    expect((await builder.post(`/builds/${other.id}/weigh-ins/${frames.id}/withdraw`, {})).statusCode).toBe(404)
  })

  test('has a target, says what room is left, and refuses one that can’t be', async () => {
    const version = async () => String((await club.db.build.findUniqueOrThrow({ where: { id: buildId } })).version)
    const target = async (text: string) => builder.post(at('/weight/target'), { version: await version(), target: text })
    expect((await target('120')).statusCode).toBe(303)
    expect(words((await builder.get(at())).body)).toContain('She is meant to weigh 120 kg')
    expect(words((await builder.get(at())).body)).toContain('are left for what the estimate does not weigh')
    for (const [text, said] of [['3800', 'can’t be hers'], ['85 g', 'can’t be reached: by the estimate all of her weighs at least'], ['0', 'more than nothing'], ['light', 'is no amount']] as const) {
      const no = await target(text)
      expect(no.statusCode).toBe(422)
      expect(words(no.body)).toContain(said)
    }
    expect((await builder.post(at('/weight/target'), { version: '1', target: '90' })).statusCode).toBe(409)
    expect((await club.db.build.findUniqueOrThrow({ where: { id: buildId } })).massTargetG).toBe(120_000)
    expect((await target('')).statusCode).toBe(303)
    expect((await club.db.build.findUniqueOrThrow({ where: { id: buildId } })).massTargetG).toBeNull()
  })

  test('is read by every member and written by her team', async () => {
    const stranger = await club.signedIn(['builder'])
    expect((await stranger.get(at())).statusCode).toBe(200)
    expect(words((await stranger.get(at())).body)).not.toContain('Write it down')
    expect((await stranger.post(at('/weigh-ins'), { day: '2026-05-12', mass: '30', what: 'x', whole: 'whole' })).statusCode).toBe(403)
    expect((await stranger.post(at('/weight/target'), { version: '1', target: '90' })).statusCode).toBe(403)
  })

  test('of a build without a list says that there is nothing to weigh', async () => {
    const bare = await club.make.build({}, [builder.memberId])
    const page = await builder.get(`/builds/${bare.id}/weight`)
    expect(page.statusCode).toBe(200)
    expect(words(page.body)).toContain('nothing that weighs')
  })

  test('is in pounds where the club weighs in pounds', async () => {
    await club.db.club.update({ where: { id: 1 }, data: { units: 'imperial' } })
    expect((await weigh({ mass: '84', what: 'Hull in pounds' })).statusCode).toBe(303)
    // 84 lb × 453.59237 g
    expect((await club.db.weighIn.findFirstOrThrow({ where: { what: 'Hull in pounds' } })).massG).toBe(38_102)
    expect(words((await builder.get(at())).body)).toContain('84 lb on Tue 12 May 2026')
    expect(words((await weigh({ mass: '8400' })).body)).toMatch(/8400 lb can’t be hers: by the estimate all of her weighs at most \d+ lb/)
    await club.db.club.update({ where: { id: 1 }, data: { units: 'metric' } })
  })
})
