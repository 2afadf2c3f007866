import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { excerpt, marked } from '../../../views/builds/log-words.ts'
import { logOf } from '../../../src/features/builds/public.ts'
import { asQuery, wordsOf } from '../../../src/features/builds/log/words.ts'
import { searchLog } from '../../../src/features/builds/log/queries/search.ts'
import { testClub, type Person } from '../../support/app.ts'
import { words } from './support.ts'

// 10:00 in Berlin, a Saturday.
const club = await testClub({ now: '2026-05-30T08:00:00Z' })
let builder: Person & { memberId: string }
let helper: Person & { memberId: string }
let stranger: Person & { memberId: string }
let buildId: string
let secretId: string
let taskId: string
const log = () => `/builds/${buildId}/log`
const entries = () => logOf(club.db, buildId)
const add = async (text: string, over: Record<string, string> = {}, id = buildId) => {
  const answer = await builder.post(`/builds/${id}/log`, { text, ...over })
  expect(answer.statusCode, words(answer.body).slice(0, 400)).toBe(303)
}

beforeAll(async () => {
  builder = await club.signedIn(['builder'], { name: 'Ann Tern' })
  helper = await club.signedIn(['helper'], { name: 'Ben Knot' })
  stranger = await club.signedIn(['builder'], { name: 'Cleo Loop' })
  const placeId = (await club.make.place()).id
  buildId = (await club.make.build({ name: 'Skua', placeId, startedOn: new Date('2026-03-01') }, [builder.memberId, helper.memberId])).id
  secretId = (await club.make.build({ name: 'Quiet', placeId, visibility: 'team', startedOn: new Date('2026-03-01') }, [builder.memberId])).id
  const phase = await club.make.phase(buildId)
  taskId = (await club.db.task.create({ data: { buildId, phaseId: phase.id, position: 1, name: 'Glass the bottom', kind: 'shared', workLowMin: 60, workLikelyMin: 60, workHighMin: 60 } })).id
})

