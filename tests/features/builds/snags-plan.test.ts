/** A snag's way through the plan: found, made rework, planned where it must come, done, closed. */
import { expect, test } from 'vitest'
import { finishTask, logCoat, makeRework, snagsOf } from '../../../src/features/builds/public.ts'
import { testClub } from '../../support/app.ts'
import { command, planned, planNow, smallClub } from '../planning/club.ts'
import { words } from './support.ts'

// Friday 29 May 2026, 20:00 in Berlin.
const club = await testClub({ now: '2026-05-29T18:00:00Z' })

test('rework of a dry spot is planned after the film can be sanded and before the fairing, which waits for it', async () => {
  const { ann, build, coat, task, link, session, place } = await smallClub(club)
  const glass = await coat('Glass the bottom')
  const fair = await task('Fair the bottom', { workLikelyMin: 120 })
  await link(glass.id, fair.id, { kind: 'stage', stage: 'sandable' })
  for (const date of ['2026-05-30', '2026-05-31', '2026-06-06', '2026-06-07']) await session(date, '09:00', '17:00')
  // Put on 18:00-19:00 local; at 18 °C it can be sanded before Saturday noon.
  await command(club, ann.id, (tx, ctx) => logCoat(tx, ctx, { buildId: build.id, taskId: glass.id, startedAt: new Date('2026-05-29T16:00:00Z'), endedAt: new Date('2026-05-29T17:00:00Z'), placeId: place.id }))
  await planNow(club)
  expect((await planned(club)).map((p) => p.split(' ').slice(0, 4).join(' '))).toEqual(['Fair the bottom Sat'])

  const builder = await club.as(ann.id)
  const added = await builder.post(`/builds/${build.id}/snags/new`, { kind: 'dry-spot', whereAt: 'port', bad: 'before_next', taskId: glass.id })
  expect(added.statusCode).toBe(303)
  const page = await builder.get(String(added.headers.location))
  // The form as it stands: the usual steps and hours, the resin of the task it was found at, the fairing ticked.
  const value = (name: string) => new RegExp(`name="${name}"[^>]* value="([^"]*)"`).exec(page.body)?.[1] ?? ''
  const area = (name: string) => new RegExp(`name="${name}"[^>]*>([^<]*)<`).exec(page.body)?.[1] ?? ''
  const fields = {
    ...Object.fromEntries(['name', 'low', 'likely', 'high', 'handsFrom', 'handsTo'].map((name) => [name, value(name)])), steps: area('steps'), afterCure: area('afterCure'),
    productId: /<option value="([^"]+)" selected>Slow epoxy/.exec(page.body)?.[1] ?? '', before: [...page.body.matchAll(/name="before" value="([^"]+)" checked/g)].map((m) => m[1]!),
  }
  expect(fields.before).toEqual([fair.id])
  expect((await builder.post(`${added.headers.location}/rework`, fields)).statusCode).toBe(303)
  await planNow(club)

  const [snag] = await snagsOf(club.db, build.id)
  const pieces = await club.db.planPiece.findMany({ where: { plan: { status: { not: 'failed' } } }, orderBy: [{ planId: 'desc' }, { startsAt: 'asc' }] })
  const latest = pieces.filter((p) => p.planId === pieces[0]!.planId)
  const span = (taskId: string) => {
    const own = latest.filter((p) => p.taskId === taskId)
    return { from: Math.min(...own.map((p) => p.startsAt.getTime())), to: Math.max(...own.map((p) => p.endsAt.getTime())) }
  }
  const fill = await club.db.task.findFirstOrThrow({ where: { buildId: build.id, name: { startsWith: 'Mend' }, productId: { not: null } } })
  const sand = snag!.rework!.taskId
  const [filled, sanded, faired] = [span(fill.id), span(sand), span(fair.id)]
  expect(latest.length).toBeGreaterThanOrEqual(3)
  // Sandable 12 h after its end at 20 °C: at 18 °C not within the same day's session.
  expect(sanded.from - filled.to).toBeGreaterThan(12 * 3_600_000)
  expect(faired.from).toBeGreaterThanOrEqual(sanded.to)
  expect(words((await builder.get(`/builds/${build.id}/tasks/${sand}`)).body)).toContain('Mends snag 1: Dry spot')

  club.clock.set('2026-05-31T15:00:00Z')
  await command(club, ann.id, (tx, ctx) => finishTask(tx, ctx, { buildId: build.id, taskId: fill.id }))
  expect(await snagsOf(club.db, build.id, { open: true })).toHaveLength(1)
  await command(club, ann.id, (tx, ctx) => finishTask(tx, ctx, { buildId: build.id, taskId: sand }))
  expect(await snagsOf(club.db, build.id)).toMatchObject([{ closedOn: '2026-05-31', closedNote: '' }])
})

test('a snag that stops holds back all open work of its phase until its rework is planned through', async () => {
  const build = await club.db.build.findFirstOrThrow({ where: { name: 'Skua' } })
  const ann = await club.db.member.findFirstOrThrow({ where: { name: 'Ann' } })
  const fair = await club.db.task.findFirstOrThrow({ where: { name: 'Fair the bottom' } })
  const builder = await club.as(ann.id)
  const added = await builder.post(`/builds/${build.id}/snags/new`, { what: 'Keel is not straight', bad: 'stop' })
  const snagId = String(added.headers.location).split('/').pop()!
  await command(club, ann.id, (tx, ctx) => makeRework(tx, ctx, {
    buildId: build.id, snagId, name: 'Straighten the keel', steps: [], afterCure: [], minutes: { low: 300, likely: 300, high: 300 }, hands: { from: 2, to: 2 }, dusty: false, productId: null, before: [fair.id],
  }))
  await planNow(club)
  const lines = await planned(club)
  const [keel, faired] = [lines.findIndex((l) => l.startsWith('Straighten')), lines.findIndex((l) => l.startsWith('Fair'))]
  expect([keel >= 0, faired > keel]).toEqual([true, true])
})
