import { expect, test } from 'vitest'
import { logCoat } from '../../../src/features/builds/public.ts'
import { testClub } from '../../support/app.ts'
import { command, landed, planNow, planned, smallClub } from './club.ts'

// Saturday 30 May 2026, 10:00 in Berlin (UTC+2).
const club = await testClub({ now: '2026-05-30T08:00:00Z' })
const small = await smallClub(club)
const ann = await club.as(small.ann.id)
const at = (local: string) => new Date(`${local}:00+02:00`)
const bare = (pieces: string[]) => pieces.map((p) => p.replace(/ by .*/, ''))

test('a coat that went on late moves the next one, and the page says why in words', async () => {
  await small.session('2026-05-30', '09:00', '22:00')
  await small.session('2026-05-31', '10:00', '16:00')
  const first = await small.coat('First fill coat')
  const second = await small.coat('Second fill coat')
  await small.link(first.id, second.id, { kind: 'window', washMin: 60 })
  expect(await planNow(club)).toBe('planned')
  // Opens 300 min at 20 °C. At 18 °C the slower energy (55 kJ/mol, common range 18 to 55) has the rate
  // exp(-55000 / 8.314 x (1/291.15 - 1/293.15)) = 0.856, so 300 / 0.856 = 350.3, up to 351 min = 5 h 51 after its end at 11:00: 16:51.
  expect(bare(await planned(club))).toEqual(['First fill coat Sat 10:00–11:00', 'Second fill coat Sat 16:51–17:51'])

  club.clock.set(at('2026-05-30T21:30'))
  await command(club, small.ann.id, (tx, ctx) => logCoat(tx, ctx, { buildId: small.build.id, taskId: first.id, startedAt: at('2026-05-30T20:30'), endedAt: at('2026-05-30T21:30') }))
  expect(await planNow(club)).toBe('planned')
  // 21:30 + 5 h 51 = 03:21; shut by the clock cap 24 h after its start, Sunday 20:30: met on Sunday from 10:00 on.
  expect(bare(await planned(club))).toEqual(['Second fill coat Sun 10:00–11:00'])
  const page = await landed(club, ann)
  expect(page).toContain('Second fill coat moves from Sat 16:51 to Sun 10:00: the window opens 03:21 and nobody is here at night.')
  // It had been agreed for a session that has begun: that it could not stay is said as well.
  expect(page).toContain('Second fill coat was agreed for Sat 16:51, but that can’t be done any more')
})

test('all moves of a plan stand on a page of their own, with what caused them', async () => {
  const plan = await club.db.plan.findFirstOrThrow({ orderBy: { id: 'desc' } })
  const page = (await ann.get(`/moved/${plan.id}`)).body
  expect(page).toContain('“First fill coat” finished (Skua)')
  expect(page).toContain('Second fill coat moves from Sat 16:51 to Sun 10:00')
  const request = await club.db.planRequest.findFirstOrThrow({ orderBy: { id: 'desc' } })
  expect((await ann.get(`/moved/after/${request.id}`)).headers.location).toBe(`/moved/${plan.id}`)
})

test('until there is a plan the page says so, and a line asks again by itself', async () => {
  const request = await club.db.planRequest.create({ data: { cause: 'something', at: club.clock.now() } })
  const page = (await ann.get('/', { cookie: `garboard_after=${request.id}` })).body
  expect(page).toContain(`hx-get="/moved/after/${request.id}"`)
  expect(page).toContain('The plan is being worked out')
  const waiting = await ann.get(`/moved/after/${request.id}`)
  expect(waiting.statusCode).toBe(200)
  expect(waiting.body).toContain('Look again')
  const line = await ann.get(`/moved/after/${request.id}`, { 'hx-request': 'true' })
  expect(line.body).toMatch(/^<li /)
  expect(await planNow(club)).toBe('planned')
  expect((await ann.get(`/moved/after/${request.id}`, { 'hx-request': 'true' })).body).toContain('nothing moves')
})

test('moves of a build that is its team’s alone are told to nobody else', async () => {
  await club.db.build.update({ where: { id: small.build.id }, data: { visibility: 'team' } })
  const other = await club.signedIn(['builder'])
  const plan = await club.db.plan.findFirstOrThrow({ orderBy: { id: 'asc' }, where: { moves: { not: [] } } })
  expect((await other.get(`/moved/${plan.id}`)).body).not.toContain('Second fill coat')
  expect((await ann.get(`/moved/${plan.id}`)).body).toContain('Second fill coat')
  expect((await other.get('/')).body).not.toContain('Skua')
  expect((await other.get('/weeks-ahead')).body).not.toContain('Skua')
})
