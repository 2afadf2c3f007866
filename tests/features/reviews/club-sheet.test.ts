/** The club sheet: all builds' week on one page. Rows made up for this test; what is planned is kept as the planner would have kept it. */
import { beforeAll, describe, expect, it } from 'vitest'
import type { StoredPiece } from '../../../src/features/planning/public.ts'
import { clashLines, handsLines, windowLines, type Known } from '../../../src/features/reviews/club/ahead.ts'
import { launchWords, movedWords } from '../../../views/reviews/club-words.ts'
import { timeWords } from '../../../views/shared/times.ts'
import { testClub, type Person, type TestClub } from '../../support/app.ts'
import { day, textOf } from '../planning/club.ts'
import { planRows } from './plan-rows.ts'

type Signed = Person & { memberId: string }

describe('the club sheet', () => {
  let club: TestClub
  let [ann, ben] = [] as unknown as [Signed, Signed]
  let sheet = ''
  const ids: Record<string, string> = {}

  // Wednesday 3 June 2026, 8:00 in Berlin: week 23.
  beforeAll(async () => {
    club = await testClub({ now: '2026-06-03T06:00:00Z' })
    const { db, make } = club
    const rows = planRows(club)
    ann = await club.signedIn(['officer', 'keyholder'], { name: 'Ann' })
    ben = await club.signedIn(['builder'], { name: 'Ben' })
    const [cleo, dan] = [await make.member(['builder'], { name: 'Cleo' }), await make.member(['helper'], { name: 'Dan' })]
    const site = await make.site({ name: 'The shed' })
    const place = await make.place({ siteId: site.id, name: 'Main floor', bays: 2 })
    const router = await make.tool({ name: 'router' })
    const since = { placeId: place.id, startedOn: day('2026-05-04') }
    const tern = await rows.build({ name: 'Tern', ...since }, [ben.memberId])
    const skua = await rows.build({ name: 'Skua', ...since, launchTarget: day('2026-08-01') }, [ann.memberId])
    const teal = await rows.build({ name: 'Teal', ...since, visibility: 'team' }, [cleo.id])
    const idle = await rows.build({ name: 'Wigeon', ...since, state: 'paused', pausedOn: day('2026-05-20') }, [ann.memberId])
    await rows.build({ name: 'Old one', ...since, state: 'launched' }, [ann.memberId])
    Object.assign(ids, { tern: tern.id, skua: skua.id, teal: teal.id, idle: idle.id })

    const turn = await tern.task('Turn over', 30, { kind: 'together', handsFrom: 4, smallestMin: null })
    const mill = await tern.task('Mill the rails', 120)
    const foil = await teal.task('Shape the foil', 120)
    const [first, second] = [await skua.task('First fill coat', 60, { smallestMin: null }), await skua.task('Second fill coat', 60, { smallestMin: null })]
    const lift = await skua.task('Lift the mast', 20, { kind: 'together', handsFrom: 6, handsTo: 6, smallestMin: null })
    const window = await db.link.create({ data: { buildId: skua.id, fromId: first.id, toId: second.id, kind: 'window', washMin: 90 } })

    // Saturday 6 June with Ann's keys, to which two have said yes and one no; Saturday 13 June, which nobody opens yet.
    const session = (date: string, keyholderId: string | null, answers: readonly (readonly [string, 'coming' | 'not_coming'])[]) =>
      db.session.create({
        data: { siteId: site.id, date: day(date), starts: '10:00', ends: '16:00', keyholderId, attendance: { create: answers.map(([memberId, answer]) => ({ memberId, answer })) } },
      })
    await session('2026-06-06', ann.memberId, [[ann.memberId, 'coming'], [ben.memberId, 'coming'], [dan.id, 'not_coming']])
    await session('2026-06-13', null, [])

    const at = (hour: string) => `2026-06-06T${hour}:00Z`
    const until = Math.floor(Date.parse(at('10:00')) / 60_000)
    const opens = Math.floor(Date.parse('2026-06-06T20:10:00Z') / 60_000)
    const plan = await rows.plan(tern.id, [
      { taskId: turn.id, start: at('08:00'), end: at('08:30'), placeId: place.id, people: [ben.memberId, ann.memberId] },
      // The router is with Teal until noon in Berlin; Teal is her team's alone.
      { taskId: foil.id, buildId: teal.id, start: at('08:00'), end: at('10:00'), placeId: place.id, people: [cleo.id] },
      { taskId: mill.id, start: at('10:00'), end: at('12:00'), placeId: place.id, people: [ben.memberId], binding: { kind: 'resource', resourceId: router.id, taskId: foil.id, until } },
      { taskId: first.id, buildId: skua.id, start: at('13:00'), end: at('14:00'), placeId: place.id, people: [ann.memberId], binding: { kind: 'resource', resourceId: router.id, taskId: mill.id, until: until + 120 } },
    ], {
      unplanned: [{ taskId: lift.id, reason: { kind: 'hands', need: 6, most: 3 } }],
      missed: [{ linkId: window.id, opens, closes: opens + 400, why: 'chosen', washTaskId: `wash:${window.id}` }],
    })
    await db.planBuild.create({ data: { planId: plan.id, buildId: skua.id, launchAt: new Date('2026-07-25T12:00:00Z'), lateMin: 0, chain: [] } })

    // This week Tern was meant to get 9 h and has got 2 h 30: two people, 75 minutes. Last week's hours don't count.
    await db.buildWeek.createMany({ data: ['2026-06-01', '2026-05-25'].map((monday) => ({ buildId: tern.id, monday: day(monday), availableMin: 0, plannedMin: 540, leftMin: 0, launchAt: new Date('2026-07-04T10:00:00Z') })) })
    const worked = (startedAt: string, elapsedMin: number) =>
      db.workLog.create({
        data: {
          buildId: tern.id, taskId: mill.id, startedAt: new Date(startedAt), elapsedMin, workedMin: elapsedMin, loggedBy: ben.memberId, loggedAt: club.clock.now(),
          people: { create: [{ memberId: ben.memberId }, { memberId: ann.memberId }] },
        },
      })
    await worked('2026-06-02T17:00:00Z', 75)
    await worked('2026-05-30T10:00:00Z', 120)
    const wrong = await worked('2026-06-02T18:00:00Z', 60)
    await db.workLog.create({ data: { buildId: tern.id, taskId: mill.id, startedAt: wrong.startedAt, elapsedMin: 60, workedMin: 60, loggedBy: ben.memberId, loggedAt: club.clock.now(), reversesId: wrong.id } })

    // Seen now, for Skua: even by 18 July, four in five by 8 August, a week later than the week before.
    await db.forecast.create({
      data: {
        planId: plan.id, buildId: skua.id, madeAt: club.clock.now(), runs: 2000, p50At: new Date('2026-07-18T12:00:00Z'), p80At: new Date('2026-08-08T12:00:00Z'), targetOn: day('2026-08-01'), targetChance: 0.72,
        drivers: {}, catchUp: {}, inputs: {}, step: { minutes: 7 * 1440, parts: [] }, tookMs: 1,
      },
    })
    const found = { foundOn: day('2026-06-01'), foundById: ann.memberId, createdAt: club.clock.now() }
    await db.snag.createMany({
      data: [
        { buildId: tern.id, no: 1, what: 'dry spot', whereAt: 'bow', bad: 'stop', ...found }, { buildId: tern.id, no: 2, what: 'run', whereAt: 'transom', bad: 'looks', ...found },
        { buildId: tern.id, no: 3, what: 'blush', whereAt: '', bad: 'stop', ...found, closedOn: day('2026-06-02'), closedBy: ann.memberId }, { buildId: teal.id, no: 1, what: 'hidden void', whereAt: 'keel', bad: 'stop', ...found },
      ],
    })
    // 500 g of wood flour are there, 800 g are wanted on Saturday.
    const item = await make.item({ name: 'Wood flour', leadDays: 2 })
    await make.lot({ itemId: item.id, qty: 500_000, on: '2026-05-20' })
    await db.planNeed.create({ data: { planId: plan.id, taskId: mill.id, itemId: item.id, buildId: tern.id, structural: true, amountMilli: 800_000n, wantedAt: new Date(at('10:00')), coveredAt: new Date(at('10:00')), shortMilli: 300_000n } })
    // Last week Skua's review is signed, Tern's is drafted.
    const review = { monday: day('2026-05-25'), no: 4, draftedBy: ann.memberId, draftedAt: club.clock.now() }
    await db.weekReview.create({
      data: { ...review, buildId: skua.id, state: 'signed', facts: { headline: 'A quiet week' }, edits: { headline: 'She has her second skin' }, signedBy: ann.memberId, signedAt: club.clock.now() },
    })
    await db.weekReview.create({ data: { ...review, buildId: tern.id } })
    const answer = await ben.get('/club-sheet')
    expect(answer.statusCode).toBe(200)
    sheet = textOf(answer.body)
  })

  it('says of each build hours done and meant, the launch in short and what is next', () => {
    expect(sheet).toContain('Club sheet, week 23')
    // Tern 2.5 of 9 h; Skua has no kept week: the plan gives her Ann's hour on Saturday. 2.5 of 10 in all.
    expect(sheet).toContain('1 Jun to 7 Jun: 3 builds, 2.5 h done so far of 10 h meant.')
    expect(sheet).toContain('Tern 2.5 of 9 h meant no date yet Sat: Turn over · Sat: Mill the rails')
    expect(sheet).toContain('Skua 0 of 1 h meant even chance by 18 Jul, four in five by 8 Aug; wanted by 1 Aug (7 chances in 10); a week later than the week before Sat: First fill coat')
    expect(sheet).toContain('Wigeon paused she rests nobody can say while she rests –')
  })
  it('says who needs hands, and who opens', () => {
    expect(sheet).toContain('Tern : Turn over, Sat, takes 4 at once; 2 have said so far that they come')
    expect(sheet).toContain('Skua : Lift the mast takes 6 at once, and never more than 3 are there together')
    expect(sheet).toContain('Nobody opens yet Session Sat 13 Jun 10:00')
  })
  it('says what clashes, without a name for a build that the reader may not see', async () => {
    expect(sheet).toContain('Tern : Mill the rails, Sat 12:00, waits for the router: another build has it until then')
    expect(sheet).toContain('Skua : First fill coat, Sat 15:00, waits for the router: Tern (Mill the rails) has it until Sat 14:00')
    expect(sheet).not.toMatch(/Teal|foil|hidden void/)
    const seen = textOf((await ann.get('/club-sheet')).body)
    expect(seen).toContain('Teal (Shape the foil) has it until then')
    expect(seen).toContain('hidden void')
  })
  it('says which windows open while nobody is there, what runs out and what snags hold up work', () => {
    // From 22:10 for 400 minutes: 4:50 on Sunday.
    expect(sheet).toContain('Skua : Second fill coat: opens Sat 22:10, shuts Sun 04:50; nobody is there, so it is washed and sanded first')
    expect(sheet).toMatch(/Wood flour: runs out Sat, 300 g missing for Tern: Mill the rails; order 300 g by (Wed|Thu|Fri|Sat)|Wood flour: runs out Sat, 300 g missing for Tern: Mill the rails; order 300 g now/)
    expect(sheet).toContain('Tern : no. 1, dry spot, bow: nothing goes on until it is mended')
    expect(sheet).not.toMatch(/no\. 2|no\. 3/)
  })
  it('asks for the reviews of last week that nobody has signed', () => {
    expect(sheet).toMatch(/Last week’s reviews to sign Tern : drafted, to be read and signed/)
    expect(sheet).not.toMatch(/to sign.*Skua/)
  })
  it('tells a past week by what was kept of it', async () => {
    const past = textOf((await ben.get('/club-sheet?week=2026-W22')).body)
    // 30 May: two people, two hours.
    expect(past).toContain('25 May to 31 May: 3 builds, 4 h done of 9 h meant.')
    expect(past).toContain('Tern 4 of 9 h meant as planned 4 Jul Review, not signed yet')
    expect(past).toContain('She has her second skin. Review')
    expect(past).not.toMatch(/Needs hands|Clashes|Runs out/)
    // Her builds began on 4 May, week 19: there is nothing before.
    const first = textOf((await ben.get('/club-sheet?week=2026-W19')).body)
    expect([past.includes('The week before'), first.includes('The week before')]).toEqual([true, false])
  })
  it('tells a week ahead by the plan, and answers what is no week with this one', async () => {
    expect(textOf((await ben.get('/club-sheet?week=2026-W24')).body)).toContain('nothing planned')
    const odd = await ben.get('/club-sheet?week=2026-W54')
    expect(odd.statusCode).toBe(422)
    expect(textOf(odd.body)).toContain('“2026-W54” is no week: write it as 2026-W24.')
    expect(textOf(odd.body)).toContain('Club sheet, week 23')
  })
  it('is found from the noticeboard and the builds, and asks who is signed out to sign in', async () => {
    expect((await ben.get('/')).body).toContain('href="/club-sheet"')
    expect((await ben.get('/builds')).body).toContain('href="/club-sheet"')
    expect((await club.signedOut.get('/club-sheet')).statusCode).toBe(303)
  })
})

