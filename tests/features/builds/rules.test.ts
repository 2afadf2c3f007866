import { beforeAll, describe, expect, test } from 'vitest'
import { coefficientAbout, defaultCoefficients } from '../../../src/core/estimate/index.ts'
import { figureFault, orderFault, readFigure } from '../../../src/features/builds/facts/figure-text.ts'
import { loadCoefficients } from '../../../src/features/builds/queries/coefficients.ts'
import { testClub, type Person } from '../../support/app.ts'
import { started, words } from './support.ts'

const about = (key: string) => coefficientAbout.get(key)!
const read = (text: string, key = 'sealFirst', end: 'low' | 'likely' | 'high' = 'likely') => readFigure(text, about(key), end)
const message = (text: string, key?: string) => {
  const r = read(text, key)
  return r.ok ? `read as ${r.value}` : r.message
}

describe('a figure as it is typed', () => {
  test.each<[string, string, number]>([
    ['140', 'sealFirst', 140], ['140 g/m²', 'sealFirst', 140], ['140 g/m2', 'sealFirst', 140], ['122,5', 'sealNext', 122.5], ['.43', 'glassFraction.some', 0.43],
    ['43 %', 'glassFraction.some', 0.43], ['15%', 'epoxyWaste.some', 0.15], ['0', 'epoxyWaste.some', 0], ['1.12 g/cm³', 'epoxyDensity', 1.12],
  ])('“%s” is read', (text, key, value) => {
    const r = read(text, key)
    expect(r.ok && r.value).toBeCloseTo(value, 9)
  })

  test.each<[string, string, string]>([
    ['1', 'glassFraction.some', 'a share of glass by mass, between 0.2 and 0.75: 1 would be glass without resin'],
    ['100 %', 'glassFraction.first', '1 would be glass without resin'],
    ['0', 'glassFraction.some', '0 would be resin without glass'],
    ['43', 'glassFraction.some', '43 % is written 0.43'],
    ['-20', 'sealFirst', 'is below nothing'],
    ['4 oz', 'sealFirst', 'As ounces a square yard it would be 136 g/m²'],
    ['6 oz/yd²', 'fillCoat', 'it would be 203 g/m²'],
    ['140 ml', 'sealFirst', 'not in “ml”'],
    ['lots', 'sealFirst', '“lots” is not a number'],
    ['', 'sealFirst', 'fill this in'],
    ['5000', 'sealFirst', 'between 20 and 600 g/m²'],
    ['1e9', 'sealFirst', 'not in “e9”'],
    ['9', 'epoxyDensity', 'Density of mixed epoxy: “9” can’t be: between 0.9 and 1.5 g/cm³'],
  ])('“%s” for %s is refused', (text, key, said) => {
    expect(message(text, key)).toContain(said)
  })

  test('has ends that rise, or is told at which end they don’t', () => {
    expect(orderFault({ low: 1, likely: 2, high: 2 })).toBeNull()
    expect(orderFault({ low: 3, likely: 2, high: 4 })).toEqual({ end: 'low', message: 'Low: 3 is above the likely 2' })
    expect(orderFault({ low: 1, likely: 5, high: 4 })).toEqual({ end: 'high', message: 'High: 4 is below the likely 5' })
  })

  test('as it is by default can be typed for every figure there is', () => {
    for (const [key, told] of coefficientAbout) {
      const [first, second] = key.split('.') as [keyof typeof defaultCoefficients, string | undefined]
      const at = defaultCoefficients[first] as unknown
      const value = (second === undefined ? at : (at as Record<string, unknown>)[second]) as number | { low: number; likely: number; high: number }
      const ends = typeof value === 'number' ? { low: value, likely: value, high: value } : value
      expect(figureFault(told, ends), key).toBeNull()
      for (const end of ['low', 'likely', 'high'] as const) expect(readFigure(String(ends[end]), told, end), key).toEqual({ ok: true, value: ends[end] })
    }
  })
})

