import { describe, expect, test } from 'vitest'
import { instant, type Instant } from '../../../src/core/units/index.ts'
import { comingSessions, loadPlaces, loadPresence, loadResources, loadZone } from '../../../src/features/sessions/public.ts'
import { testDatabase } from '../../support/db.ts'
import { maker } from '../../support/make.ts'
import { at } from '../../support/zones.ts'

// Europe/Berlin. Now: Monday 12 October 2026, 08:00 UTC. Berlin leaves summer time on Sunday, 25 October (EU rule).
const NOW = at('2026-10-12T08:00Z')
const { prisma: db } = await testDatabase()
const make = maker(db, new Date(NOW * 60_000))
const date = (iso: string) => new Date(`${iso}T00:00:00Z`)
const w = (from: Instant, until: Instant) => ({ now: NOW, from, until })
const YEARS = 800 * 1440

await make.club()
const site = await make.site()
const home = await make.site()
const key = await make.member(['keyholder'], { name: 'Kim' })
const ann = await make.member(['builder'], { name: 'Ann' })
const ben = await make.member(['builder'], { name: 'Ben' })
await db.site.update({ where: { id: home.id }, data: { kind: 'home', memberId: ben.id } })
const series = await db.series.create({
  data: { siteId: site.id, name: 'Saturday', weekday: 6, starts: '10:00', ends: '16:00', fromOn: date('2026-10-17'), untilOn: date('2026-10-24'), keyholderId: key.id },
})
const session = (day: string, over: object = {}) =>
  db.session.create({ data: { siteId: site.id, seriesId: series.id, date: date(day), starts: '10:00', ends: '16:00', keyholderId: key.id, ...over } })
const first = await session('2026-10-17')
const second = await session('2026-10-24')
await db.usualAttendance.create({ data: { memberId: ann.id, siteId: site.id, weekday: 6, fromTime: '11:00', toTime: '15:00' } })
const of = async (id: string, from = NOW, until: Instant = at('2026-11-30T00:00Z')) => (await loadPresence(db, w(from, until))).get(id) ?? []
const change = async (id: string, data: object) => db.session.update({ where: { id }, data })