describe('what the club talks about', () => {
  const task = (id: string, buildId: string, handsFrom = 1, kind = 'shared') => [id, { id, name: `Task ${id}`, buildId, kind, handsFrom }] as const
  const known: Known = {
    builds: new Map([['A', 'Avocet'], ['B', 'Bittern']]), tasks: new Map([task('a', 'A'), task('a2', 'A'), task('b', 'B'), task('big', 'B', 3), task('x', 'hidden')]),
    links: new Map([['l', { fromId: 'a', toId: 'a2' }]]), holds: new Map([['h', { buildId: 'B' }]]),
    names: { tools: new Map([['t', 'bandsaw']]), places: new Map([['p', 'tent']]), competences: new Map() }, siteOf: new Map([['p', 's']]),
    doors: [{ start: 100, end: 400, siteId: 's', said: 2 }, { start: 2000, end: 2300, siteId: 's', said: 3 }],
  }
  const piece = (taskId: string, buildId: string, start: number, end: number, binding: StoredPiece['binding'] = { kind: 'now' }, over: Partial<StoredPiece> = {}): StoredPiece =>
    ({ pieceId: `${taskId}/1`, buildId, taskId, start, end, people: [], supervisor: null, placeId: 'p', fixed: null, projected: false, binding, float: 0, freeFloat: 0, ...over })

  it('tells a window that opens while the shed is shut, and why one is let go', () => {
    const lines = (met: { linkId: string; opens: number; closes: number | null }[], missed: Parameters<typeof windowLines>[1]['missed'] = [], start = 2010) =>
      windowLines(known, { met, missed, pieces: [piece('a2', 'A', start, start + 50)] }, 50, 20_000).map((w) => [w.task, w.why, w.start])
    expect(lines([{ linkId: 'l', opens: 900, closes: 2100 }])).toEqual([['Task a2', 'met', 2010]])
    // It opens within the session that meets it: that session's sheet has it.
    expect(lines([{ linkId: 'l', opens: 2005, closes: 2500 }])).toEqual([])
    const gone = (opens: number, closes: number | null, why: 'chosen' | 'no-window' | 'fact' = 'chosen') => lines([], [{ linkId: 'l', opens, closes, why }])
    expect([gone(500, 1900), gone(500, 2100), gone(900, 600, 'no-window')]).toEqual([[['Task a2', 'nobody', null]], [['Task a2', 'let-go', null]], [['Task a2', 'none', null]]])
    // Shut for good already, or a fact that the wash is a task of by now.
    expect([gone(10, 40), gone(500, 1900, 'fact')]).toEqual([[], []])
  })
  it('tells each pair of builds and thing once, and nothing of a build’s own waits', () => {
    const has = (resourceId: string, taskId: string | null) => ({ kind: 'resource', resourceId, taskId, until: 150 }) as StoredPiece['binding']
    const pieces = [
      piece('a', 'A', 150, 200, has('t', 'b')), piece('a2', 'A', 220, 300, has('t', 'b')), piece('b', 'B', 310, 320, has('t', 'big')), piece('big', 'B', 100, 150, { kind: 'place', placeId: 'p', until: 300 } as StoredPiece['binding']),
      piece('a', 'A', 330, 340, has('bay:p', 'h')), piece('x', 'hidden', 350, 360, has('t', 'a')),
    ]
    expect(clashLines(known, pieces).map((c) => [c.build, c.task, c.what, c.name, c.other, c.otherTask])).toEqual([
      ['Avocet', 'Task a', 'tool', 'bandsaw', 'Bittern', 'Task b'],
      // Whose piece in the tent ends at 300: Avocet's.
      ['Bittern', 'Task big', 'place', 'tent', 'Avocet', 'Task a2'],
      ['Avocet', 'Task a', 'bay', 'tent', 'Bittern', null],
    ])
  })
  it('asks for hands where fewer have said yes than it takes', () => {
    expect(handsLines(known, [piece('big', 'B', 110, 140)], []).map((h) => [h.task, h.need, h.said])).toEqual([['Task big', 3, 2]])
    expect(handsLines(known, [piece('big', 'B', 2010, 2040)], [])).toEqual([])
    expect(handsLines(known, [piece('big', 'B', 110, 140, { kind: 'now' }, { projected: true })], [])).toEqual([])
  })
  it('says what is not known as not known', () => {
    const times = timeWords({ zone: 'UTC', locale: 'en-GB' }, new Date('2026-06-03T06:00:00Z'))
    const line = { state: 'active', launch: null, plannedLaunch: null } as Parameters<typeof launchWords>[1]
    const launch = { p50: null, p80: null, targetOn: null, targetChance: null, movedMin: null }
    expect([launchWords(times, line), launchWords(times, { ...line, launch })]).toEqual(['no date yet', 'later than can be foreseen'])
    expect(launchWords(times, { ...line, launch: { ...launch, p50: Date.UTC(2026, 6, 4) / 60_000 } })).toBe('even chance by 4 Jul, how late it may get can’t be foreseen')
    expect([1440, 3 * 1440, -7 * 1440, 20 * 1440].map(movedWords)).toEqual([null, '3 days later than the week before', 'a week earlier than the week before', '3 weeks later than the week before'])
  })
})
