import { beforeAll, describe, expect, test } from 'vitest'
import { check, parseProblem, plan } from '../../../src/core/schedule/index.ts'
import type { Problem } from '../../../src/core/schedule/index.ts'
import { instant, minutes } from '../../../src/core/units/index.ts'
import { loadBuildsForPlanning } from '../../../src/features/builds/public.ts'
import { loadPeople } from '../../../src/features/members/public.ts'
import { loadPlaces, loadPresence, loadResources, loadZone } from '../../../src/features/sessions/public.ts'
import { loadCureProducts } from '../../../src/features/stores/public.ts'
import { testClub, type Person } from '../../support/app.ts'
import { started, words } from './support.ts'

// Saturday 6 June 2026, 08:00 in Berlin; the session is 09:30 to 16:30.
const club = await testClub({ now: '2026-06-06T06:00:00Z' })
let builder: Person & { memberId: string }
let mate: Person & { memberId: string }
let buildId: string
let placeId: string
const taskOf = (listKey: string) => club.db.task.findFirstOrThrow({ where: { buildId, listKey } })
const pin = async (listKey: string, over: Record<string, string | string[]> = {}) =>
  builder.post(`/builds/${buildId}/tasks/${(await taskOf(listKey)).id}/pins`, { day: '2026-06-06', from: '10:00', until: '11:00', people: [builder.memberId], ...over })

beforeAll(async () => {
  builder = await club.signedIn(['builder', 'keyholder'], { name: 'Ann Tern' })
  mate = await club.signedIn(['builder'], { name: 'Ben Knot' })
  const place = await club.make.place({ bays: 2, name: 'Main floor' })
  placeId = place.id
  buildId = await started(club, builder, { placeId, team: [builder.memberId, mate.memberId] })
  for (let week = 0; week < 30; week++) {
    const date = new Date(Date.UTC(2026, 5, 6 + 7 * week))
    const session = await club.db.session.create({ data: { siteId: place.siteId, date, starts: '09:30', ends: '16:30', keyholderId: builder.memberId } })
    await club.db.attendance.create({ data: { sessionId: session.id, memberId: builder.memberId, answer: 'coming' } })
    await club.db.attendance.create({ data: { sessionId: session.id, memberId: mate.memberId, answer: 'coming', fromTime: '09:30', toTime: '13:00' } })
  }
})

const loadProblem = async (): Promise<Problem> => {
  const now = instant(club.clock.now().getTime() / 60_000)
  const w = { now, from: now, until: instant(now + 210 * 1440) }
  const builds = await loadBuildsForPlanning(club.db, w)
  const presence = await loadPresence(club.db, w)
  return {
    now, horizon: w.until, zone: await loadZone(club.db, w.from, w.until), missedWindowCost: minutes(3 * 1440), previous: [], materials: [], products: await loadCureProducts(club.db),
    people: (await loadPeople(club.db)).map((p) => ({ id: p.id, helpsAnyone: p.helpsAnyone, competences: p.competences, presence: presence.get(p.id) ?? [] })),
    places: (await loadPlaces(club.db, w)).places.map((p) => ({ ...p, lastDust: builds.lastDust.get(p.id) ?? null })), resources: await loadResources(club.db, w),
    builds: builds.builds, tasks: builds.tasks, links: builds.links, holds: builds.holds, fixed: builds.pins,
  }
}