describe('presence', () => {
  test('of usual hours keeps its local times over the change of clocks, entered and assumed', async () => {
    const rows = (await of(ann.id)).slice(0, 3)
    expect(rows).toEqual([
      // 11:00–15:00 in summer time are 09:00–13:00 UTC,
      { start: at('2026-10-17T09:00Z'), end: at('2026-10-17T13:00Z'), siteId: site.id, sessionId: first.id, projected: false },
      { start: at('2026-10-24T09:00Z'), end: at('2026-10-24T13:00Z'), siteId: site.id, sessionId: second.id, projected: false },
      // in winter time, a week after the change, 10:00–14:00 UTC.
      { start: at('2026-10-31T10:00Z'), end: at('2026-10-31T14:00Z'), siteId: site.id, sessionId: null, projected: true },
    ])
  })

  test('is assumed for 104 weeks beyond the last entered session, not more', async () => {
    const rows = (await of(ann.id, NOW, instant(NOW + YEARS))).filter((r) => r.projected)
    expect(rows).toHaveLength(104)
    // 24 October 2026 + 728 days is 21 October 2028, still summer time.
    expect(rows.at(-1)?.start).toBe(at('2028-10-21T09:00Z'))
  })

  test('of an answer wins over what is usual, and ends when somebody leaves', async () => {
    await db.attendance.create({ data: { sessionId: first.id, memberId: ann.id, answer: 'coming', fromTime: '12:00', toTime: null } })
    expect((await of(ann.id))[0]).toMatchObject({ start: at('2026-10-17T10:00Z'), end: at('2026-10-17T14:00Z') })
    const keys = { sessionId_memberId: { sessionId: first.id, memberId: ann.id } }
    await db.attendance.update({ where: keys, data: { cameAt: new Date('2026-10-17T10:05Z'), leftAt: new Date('2026-10-17T11:30Z') } })
    expect((await of(ann.id))[0]).toMatchObject({ start: at('2026-10-17T10:00Z'), end: at('2026-10-17T11:30Z') })
    await db.attendance.update({ where: keys, data: { answer: 'not_coming', cameAt: null, leftAt: null } })
    expect((await of(ann.id))[0]?.sessionId).toBe(second.id)
    await db.attendance.deleteMany()
  })

  test('of somebody ticked as here counts though they had said no', async () => {
    await db.attendance.create({ data: { sessionId: first.id, memberId: ben.id, answer: 'not_coming', cameAt: new Date('2026-10-17T08:30Z') } })
    expect((await of(ben.id))[0]).toMatchObject({ start: at('2026-10-17T08:00Z'), end: at('2026-10-17T14:00Z') })
    await db.attendance.deleteMany()
  })

  test('counts only while a keyholder is there: nobody named, nobody’s hours', async () => {
    await change(first.id, { keyholderId: null })
    expect((await of(ann.id))[0]?.sessionId).toBe(second.id)
    // Kim comes from 13:00 without the duty: from then on Ann counts.
    await db.attendance.create({ data: { sessionId: first.id, memberId: key.id, answer: 'coming', fromTime: '13:00' } })
    expect((await of(ann.id))[0]).toMatchObject({ start: at('2026-10-17T11:00Z'), end: at('2026-10-17T13:00Z') })
    await db.attendance.deleteMany()
    await change(first.id, { keyholderId: key.id })
  })

  test('under a keyholder who lost the role, or left, does not count', async () => {
    await db.member.update({ where: { id: key.id }, data: { roles: ['builder'] } })
    expect(await of(ann.id)).toEqual([])
    await db.member.update({ where: { id: key.id }, data: { roles: ['keyholder'], isActive: false } })
    expect(await of(ann.id)).toEqual([])
    await db.member.update({ where: { id: key.id }, data: { isActive: true } })
    expect(await of(ann.id)).not.toEqual([])
  })

  test('of a cancelled session is nothing; the rhythm goes on after it', async () => {
    await change(second.id, { state: 'cancelled' })
    expect((await of(ann.id)).map((r) => r.start)).toEqual(expect.arrayContaining([at('2026-10-17T09:00Z'), at('2026-10-31T10:00Z')]))
    expect((await of(ann.id)).some((r) => r.start === at('2026-10-24T09:00Z'))).toBe(false)
    await change(second.id, { state: 'planned' })
  })

  test('not answered counts for nothing when the club says so, but assumed sessions count', async () => {
    await db.club.update({ where: { id: 1 }, data: { countUsual: false } })
    expect((await of(ann.id))[0]).toMatchObject({ projected: true, start: at('2026-10-31T10:00Z') })
    await db.club.update({ where: { id: 1 }, data: { countUsual: true } })
  })

  test('of own hours at home needs no keyholder and ends with its last day', async () => {
    const own = await db.ownHours.create({ data: { memberId: ben.id, siteId: home.id, weekday: 2, fromTime: '19:00', toTime: '24:00', fromOn: date('2026-10-13'), untilOn: date('2026-10-27') } })
    expect((await of(ben.id)).map((r) => [r.start, r.end, r.siteId, r.projected])).toEqual([
      [at('2026-10-13T17:00Z'), at('2026-10-13T22:00Z'), home.id, false],
      [at('2026-10-20T17:00Z'), at('2026-10-20T22:00Z'), home.id, false],
      // 27 October: winter time, and beyond the last entered session.
      [at('2026-10-27T18:00Z'), at('2026-10-27T23:00Z'), home.id, true],
    ])
    await db.ownHours.delete({ where: { id: own.id } })
  })

  test('asked from long ago assumes nothing that is over', async () => {
    await db.session.update({ where: { id: first.id }, data: { date: date('2026-09-05') } })
    await db.session.update({ where: { id: second.id }, data: { date: date('2026-09-12') } })
    const rows = await of(ann.id, instant(NOW - 60 * 1440))
    expect(rows.map((r) => r.start).slice(0, 3)).toEqual([at('2026-09-05T09:00Z'), at('2026-09-12T09:00Z'), at('2026-10-17T09:00Z')])
    await db.session.update({ where: { id: second.id }, data: { date: date('2026-10-24') } })
    await db.session.update({ where: { id: first.id }, data: { date: date('2026-10-17') } })
  })
})

describe('the zone', () => {
  test('of the club changes its offset at 01:00 UTC on 25 October 2026', async () =>
    expect(await loadZone(db, NOW, at('2026-11-30T00:00Z'))).toEqual([{ from: NOW, offset: 120 }, { from: at('2026-10-25T01:00Z'), offset: 60 }]))
})