describe('an entry', () => {
  test('takes one field and a button, and is of now', async () => {
    await add('Stem glued, dry fit was worth it')
    expect(await entries()).toMatchObject([{ kind: 'note', text: 'Stem glued, dry fit was worth it', by: 'Ann Tern', taskId: null, at: Date.parse('2026-05-30T08:00:00Z') / 60_000 }])
  })

  test('may be a lesson about a task, of an earlier day', async () => {
    await add('Warm the resin first', { kind: 'lesson', task: taskId, day: '2026-04-11' })
    const lesson = (await entries()).find((e) => e.kind === 'lesson')
    // 12:00 in Berlin in April is 10:00 UTC.
    expect(lesson).toMatchObject({ taskName: 'Glass the bottom', at: Date.parse('2026-04-11T10:00:00Z') / 60_000 })
    expect(await logOf(club.db, buildId, { kinds: ['lesson'], from: new Date('2026-04-11T00:00:00Z'), until: new Date('2026-04-12T00:00:00Z') })).toHaveLength(1)
    const page = words((await builder.get(log())).body)
    expect(page.indexOf('May 2026')).toBeGreaterThan(0)
    expect(page.indexOf('April 2026')).toBeGreaterThan(page.indexOf('May 2026'))
  })

  test.each([
    [{ text: '   ' }, 'Say what happened'],
    [{ text: 'x', day: '2026-05-31' }, 'still to come'],
    [{ text: 'x', day: '2020-01-01' }, 'is the year right?'],
    [{ text: 'x', day: 'yesterday' }, 'write the date as'],
    [{ text: 'x', task: '00000000-0000-4000-8000-000000000000' }, 'not there any more'],
    [{ text: 'x'.repeat(4001) }, 'At most 4000'],
  ])('%o is refused in words', async (fields, message) => {
    const before = await club.db.logEntry.count()
    const answer = await builder.post(log(), fields)
    expect([answer.statusCode, words(answer.body).includes(message)]).toEqual([422, true])
    expect(await club.db.logEntry.count()).toBe(before)
  })

  test('of another build can’t be about this one’s task', async () => {
    const answer = await builder.post(`/builds/${secretId}/log`, { text: 'x', task: taskId })
    expect(answer.statusCode).toBe(422)
  })

  test('is corrected by its writer alone, keeps how it read in the audit trail, and a stale page is told', async () => {
    await add('The seet is in')
    const entry = (await entries()).find((e) => e.text === 'The seet is in')!
    const url = `${log()}/${entry.id}`
    expect((await helper.post(url, { text: 'Mine', kind: 'note', day: '2026-05-30', version: '1' })).statusCode).toBe(403)
    expect((await builder.post(url, { text: 'The seat is in', kind: 'decision', day: '2026-05-30', version: '1' })).statusCode).toBe(303)
    // Its day was left, so its time of day was kept.
    expect((await entries()).find((e) => e.id === entry.id)).toMatchObject({ text: 'The seat is in', kind: 'decision', at: entry.at })
    expect(await club.db.auditRow.findFirst({ where: { entityId: entry.id } })).toMatchObject({ before: { text: 'The seet is in' } })
    const stale = await builder.post(url, { text: 'An old page', kind: 'note', day: '2026-05-30', version: '1' })
    expect([stale.statusCode, stale.body.includes('An old page')]).toEqual([409, true])
  })

  test('is taken back by its writer or who may change the build; a helper of the team can’t take back another’s', async () => {
    await add('Wrong boat')
    const entry = (await entries()).find((e) => e.text === 'Wrong boat')!
    expect((await helper.post(`${log()}/${entry.id}/withdraw`)).statusCode).toBe(403)
    expect((await builder.post(`${log()}/${entry.id}/withdraw`)).statusCode).toBe(303)
    expect((await entries()).some((e) => e.id === entry.id)).toBe(false)
    expect((await builder.get(`${log()}/${entry.id}`)).statusCode).toBe(404)
  })

  test('markup in it is shown as it was typed', async () => {
    await add('<script>alert(1)</script> & "quotes"')
    expect((await builder.get(log())).body).toContain('&lt;script>alert(1)&lt;/script> &amp; &quot;quotes&quot;')
  })
})

test('thirty entries stand on a page, the rest behind “Older”, and a page too far is the last', async () => {
  const other = (await club.make.build({ startedOn: new Date('2026-01-01') }, [builder.memberId])).id
  const loggedAt = club.clock.now()
  await club.db.logEntry.createMany({ data: Array.from({ length: 31 }, (_, n) => ({ buildId: other, text: `Entry ${n + 1}.`, at: new Date(Date.UTC(2026, 0, 2 + n)), byId: builder.memberId, loggedAt })) })
  const [first, second, far] = await Promise.all(['', '?page=2', '?page=9'].map(async (q) => words((await builder.get(`/builds/${other}/log${q}`)).body)))
  expect([first!.includes('Entry 31.'), first!.includes('Entry 2.'), first!.includes('Entry 1.'), first!.includes('Older')]).toEqual([true, true, false, true])
  expect([second!.includes('Entry 1.'), second!.includes('Entry 2.'), second!.includes('Newer')]).toEqual([true, false, true])
  expect(far).toContain('Page 2 of 2')
})