describe('a pinned piece', () => {
  test.each<[string, string, () => Record<string, string | string[]>, string]>([
    ['in the past', 'check-plans', () => ({ from: '07:00', until: '07:30' }), 'Has begun already'],
    ['that ends before it begins', 'check-plans', () => ({ from: '12:00', until: '11:00' }), 'Ends before it begins'],
    ['of nobody', 'check-plans', () => ({ people: [] }), 'Needs at least 1 pair of hands, 0 are chosen'],
    ['when somebody has gone home', 'check-plans', () => ({ people: [mate.memberId], from: '14:00', until: '15:00' }), 'Ben Knot is expected Sat 6 Jun 09:30 to Sat 6 Jun 13:00, not for the whole piece'],
    ['on a day without a session', 'check-plans', () => ({ day: '2026-06-08' }), 'Ann Tern is not expected in Main floor that day'],
    ['too short for a task in one go', 'precoat-1', () => ({ until: '10:30', people: [builder.memberId, mate.memberId] }), 'Goes on in one go and takes 1 h 05 with 2'],
    ['shorter than its smallest piece', 'loft-panels', () => ({ until: '10:40' }), 'The smallest piece is 1 h, with set-up and clear-up 1 h 20'],
    ['of a machine that nobody of them is checked on', 'cut-bulkheads', () => ({ until: '12:00' }), 'Nobody of these is checked for “Bandsaw”'],
  ])('%s is refused with the reason', async (_what, listKey, over, message) => {
    const answer = await pin(listKey, over())
    expect(answer.statusCode, words(answer.body)).toBe(422)
    expect(words(answer.body)).toContain(message)
    expect(await club.db.pin.count()).toBe(0)
  })

  test('of somebody outside the team is refused, unless they help on any build', async () => {
    const stranger = await club.make.member(['helper'], { name: 'Cleo Plover' })
    const answer = await pin('check-plans', { people: [stranger.id] })
    expect(words(answer.body)).toContain('Cleo Plover is not in her team')
  })

  test('of somebody under age is refused: the grown-ups decide', async () => {
    const young = await club.make.member(['helper'], { name: 'Fin Stint', isMinor: true, helpsAnyone: true })
    const answer = await pin('check-plans', { people: [young.id] })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('Fin Stint is under age, and nobody under age is planned')
    expect(await club.db.pin.count()).toBe(0)
  })

  test('that can be is kept, cut to what it needs, shown, and taken off', async () => {
    const task = await taskOf('check-plans')
    // 75 minutes left, no set-up: 10:00 to 11:15, though until 13:00 was asked.
    const answer = await pin('check-plans', { until: '13:00' })
    expect(answer.statusCode, words(answer.body)).toBe(303)
    const row = await club.db.pin.findFirstOrThrow({ where: { taskId: task.id } })
    expect([row.startsAt.toISOString(), row.endsAt.toISOString()]).toEqual(['2026-06-06T08:00:00.000Z', '2026-06-06T09:15:00.000Z'])
    expect(words((await builder.get(`/builds/${buildId}`)).body)).toContain('pinned')
    const clash = await pin('cut-bulkheads', { until: '12:00' })
    expect(clash.statusCode).toBe(422)
    expect(words(clash.body)).toContain('Ann Tern is pinned to “Read the plans through, check sheets and offcuts” at that time')
    const { tasks, pins } = await loadBuildsForPlanning(club.db, { now: instant(at('2026-06-06T06:00:00Z')), from: instant(at('2026-06-06T06:00:00Z')), until: instant(at('2026-06-13T06:00:00Z')) })
    expect(tasks).toHaveLength(await club.db.task.count({ where: { buildId } }))
    expect(pins).toEqual([{ taskId: task.id, start: at('2026-06-06T08:00:00Z'), end: at('2026-06-06T09:15:00Z'), people: [builder.memberId], supervisor: null, placeId: row.placeId, why: 'pinned' }])
  })

  test('the planner takes what the loader gives, keeps the pin, and its plan passes the check', async () => {
    const problem = await loadProblem()
    const parsed = parseProblem(problem)
    expect(parsed.ok || parsed.refusal).toBe(true)
    const result = plan(problem, { seed: 1, maxSchedules: 1 })
    expect(result.ok).toBe(true)
    if (!result.ok) return
    expect(check(problem, result.value)).toEqual([])
    const pinned = result.value.pieces.filter((p) => p.fixed === 'pinned')
    expect(pinned.map((p) => [p.start, p.end])).toEqual([[at('2026-06-06T08:00:00Z'), at('2026-06-06T09:15:00Z')]])
    // Marking out waits for the plans to be read: not before 11:15.
    const loft = (await taskOf('loft-panels')).id
    expect(Math.min(...result.value.pieces.filter((p) => p.taskId === loft).map((p) => p.start))).toBeGreaterThanOrEqual(at('2026-06-06T09:15:00Z'))
  })

  test('unpinned, it is free again', async () => {
    const row = await club.db.pin.findFirstOrThrow()
    expect((await builder.post(`/builds/${buildId}/tasks/${row.taskId}/pins/${row.id}/remove`)).statusCode).toBe(303)
    expect(await club.db.pin.count()).toBe(0)
  })
})

describe('what planning is told', () => {
  test('dusty work just logged, what is finished, what is paused', async () => {
    club.clock.set('2026-06-06T10:00:00Z')
    const dusty = await taskOf('cut-panels')
    await builder.post(`/builds/${buildId}/tasks/${dusty.id}/hours`, { hours: '1' })
    const done = await taskOf('check-plans')
    await builder.post(`/builds/${buildId}/tasks/${done.id}/finish`)
    const now = instant(at('2026-06-06T10:00:00Z'))
    const told = await loadBuildsForPlanning(club.db, { now, from: now, until: instant(now + 1440) })
    expect([...told.lastDust]).toEqual([[placeId, now]])
    expect(told.tasks.find((t) => t.id === done.id)!.finished).toEqual({ start: now, end: now, coat: null })
    const { version } = await club.db.build.findUniqueOrThrow({ where: { id: buildId } })
    await builder.post(`/builds/${buildId}/pause`, { version: String(version), note: '' })
    const paused = await loadBuildsForPlanning(club.db, { now, from: now, until: instant(now + 1440) })
    expect(paused.builds.map((b) => b.paused)).toEqual([true])
    expect(paused.holds).toHaveLength(told.holds.length)
  })
})

const at = (iso: string) => Date.parse(iso) / 60_000