describe('tools and bays', () => {
  const capacity = async (id: string) => (await loadResources(db, w(NOW, at('2026-12-31T00:00Z')))).find((r) => r.id === id)

  test('are there from the midnight they arrive, fewer while some are out', async () => {
    const tool = await make.tool({ count: 5, arrivesOn: date('2026-10-20'), siteId: site.id })
    await db.toolOutage.create({ data: { toolId: tool.id, count: 2, fromOn: date('2026-10-24'), toOn: date('2026-10-26'), why: 'lent' } })
    await db.toolOutage.create({ data: { toolId: tool.id, count: 4, fromOn: date('2026-10-26'), toOn: null, why: 'broken' } })
    expect(await capacity(tool.id)).toEqual({
      id: tool.id,
      siteId: site.id,
      capacity: [
        { from: NOW, count: 0 },
        { from: at('2026-10-19T22:00Z'), count: 5 },
        { from: at('2026-10-23T22:00Z'), count: 3 },
        // The 26th begins in winter time. 5 − 2 − 4 is less than nothing: none.
        { from: at('2026-10-25T23:00Z'), count: 0 },
        // After the 26th the two lent ones are back: 5 − 4.
        { from: at('2026-10-26T23:00Z'), count: 1 },
      ],
    })
  })

  test('given up are none', async () => {
    const tool = await make.tool({ count: 5, isActive: false })
    expect((await capacity(tool.id))?.capacity).toEqual([{ from: NOW, count: 0 }])
  })

  test('of a place are its bays', async () => {
    const place = await make.place({ siteId: site.id, bays: 3 })
    expect(await capacity(`bay:${place.id}`)).toEqual({ id: `bay:${place.id}`, siteId: site.id, capacity: [{ from: NOW, count: 3 }] })
  })
})

describe('places', () => {
  const until = at('2026-10-20T00:00Z')
  const loaded = async (id: string) => (await loadPlaces(db, w(NOW, until))).places.find((p) => p.id === id)!
  const airAt = (place: Awaited<ReturnType<typeof loaded>>, t: Instant) => [...place.climate].reverse().find((s) => s.from <= t)!.value.air

  test('are heated from before a session to its end, an assumed one too', async () => {
    const place = await make.place({ siteId: site.id, monthlyAir: Array<number>(12).fill(5), monthlyDew: Array<number>(12).fill(0), heatTo: 18, heatBeforeMin: 120 })
    const here = await loaded(place.id)
    // The session of 17 October is 08:00–14:00 UTC; heated from 06:00.
    expect([airAt(here, at('2026-10-17T05:59Z')), airAt(here, at('2026-10-17T06:00Z')), airAt(here, at('2026-10-17T13:59Z')), airAt(here, at('2026-10-17T14:00Z'))]).toEqual([5, 18, 18, 5])
    const far = (await loadPlaces(db, w(NOW, at('2026-12-01T00:00Z')))).places.find((p) => p.id === place.id)!
    // 28 November is an assumed Saturday in winter time: 09:00 UTC.
    expect(airAt(far, at('2026-11-28T10:00Z'))).toBe(18)
    await change(first.id, { state: 'cancelled' })
    expect(airAt(await loaded(place.id), at('2026-10-17T10:00Z'))).toBe(5)
    await change(first.id, { state: 'planned' })
  })

  test('read off a thermometer follow the reading', async () => {
    const place = await make.place({ siteId: home.id, monthlyAir: Array<number>(12).fill(10), monthlyDew: Array<number>(12).fill(0) })
    await db.placeReading.create({ data: { placeId: place.id, at: new Date((NOW - 60) * 60_000), air: 14 } })
    const here = await loaded(place.id)
    // 4 °C above the model, an hour ago and fading over 12 hours: still more than 3 °C above it.
    expect(airAt(here, NOW)).toBeGreaterThan(13)
    expect(airAt(here, instant(NOW + 12 * 60))).toBe(10)
  })

  test('say when they are shut; one given up is shut throughout, and still there for what cures in it', async () => {
    const shut = await make.place({ siteId: site.id, settleMin: 90 })
    await db.placeClosure.create({ data: { placeId: shut.id, starts: new Date('2026-10-14T06:00Z'), ends: new Date('2026-10-15T06:00Z'), why: 'floor painted' } })
    const gone = await make.place({ siteId: site.id, isActive: false })
    expect(await loaded(shut.id)).toMatchObject({ closures: [{ start: at('2026-10-14T06:00Z'), end: at('2026-10-15T06:00Z') }], settle: 90, surfaceOffset: -2, lastDust: null })
    const [closure] = (await loaded(gone.id)).closures
    expect(closure?.start).toBe(NOW)
    expect(closure?.end).toBeGreaterThan(until)
  })
})

describe('coming sessions', () => {
  test('begin with the one that is on, leave out cancelled ones unless asked', async () => {
    // Saturday 17 October, 11:00 local, in the middle of it.
    const during = new Date('2026-10-17T09:00Z')
    expect((await comingSessions(db, during, 5)).map((s) => s.id)).toEqual([first.id, second.id])
    expect((await comingSessions(db, new Date('2026-10-17T14:00Z'), 5)).map((s) => s.id)).toEqual([second.id])
    await change(second.id, { state: 'cancelled' })
    expect((await comingSessions(db, during, 5)).map((s) => s.id)).toEqual([first.id])
    expect((await comingSessions(db, during, 5, true)).map((s) => s.id)).toEqual([first.id, second.id])
    await change(second.id, { state: 'planned' })
  })
})
