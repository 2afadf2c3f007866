import { expect, test } from 'vitest'
import { forecastOf } from '../../../src/features/planning/public.ts'
import type { Inputs } from '../../../src/features/planning/forecast/model.ts'
import { testClub } from '../../support/app.ts'
import { askForPlan, day, forecastNow, planNow, smallClub, textOf } from './club.ts'

// Fri 29 May 2026, 20:00 in Berlin: the week before the first session.
const club = await testClub({ now: '2026-05-29T18:00:00Z' })
const { db, clock } = club
const skua = await smallClub(club)
const { build } = skua
const at = `/builds/${build.id}/forecast`
const DAY = 1440

const plan = async () => {
  await askForPlan(club)
  expect(await planNow(club)).toBe('planned')
}
const now = () => forecastOf(db, build.id, clock.now())

/** Worked by one of the two, in hands-on minutes. */
const log = (taskId: string, iso: string, minutes: number) => db.workLog.create({
  data: { buildId: build.id, taskId, startedAt: new Date(iso), elapsedMin: minutes, workedMin: minutes, loggedBy: skua.ann.id, loggedAt: new Date(iso), people: { create: [{ memberId: skua.ann.id }] } },
})

const planks: string[] = []

test('without a plan, the page says that a forecast follows a plan', async () => {
  const reader = await club.as(skua.ann.id)
  const page = await reader.get(at)
  expect(page.statusCode).toBe(200)
  expect(textOf(page.body)).toContain('No plan is made yet, and a forecast follows a plan.')
  expect(await forecastNow(club)).toBe(0)
})

test('a build with a plan gets a range in order, the chance of her target, what drives it and what would make it', async () => {
  await db.build.update({ where: { id: build.id }, data: { launchTarget: day('2026-06-28') } })
  for (let n = 0; n < 36; n++) await skua.session(new Date(Date.UTC(2026, 4, 30 + 7 * n)).toISOString().slice(0, 10), '09:00', '13:00')
  for (let n = 1; n <= 5; n++) planks.push((await skua.task(`Plank ${n}`, { workLowMin: 240, workLikelyMin: 360, workHighMin: 600, handsTo: 2 })).id)
  for (let n = 1; n < 5; n++) await skua.link(planks[n - 1]!, planks[n]!)
  await plan()
  const reader = await club.as(skua.ann.id)
  expect(textOf((await reader.get(at)).body)).toContain('The forecast is being worked out')
  expect(await forecastNow(club)).toBe(1)
  const f = (await now())!
  expect(f.p10! <= f.p50! && f.p50! <= f.p80! && f.p80! <= f.p90!).toBe(true)
  expect(f.targetOn).toBe('2026-06-28')
  expect(f.step).toBeNull()
  expect(f.fan).toHaveLength(1)
  // 5 x (240 + 4 x 360 + 600) / 6 = 5 x 380 min, times what pace and repairs add: more than the likely 1800.
  expect(f.drivers.meanWork).toBeGreaterThan(1800)
  expect(f.catchUp.half?.target).toBe(f.catchUp.fourInFive?.target)
  const text = textOf((await reader.get(at)).body)
  for (const said of ['Even chance by', 'her target, Sun 28 Jun, has', 'What would bring it forward', 'What drives it', 'Pace and attendance', 'Pauses are normal']) expect(text).toContain(said)
  expect(textOf((await reader.get('/')).body)).toMatch(/Even chance by/)
  expect(textOf((await reader.get('/builds')).body)).toMatch(/Even chance by/)
  expect((await reader.get(`/builds/${build.id}/plan`)).body).toContain(at)
})

test('made again for the same plan it is one row, and says the same to the minute', async () => {
  const first = (await now())!
  expect(await forecastNow(club)).toBe(1)
  expect(await now()).toMatchObject({ p10: first.p10, p50: first.p50, p80: first.p80, p90: first.p90, drivers: first.drivers })
  expect(await db.forecast.count()).toBe(1)
})