describe('the search', () => {
  const find = async (q: string, person = builder, more = '') => words((await person.get(`/log?q=${encodeURIComponent(q)}${more}`)).body)
  const hits = async (q: string) => (await searchLog(club.db, { id: builder.memberId, roles: ['builder'] }, { q, page: 1 })).hits.map((h) => h.text)

  beforeAll(async () => {
    await add('Void in the fillet, port/bow: filled with 0.8 kg “Höhlenmörtel”')
    await add('Void under the thwart')
    await club.db.snag.create({ data: { buildId, no: 90, what: 'Dry spot', whereAt: 'keelson aft', bad: 'looks', foundOn: new Date('2026-05-29'), foundById: builder.memberId, createdAt: club.clock.now() } })
    await add('The secret varnish', {}, secretId)
  })

  test('wants all the words, each as the beginning of one, in entries, snags and captions', async () => {
    expect(await hits('void')).toHaveLength(2)
    expect(await hits('voi THW')).toEqual(['Void under the thwart'])
    expect(await hits('oid')).toEqual([])
    expect(await hits('keels')).toEqual(['Dry spot, keelson aft'])
  })

  test.each([['port'], ['bow'], ['höhlen'], ['HÖHLEN'], ['0.8'], ['“höhlenmörtel”'], ['port/bow']])('%s finds it through slashes, points, quotes and letters of any language', async (q) => {
    expect((await hits(q)).some((text) => text.startsWith('Void in the fillet'))).toBe(true)
  })

  test.each([[`'; drop table log_entry; --`], ['%'], ['_'], ['"'], ['\\'], ['a:*b & !c | (d'], ['<->'], ['\u0000'], ['💥'], ["''''"], ['&&&'], ['x'.repeat(5000)]])('%j is looked for like any words, and breaks nothing', async (q) => {
    const before = await club.db.logEntry.count()
    expect((await builder.get(`/log?q=${encodeURIComponent(q)}`)).statusCode).toBe(200)
    expect(await club.db.logEntry.count()).toBe(before)
  })

  test('whatever is typed, what is asked of the database is well formed', async () => {
    await fc.assert(fc.asyncProperty(fc.array(fc.string({ unit: 'binary', maxLength: 40 }), { minLength: 20, maxLength: 80 }), async (typed) => {
      await club.db.$queryRaw`select to_tsquery('simple', q)::text from unnest(${typed.map((q) => asQuery(wordsOf(q)))}::text[]) q`
    }), { numRuns: 5 })
  })

  test('signs alone find nothing and say so; nothing typed lists all', async () => {
    expect(await hits('%%')).toEqual([])
    expect(await find('%%')).toContain('Signs alone can’t be looked for')
    expect((await hits('')).length).toBeGreaterThan(4)
  })

  test('finds what is on a build of the team alone only for them', async () => {
    expect(await find('varnish')).toContain('The secret varnish')
    expect(await find('varnish', stranger)).toContain('Nothing found')
    expect(await find('varnish', stranger, `&build=${secretId}`)).toContain('Nothing found')
    expect(await find('', stranger)).not.toContain('Quiet')
  })

  test('can be kept to a build and a kind; odd filters are as none', async () => {
    expect(await find('void', builder, `&build=${secretId}`)).toContain('Nothing found')
    expect(await find('', builder, '&kind=snag')).toContain('Dry spot')
    expect(await find('', builder, '&kind=snag')).not.toContain('Void under')
    expect((await builder.get('/log?kind=boat&build=7&page=-1&q=a&q=b')).statusCode).toBe(200)
    expect(await find('void', builder, '&page=99')).toContain('Void under the thwart')
  })

  test('marks what was looked for', async () => {
    expect((await builder.get('/log?q=voi')).body).toContain('<mark>Void</mark> under the thwart')
    expect(marked('A dry-spot, Dryness, sundry', ['dry']).filter((p) => p.isHit).map((p) => p.text)).toEqual(['dry', 'Dryness'])
    expect(marked('Höhle', ['hö'])).toEqual([{ text: 'Höhle', isHit: true }])
  })

  test('shows a long entry about its first hit', () => {
    const long = `${'before '.repeat(100)}needle ${'after '.repeat(100)}`
    const shown = excerpt(long, ['needle'])
    expect(shown).toContain('needle')
    expect([shown.length < 400, shown.startsWith('… '), shown.endsWith(' …')]).toEqual([true, true, true])
    expect(excerpt('short', ['x'])).toBe('short')
  })
})

test('words are letters and digits of any language, in small letters, once each', () => {
  expect(wordsOf('Bow/PORT, bow—“Höhle” 0.8 kg %')).toEqual(['bow', 'port', 'höhle', '0', '8', 'kg'])
  expect(asQuery(['bow', 'port'])).toBe('bow:* & port:*')
})
