import { describe, expect, test } from 'vitest'
import type { Feature } from '../../../src/app/features.ts'
import { policy } from '../../../src/features/sessions/policy.ts'
import setUp from '../../../src/features/sessions/routes/set-up.ts'
import { loadPresence } from '../../../src/features/sessions/public.ts'
import { setUpCode } from '../../../src/platform/set-up.ts'
import { instant } from '../../../src/core/units/index.ts'
import { testClub } from '../../support/app.ts'
import { at } from '../../support/zones.ts'
import { members } from '../members/feature.ts'

const feature: Feature = { name: 'sessions', policy, routes: async (app, deps) => setUp(app, deps) }
// Saturday, 30 May 2026, 20:00 in Auckland (UTC+12): today's session would be over.
const club = await testClub({ isSetUp: false, features: [members, feature] })
const code = await setUpCode(club.db)
const fields = {
  code, club: 'Tern Boat Club', zone: 'Pacific/Auckland', locale: 'en-NZ', units: 'metric', currency: 'NZD', name: 'Ada', email: 'Ada@Example.org',
  password: 'plywood and epoxy', again: 'plywood and epoxy', saturdays: 'on', starts: '10:00', ends: '16:00',
}
const nothing = async () => expect([await club.db.club.count(), await club.db.member.count(), await club.db.site.count(), await club.db.cureProduct.count()]).toEqual([0, 0, 0, 0])

describe('setting up', () => {
  test('is where a service without a club leads', async () => {
    expect((await club.signedOut.get('/members')).headers.location).toBe('/set-up')
    expect((await club.signedOut.get('/sign-in')).headers.location).toBe('/set-up')
    const page = await club.signedOut.get('/set-up')
    expect(page.statusCode).toBe(200)
    expect(page.body).toContain('Pacific/Auckland')
  })

  test.each([
    ['the wrong code', { code: 'AAAAA-BBBBB' }, 'this is not the code that the start printed'],
    ['an unknown zone', { zone: 'Mars/Olympus' }, 'choose from the list, such as Europe/Berlin'],
    ['a bare offset', { zone: '+02:00' }, 'choose from the list, such as Europe/Berlin'],
    ['no club’s name', { club: '' }, 'Name of the club: fill this in'],
    ['an unknown currency', { currency: 'XXQ' }, 'Currency: choose from the list'],
    ['no address', { email: 'ada' }, 'An address such as ann@example.org'],
    ['a short password', { password: 'short', again: 'short' }, 'At least 10 characters'],
    ['two passwords', { again: 'plywood and glue' }, 'The two passwords are not the same'],
    ['a session that ends before it begins', { starts: '16:00', ends: '10:00' }, 'that is not after 16:00'],
  ])('with %s says so at the field, keeps what was typed and makes nothing', async (_name, wrong, message) => {
    const answer = await club.signedOut.post('/set-up', { ...fields, ...wrong })
    expect(answer.statusCode).toBe(422)
    expect(answer.body).toContain(message)
    expect(answer.body).toContain('value="Ada"')
    expect(answer.body).not.toContain('plywood and')
    await nothing()
  })

  test('makes club, officer, workshop, tools, products and Saturdays, once, and signs the officer in', async () => {
    const once = club.make.once()
    const sent = { ...fields, code: ` ${code.toLowerCase()} `, once }
    const [one, two] = await Promise.all([club.signedOut.post('/set-up', sent), club.signedOut.post('/set-up', sent)])
    expect([one.statusCode, two.statusCode]).toEqual([303, 303])
    expect(await club.db.club.findMany({ select: { name: true, zone: true, units: true, currency: true, locale: true } }))
      .toEqual([{ name: 'Tern Boat Club', zone: 'Pacific/Auckland', units: 'metric', currency: 'NZD', locale: 'en-NZ' }])
    expect(await club.db.member.findMany({ select: { name: true, email: true, roles: true } }))
      .toEqual([{ name: 'Ada', email: 'ada@example.org', roles: ['officer', 'keyholder', 'builder'] }])
    const secret = [one, two].flatMap((a) => a.cookies).find((c) => c.name === 'garboard_sign_in')?.value ?? ''
    const page = await club.app.inject({ url: '/members', cookies: { garboard_sign_in: secret } })
    expect(page.statusCode).toBe(200)
    expect((await club.db.place.findMany({ orderBy: { name: 'asc' } })).map((p) => p.name)).toEqual(['Main floor', 'Paint tent'])
    expect(await club.db.cureProduct.count()).toBeGreaterThan(3)
  })

  test('has what the standard dinghy list asks for', async () => {
    const { sailingDinghy } = await import('../../../src/features/builds/job-lists/sailing-dinghy/index.ts')
    const tools = new Map((await club.db.tool.findMany()).map((t) => [t.name, t.count]))
    const competences = new Set((await club.db.competence.findMany()).map((c) => c.name))
    for (const task of sailingDinghy.tasks) {
      for (const tool of task.tools ?? []) expect(tools.get(tool.name) ?? 0, `${task.name}: ${tool.name}`).toBeGreaterThanOrEqual(tool.count ?? 1)
      for (const name of task.competences ?? []) expect(competences, task.name).toContain(name)
    }
  })

  test('enters twelve Saturdays from the next one not begun, in the club’s own time, the officer as keyholder', async () => {
    const sessions = await club.db.session.findMany({ orderBy: { date: 'asc' }, include: { keyholder: { select: { name: true } } } })
    expect(sessions).toHaveLength(12)
    expect([sessions[0]?.date.toISOString().slice(0, 10), sessions[0]?.keyholder?.name]).toEqual(['2026-06-06', 'Ada'])
    const now = at('2026-05-30T08:00Z')
    const [presence] = [...(await loadPresence(club.db, { now, from: now, until: instant(now + 14 * 1440) })).values()]
    // 10:00 in Auckland, winter, UTC+12: 22:00 UTC of the day before.
    expect(presence?.[0]).toMatchObject({ start: at('2026-06-05T22:00Z'), end: at('2026-06-06T04:00Z'), projected: false })
  })

  test('of the south has its warm months around January', async () => {
    const { monthlyAir } = await club.db.place.findFirstOrThrow({ where: { name: 'Main floor' } })
    expect(monthlyAir[0]).toBeGreaterThan(monthlyAir[6]!)
  })

  test('is over then, whoever has the code', async () => {
    expect((await club.signedOut.get('/set-up')).headers.location).toBe('/')
    const again = await club.signedOut.post('/set-up', { ...fields, email: 'eve@example.org' })
    expect(again.statusCode).toBe(422)
    expect(await club.db.member.count()).toBe(1)
  })
})