test('a week in which a plank took twice as long and another task was added launches her later; the parts add up to the step', async () => {
  const before = (await now())!
  // Sat 30 May: 4 h of each of the two were meant (of which some come); Ann alone worked her 4 h, and the first plank is nowhere near done.
  clock.set('2026-06-01T08:00:00Z')
  await log(planks[0]!, '2026-05-30T07:00:00Z', 240)
  await db.task.update({ where: { id: planks[0]! }, data: { statedLeftMin: 480, statedLeftAt: clock.now(), startedAt: new Date('2026-05-30T07:00:00Z') } })
  const rails = await skua.task('Rails', { workLikelyMin: 600 })
  const last = await db.task.findUniqueOrThrow({ where: { id: planks[4]! } })
  await skua.link(last.id, rails.id)
  await db.session.updateMany({ where: { date: day('2026-05-30') }, data: { state: 'closed' } })
  await plan()
  expect(await forecastNow(club)).toBe(1)
  const f = (await now())!
  expect(f.p50!).toBeGreaterThan(before.p50!)
  expect(f.step!.minutes).toBe(f.p50! - before.p50!)
  expect(f.step!.parts.reduce((sum, p) => sum + p.minutes, 0)).toBe(f.step!.minutes)
  const part = new Map(f.step!.parts.map((p) => [p.cause, p]))
  // 10 h more at about 6.4 h a session are one to two weeks; 8 h still left of a plank that should have 2 h left are another.
  expect(part.get('added')!.minutes).toBeGreaterThanOrEqual(7 * DAY - 600)
  expect(part.get('added')!.detail).toBe('Rails')
  expect(part.get('took-longer')!.minutes).toBeGreaterThan(0)
  expect(part.get('fewer-hands')!.detail).toMatch(/^4 h worked, \d(\.\d)? h reckoned with$/)
  // (240 worked + 480 left) / 380 = 1.9 times the estimate, shrunk.
  expect(f.pace.find((p) => p.craft === 'wood')).toMatchObject({ count: 1 })
  expect(f.pace.find((p) => p.craft === 'wood')!.factor).toBeGreaterThan(1.05)
  expect(f.fan.map((x) => x.monday)).toEqual(['2026-05-25', '2026-06-01'])
  const text = textOf((await (await club.as(skua.ann.id)).get(at)).body)
  expect(text).toContain('later than the week before')
  expect(text).toContain('work was added: Rails')
})

test('without slips the same week launches her sooner than with them', async () => {
  const slipped = (await now())!.p50!
  await db.task.update({ where: { id: planks[0]! }, data: { statedLeftMin: 60, statedLeftAt: clock.now() } })
  await db.link.deleteMany({ where: { to: { name: 'Rails' } } })
  await db.task.deleteMany({ where: { name: 'Rails' } })
  await plan()
  await forecastNow(club)
  expect((await now())!.p50!).toBeLessThan(slipped)
})

test('of each week the last forecast alone keeps what a later one is explained by', async () => {
  const rows = await db.forecast.findMany({ orderBy: { planId: 'asc' }, select: { inputs: true } })
  expect(rows.map((r) => (r.inputs as unknown as Partial<Inputs>).left !== undefined)).toEqual([true, false, true])
  expect(rows.every((r) => (r.inputs as unknown as Inputs).pace.factors.length === 5)).toBe(true)
})

test('own figures are tried without changing anything; what can’t be is refused beside its field', async () => {
  const reader = await club.as(skua.ann.id)
  const rows = await db.forecast.count()
  const wrong = await reader.get(`${at}?hours=-3&warmer=200`)
  expect(wrong.statusCode).toBe(422)
  const text = textOf(wrong.body)
  expect(text).toContain('More hours a week: a number from 0 to 60, or empty; not “-3”')
  expect(text).toContain('Warmer by, °C: a number from 0 to 15, or empty; not “200”')
  expect(wrong.body).toContain('value="-3"')
  expect((await reader.get(`${at}?hours=&warmer=`)).statusCode).toBe(422)
  expect(textOf((await reader.get(`${at}?hours=&warmer=`)).body)).toContain('Say at least one thing to try.')
  expect(await db.forecast.count()).toBe(rows)
})

test('something that can’t be planned is named with its link, and nothing is tried on it', async () => {
  const reader = await club.as(skua.ann.id)
  const lathe = await club.make.tool({ name: 'Lathe', count: 1, isActive: false })
  const turn = await skua.task('Turn the bungs', {})
  await db.taskTool.create({ data: { taskId: turn.id, toolId: lathe.id, count: 1 } })
  await plan()
  expect(await forecastNow(club)).toBe(0)
  const page = await reader.get(at)
  expect(textOf(page.body)).toContain('By the plan as it is she has no launch')
  expect(page.body).toContain(`/builds/${build.id}/tasks/${turn.id}`)
  const tried = await reader.get(`${at}?hours=3`)
  expect(tried.statusCode).toBe(422)
  expect(textOf(tried.body)).toContain('There is nothing to try it on')
  await db.task.delete({ where: { id: turn.id } })
})

test('a paused build says so and is not forecast', async () => {
  await db.build.update({ where: { id: build.id }, data: { state: 'paused', pausedOn: day('2026-06-01') } })
  await plan()
  const rows = await db.forecast.count()
  expect(await forecastNow(club)).toBe(0)
  expect(await db.forecast.count()).toBe(rows)
  const text = textOf((await (await club.as(skua.ann.id)).get(at)).body)
  expect(text).toContain('She rests, so nothing is forecast.')
  expect(text).not.toContain('Try your own figures')
})

test('a member reads it, who is signed out is asked to sign in, and a build of her team’s alone is not there for others', async () => {
  expect((await club.signedOut.get(at)).statusCode).toBe(303)
  const other = await club.signedIn(['helper'])
  expect((await other.get(at)).statusCode).toBe(200)
  await db.build.update({ where: { id: build.id }, data: { visibility: 'team' } })
  expect((await other.get(at)).statusCode).toBe(404)
  expect((await (await club.as(skua.ann.id)).get(at)).statusCode).toBe(200)
})
