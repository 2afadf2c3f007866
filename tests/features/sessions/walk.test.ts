import { beforeAll, describe, expect, test } from 'vitest'
import type { Feature } from '../../../src/app/features.ts'
import { policy } from '../../../src/features/sessions/policy.ts'
import routes from '../../../src/features/sessions/routes.ts'
import { Role } from '../../../src/platform/generated/enums.ts'
import { testClub, type Person } from '../../support/app.ts'
import { members } from '../members/feature.ts'

const sessions: Feature = { name: 'sessions', policy, routes }
const served: { method: string; url: RegExp }[] = []
// Saturday 30 May 2026, 11:00 in Berlin: the session of the day is on.
const club = await testClub({
  now: '2026-05-30T09:00:00Z',
  features: [members, sessions],
  onRoute({ method, url }) {
    for (const one of [method].flat()) served.push({ method: String(one), url: new RegExp(`^${url.replaceAll(/[.*]/g, '\\$&').replaceAll(/:\w+/g, '[^/]+')}$`) })
  },
})
const date = (iso: string) => new Date(`${iso}T00:00:00Z`)
const people = new Map<Role, Person & { memberId: string }>()
const pages: string[] = []

beforeAll(async () => {
  for (const role of Object.values(Role)) people.set(role, await club.signedIn([role], { name: `The ${role}`, isMinor: role === 'helper' }))
  const officer = people.get('officer')!.memberId
  const helper = people.get('helper')!.memberId
  const site = await club.make.site({ name: 'Shed' })
  const home = await club.make.site({ name: 'At the helper’s', kind: 'home', memberId: helper })
  const place = await club.make.place({ siteId: site.id, heatTo: 16 })
  await club.make.place({ siteId: home.id, isActive: false })
  await club.db.placeReading.create({ data: { placeId: place.id, at: new Date('2026-05-30T08:30Z'), air: 17.5, humidity: 60, memberId: officer } })
  await club.db.placeClosure.create({ data: { placeId: place.id, starts: date('2026-06-01'), ends: date('2026-06-02'), why: 'floor painted' } })
  const competence = await club.db.competence.create({ data: { name: 'Bandsaw', refreshYears: 3 } })
  await club.db.memberCompetence.create({ data: { memberId: helper, competenceId: competence.id, level: 'supervised', checkedOn: date('2022-05-01'), refreshOn: date('2025-05-01'), checkedBy: officer } })
  const tool = await club.make.tool({ siteId: site.id, competenceId: competence.id, arrivesOn: date('2026-06-10') })
  await club.db.toolOutage.create({ data: { toolId: tool.id, count: 1, fromOn: date('2026-07-01'), toOn: null, why: 'blade' } })
  const series = await club.db.series.create({ data: { siteId: site.id, name: 'Saturday', weekday: 6, starts: '10:00', ends: '24:00', fromOn: date('2026-05-23'), untilOn: date('2026-06-20'), keyholderId: officer } })
  const add = (day: string, over: object = {}) =>
    club.db.session.create({ data: { siteId: site.id, seriesId: series.id, date: date(day), starts: '10:00', ends: '24:00', keyholderId: officer, ...over } })
  const rows = [await add('2026-05-30'), await add('2026-06-06', { keyholderId: null, title: 'Turning her over', note: 'Many hands' }), await add('2026-06-13', { state: 'cancelled' }), await add('2026-05-23', { state: 'closed' })]
  await club.db.closeOut.create({ data: { sessionId: rows[3]!.id, closedBy: officer, closedAt: new Date('2026-05-23T20:00Z'), shedLocked: true, wasteSafe: true } })
  for (const row of rows) await club.db.attendance.create({ data: { sessionId: row.id, memberId: helper, answer: 'coming', fromTime: '12:00' } })
  await club.db.attendance.create({ data: { sessionId: rows[0]!.id, memberId: officer, answer: null, cameAt: new Date('2026-05-30T08:00Z'), walkIn: true } })
  await club.db.usualAttendance.create({ data: { memberId: helper, siteId: site.id, weekday: 6, fromTime: '10:00', toTime: '24:00' } })
  await club.db.ownHours.create({ data: { memberId: helper, siteId: home.id, weekday: 2, fromTime: '19:00', toTime: '21:00', fromOn: date('2026-05-01') } })
  pages.push(
    '/members', '/members/new', `/members/${helper}`, `/members/${officer}`, '/competences', '/me', '/my-times', '/workshop', '/workshop/places/new', '/workshop/places/new?like=tent',
    `/workshop/places/${place.id}`, '/workshop/tools/new', `/workshop/tools/${tool.id}`, '/workshop/sites/new', `/workshop/sites/${home.id}`, '/sessions', '/sessions/new', `/sessions/series/${series.id}`,
    ...rows.flatMap((r) => [`/sessions/${r.id}`, `/sessions/${r.id}/here`]),
  )
})

/** Addresses that other features serve. */
const ELSEWHERE = /^\/($|weeks-ahead|me\/reminders$|builds|stores|overnight|sessions\/[0-9a-f-]+\/(sheet|close-out)|static\/)/
const isServed = (method: 'GET' | 'POST', url: string) => ELSEWHERE.test(url) || served.some((r) => r.method === method && r.url.test(url))

test('the walk can tell an address that is served from one that is not', () => {
  expect([isServed('GET', '/members/abc'), isServed('POST', '/workshop/places/abc/readings'), isServed('GET', '/my-times')]).toEqual([true, true, true])
  expect([isServed('GET', '/nowhere'), isServed('POST', '/members'), isServed('GET', '/members/abc/nowhere'), isServed('GET', '/workshop/places/abc/readings')]).toEqual([false, false, false, false])
})

describe.each(Object.values(Role))('as %s', (role) => {
  test('every page of members and sessions is whole, and what it links to is there', async () => {
    const opened: string[] = []
    for (const url of pages) {
      const answer = await people.get(role)!.get(url)
      if (answer.statusCode === 403) continue
      expect(answer.statusCode, url).toBe(200)
      opened.push(url)
      const html = answer.body
      expect(html.match(/<h1/g), url).toHaveLength(1)
      expect(html.replaceAll(/<[^>]*>/g, ' '), url).not.toMatch(/undefined|NaN|\[object|Invalid Date/)
      for (const [form] of html.matchAll(/<form[\s\S]*?<\/form>/g)) {
        if (/method="get"/.test(form)) continue
        expect(form, url).toMatch(/name="once" value="[0-9a-f-]{36}"/)
        const action = /action="([^"]+)"/.exec(form)?.[1] ?? ''
        expect(isServed('POST', action.split('?')[0]!), `${url}: form to ${action}`).toBe(true)
      }
      for (const [, href = ''] of html.matchAll(/<a [^>]*href="(\/[^"]*)"/g)) {
        expect(isServed('GET', href.split(/[?#]/)[0]!), `${url}: link to ${href}`).toBe(true)
      }
    }
    // Everybody may read; only officers open every page.
    expect(opened).toEqual(expect.arrayContaining(['/members', '/competences', '/me', '/my-times', '/workshop', '/sessions']))
    if (role === 'officer') expect(opened).toEqual(pages)
  })
})

test('an address that is no id leads nowhere, not to a fault', async () => {
  const officer = people.get('officer')!
  for (const url of ['/members/abc', '/sessions/abc', '/sessions/series/abc', '/workshop/places/abc', '/workshop/tools/abc', '/sessions/abc/here', '/members/00000000-0000-4000-8000-000000000000', '/sessions/00000000-0000-4000-8000-000000000000']) {
    expect((await officer.get(url)).statusCode, url).toBe(404)
  }
})
