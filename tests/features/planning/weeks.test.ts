import { expect, test } from 'vitest'
import { logWork } from '../../../src/features/builds/public.ts'
import { buildWeeks } from '../../../src/features/planning/queries/build-weeks.ts'
import { testClub } from '../../support/app.ts'
import { command, planNow, smallClub, textOf } from './club.ts'

// Wednesday 27 May 2026, 12:00 in Berlin: ISO week 22 (Monday 25 May).
const club = await testClub({ now: '2026-05-27T10:00:00Z' })
const small = await smallClub(club)
const at = (local: string) => new Date(`${local}:00+02:00`)

test('every week tells hours available, planned, logged, what is left, and the launch', async () => {
  // 10 h of work that one person at a time can do; sessions of 4 h to which both come: Saturdays 30 May and 6 June, Wednesday 10 June.
  const plane = await small.task('Plane the mast', { workLikelyMin: 600, handsTo: 1 })
  await small.session('2026-05-30', '10:00', '14:00')
  await small.session('2026-06-06', '10:00', '14:00')
  await small.session('2026-06-10', '18:00', '22:00')
  expect(await planNow(club)).toBe('planned')

  // Last week's Saturday, 23 May: 1.5 h by both, logged now. 600 - 2 x 90 = 420 min are left.
  await command(club, small.ann.id, (tx, ctx) =>
    logWork(tx, ctx, { buildId: small.build.id, taskId: plane.id, startedAt: at('2026-05-23T10:00'), elapsedMin: 90, people: [small.ann.id, small.ben.id], sessionId: null }))
  await planNow(club)
  const { rows, leftNow, launch } = await buildWeeks(club.db, small.build.id, club.clock.now())
  expect(leftNow).toBe(420)
  const week = (label: string) => rows.find((r) => r.label === label)
  expect(week('2026-W21')).toMatchObject({ isPast: true, logged: 180, planned: null, available: null })
  // Two people, 4 h: 480 available. The week's first plan meant 240 for Saturday, and so does this one; 420 - 240 = 180 are left after it.
  expect(week('2026-W22')).toMatchObject({ isNow: true, available: 480, planned: 240, logged: 0, left: 180 })
  // The rest, 180 minutes, on 6 June till 13:00: launched, for nothing is left.
  expect(week('2026-W23')).toMatchObject({ available: 480, planned: 180, left: 0, isLaunchWeek: true })
  expect(launch?.start).toBe(at('2026-06-06T13:00').getTime() / 60_000)
  expect(rows.at(-1)?.label).toBe('2026-W23')

  const page = textOf((await (await club.as(small.ann.id)).get(`/builds/${small.build.id}/weeks`)).body)
  expect(page).toContain('7 h of hands-on work are left. This week 0 h are logged of 4 h planned, with 8 h available. As planned she is launched Sat 6 Jun.')
})

test('hours that were taken back count no more', async () => {
  const log = await club.db.workLog.findFirstOrThrow({ include: { people: true } })
  await club.db.workLog.create({
    data: {
      buildId: log.buildId, taskId: log.taskId, startedAt: log.startedAt, elapsedMin: log.elapsedMin, workedMin: log.workedMin, loggedBy: log.loggedBy, loggedAt: club.clock.now(), reversesId: log.id,
      people: { create: log.people.map((p) => ({ memberId: p.memberId })) },
    },
  })
  const { rows, leftNow } = await buildWeeks(club.db, small.build.id, club.clock.now())
  expect(leftNow).toBe(600)
  expect(rows.find((r) => r.label === '2026-W21')?.logged ?? 0).toBe(0)
})