const club = await testClub()
let keeper: Person & { memberId: string }
let builder: Person & { memberId: string }
beforeAll(async () => {
  keeper = await club.signedIn(['storekeeper'])
  builder = await club.signedIn(['builder'])
})
const typed = (over: Record<string, string> = {}) => ({ low: '110', likely: '150', high: '210', note: 'Twelve offcuts weighed', stored: '0', ...over })

describe('the rules of the estimate', () => {
  test('are shown to every member with formula, figures, units and source, and changed by officers and storekeepers alone', async () => {
    const page = words((await builder.get('/estimate-rules')).body)
    expect(page).toContain('glass × (1 − ψ) ÷ ψ')
    expect(page).toContain('140 g/m² (100 to 200)')
    expect(page).toContain('0.43 of the mass (0.36 to 0.5)')
    expect(page).toContain('15 % on top (10 to 20)')
    expect(page).toContain('Nothing was weighed yet')
    expect((await builder.get('/estimate-rules/sealFirst')).statusCode).toBe(403)
    expect((await builder.post('/estimate-rules/sealFirst', typed())).statusCode).toBe(403)
    expect((await club.signedOut.get('/estimate-rules')).statusCode).toBe(303)
    expect((await keeper.get('/estimate-rules/sealFirst')).statusCode).toBe(200)
    expect((await keeper.get('/estimate-rules/nonsense')).statusCode).toBe(404)
    expect((await keeper.post('/estimate-rules/nonsense', typed())).statusCode).toBe(404)
  })

  test('take a figure of the club’s own, say so, and go back to the usual one', async () => {
    const saved = await keeper.post('/estimate-rules/sealFirst', typed())
    expect(saved.statusCode, words(saved.body)).toBe(303)
    expect((await loadCoefficients(club.db)).sealFirst).toEqual({ low: 110, likely: 150, high: 210 })
    const page = words((await keeper.get('/estimate-rules')).body)
    expect(page).toContain('150 g/m² (110 to 210)')
    expect(page).toContain('Twelve offcuts weighed')
    expect(page).toContain('Usual: 140 g/m² (100 to 200)')
    expect(await club.db.auditRow.count({ where: { entity: 'estimate_rule', entityId: 'sealFirst' } })).toBe(1)
    expect((await keeper.post('/estimate-rules/sealFirst/usual', {})).statusCode).toBe(303)
    expect(await loadCoefficients(club.db)).toEqual(defaultCoefficients)
  })

  test('refuse what can’t be at its field, keep what was typed and change nothing', async () => {
    for (const [key, fields, said] of [
      ['glassFraction.some', { low: '0.4', likely: '0.5', high: '1' }, 'High: “1” can’t be: a share of glass by mass, between 0.2 and 0.75: 1 would be glass without resin'],
      ['glassFraction.some', { low: '0', likely: '0.5', high: '0.6' }, 'Low: “0” can’t be'],
      ['sealNext', { low: '160', likely: '120', high: '200' }, 'Low: 160 is above the likely 120'],
      ['sealNext', { low: '-80', likely: '120', high: '160' }, 'Low: “-80” is below nothing'],
      ['sealNext', { low: '80', likely: '4 oz', high: '160' }, 'Likely: “4 oz”: this is in g/m²'],
    ] as const) {
      const refused = await keeper.post(`/estimate-rules/${key}`, typed(fields))
      expect(refused.statusCode).toBe(422)
      expect(words(refused.body)).toContain(said)
      expect(refused.body).toContain(`value="${fields.likely}"`)
    }
    expect(await club.db.estimateRule.count()).toBe(0)
  })

  test('keep one figure for a density', async () => {
    const saved = await keeper.post('/estimate-rules/epoxyDensity', { likely: '1,12', stored: '0' })
    expect(saved.statusCode, words(saved.body)).toBe(303)
    expect((await loadCoefficients(club.db)).epoxyDensity).toBe(1.12)
  })

  test('show what is stored meanwhile to whoever saves an old page', async () => {
    await keeper.post('/estimate-rules/glueLine', typed({ low: '300', likely: '360', high: '420' }))
    const late = await keeper.post('/estimate-rules/glueLine', typed({ low: '310', likely: '390', high: '450' }))
    expect(late.statusCode).toBe(409)
    expect(words(late.body)).toContain('Stored meanwhile: 360')
    expect((await loadCoefficients(club.db)).glueLine.likely).toBe(360)
    expect((await keeper.post('/estimate-rules/glueLine', typed({ low: '310', likely: '390', high: '450', stored: '1' }))).statusCode).toBe(303)
    expect((await loadCoefficients(club.db)).glueLine.likely).toBe(390)
  })

  test('leave out a stored figure that no rule can work with', async () => {
    await club.db.estimateRule.createMany({ data: [{ key: 'discs', low: 1, likely: 2, high: 5000 }, { key: 'longGone', low: 1, likely: 2, high: 3 }] })
    expect((await loadCoefficients(club.db)).discs).toEqual(defaultCoefficients.discs)
  })
})

describe('what was learnt', () => {
  test('is switched off and on by rule and hands, and only by who keeps the rules', async () => {
    const off = { rule: 'wet-out', skill: 'first', use: 'no' }
    expect((await builder.post('/estimate-rules/learnt', off)).statusCode).toBe(403)
    expect((await keeper.post('/estimate-rules/learnt', off)).statusCode).toBe(303)
    expect((await keeper.post('/estimate-rules/learnt', off)).statusCode).toBe(303)
    expect(await club.db.learnedOff.findMany()).toEqual([{ ruleKey: 'wet-out', skill: 'first' }])
    expect((await keeper.post('/estimate-rules/learnt', { ...off, use: 'yes' })).statusCode).toBe(303)
    expect(await club.db.learnedOff.count()).toBe(0)
    expect((await keeper.post('/estimate-rules/learnt', { ...off, rule: 'nonsense' })).statusCode).toBe(422)
    expect((await keeper.post('/estimate-rules/learnt', { ...off, skill: 'wizard' })).statusCode).toBe(422)
  })
})

describe('a build that is worked out anew', () => {
  test('takes the club’s figures into tasks that nobody began, and leaves the others', async () => {
    const buildId = await started(club, builder)
    const rows = () => club.db.taskMaterial.findMany({ where: { task: { buildId }, ruleKey: 'seal-first' }, include: { task: { select: { finishedAt: true } } }, orderBy: { id: 'asc' } })
    const before = await rows()
    expect(before.length).toBeGreaterThan(1)
    await club.db.task.update({ where: { id: before[0]!.taskId }, data: { startedAt: club.clock.now(), finishedAt: club.clock.now() } })
    // Twice as thirsty: 140 g/m² become 280.
    expect((await keeper.post('/estimate-rules/sealFirst', typed({ low: '200', likely: '280', high: '400', stored: '0' }))).statusCode).toBe(303)
    expect(await rows()).toEqual(before.map((b, i) => (i === 0 ? { ...b, task: { finishedAt: club.clock.now() } } : b)))
    const officer = await club.signedIn(['officer'])
    expect(words((await officer.get('/estimate-rules')).body)).toContain('Sanderling Work out anew')
    expect((await keeper.post(`/builds/${buildId}/measurements/again`, {})).statusCode).toBe(403)
    const done = await builder.post(`/builds/${buildId}/measurements/again`, {})
    expect(done.statusCode, words(done.body)).toBe(303)
    const after = await rows()
    expect(after[0]!.likely).toBe(before[0]!.likely)
    for (const [i, row] of after.entries()) if (i > 0) expect(row.likely / before[i]!.likely).toBeCloseTo(2, 2)
  })
})
