import { expect, test } from 'vitest'
import { createPlanner, planOnce } from '../../../src/features/planning/jobs/planner.ts'
import { solveHere, type Solver } from '../../../src/features/planning/jobs/solve.ts'
import { solveInThread } from '../../../src/features/planning/jobs/thread.ts'
import { testClub } from '../../support/app.ts'
import { askForPlan, planned, plannerParts, planNow, smallClub, textOf } from './club.ts'

// Saturday 30 May 2026, 10:00 in Berlin.
const club = await testClub({ now: '2026-05-30T08:00:00Z' })
const small = await smallClub(club)
const ann = await club.as(small.ann.id)
await small.session('2026-05-30', '11:00', '17:00')
await small.session('2026-05-31', '10:00', '16:00')
const sand = await small.task('Sand the rudder', { workLikelyMin: 120, handsTo: 1 })
const plans = () => club.db.plan.count()

test('the first plan is made without being asked, and nothing more until something changes', async () => {
  expect(await planNow(club)).toBe('planned')
  expect(await planned(club)).toEqual([expect.stringMatching(/^Sand the rudder Sat 11:00–13:00/)])
  expect(await planNow(club)).toBe('nothing')
  expect(await plans()).toBe(1)
})

test('a new day asks for a plan by itself, once', async () => {
  club.clock.set('2026-05-30T22:30:00Z')
  expect(await planNow(club)).toBe('planned')
  expect(await planNow(club)).toBe('nothing')
  expect((await club.db.plan.findFirstOrThrow({ orderBy: { id: 'desc' } })).causes).toEqual(['a new day'])
  club.clock.set('2026-05-30T08:00:00Z')
  await askForPlan(club)
  await planNow(club)
})

test('a task that can’t be planned is listed with its reason and the way out; the rest of the plan stands', async () => {
  const turn = await small.task('Turn her over', { kind: 'together', handsFrom: 5, handsTo: 5, workLikelyMin: 60, smallestMin: null })
  await askForPlan(club)
  await planNow(club)
  expect(await planned(club)).toEqual([expect.stringMatching(/^Sand the rudder Sat 11:00–13:00/)])
  const text = 'Turn her over : It takes 5 people at once and at most 2 come. Ask helpers to one session, or put fewer hands on it.'
  expect(textOf((await ann.get(`/builds/${small.build.id}/plan`)).body)).toContain(text)
  expect(textOf((await ann.get('/')).body)).toContain('Skua: Turn her over : It takes 5 people at once')
  await club.db.task.delete({ where: { id: turn.id } })
})

test('links in a circle stop the plan of that build only, and are named', async () => {
  const one = await small.task('Fit the thwart')
  const two = await small.task('Fillet the thwart')
  await small.link(one.id, two.id)
  const back = await small.link(two.id, one.id)
  const other = await club.make.build({ name: 'Tern', placeId: small.place.id }, [small.ben.id])
  const phase = await club.make.phase(other.id)
  await club.db.task.create({ data: { buildId: other.id, phaseId: phase.id, position: 1, name: 'Plane the mast', kind: 'shared', workLowMin: 60, workLikelyMin: 60, workHighMin: 60, smallestMin: 30 } })
  await askForPlan(club)
  expect(await planNow(club)).toBe('planned')
  expect(await planned(club)).toEqual([expect.stringMatching(/^Plane the mast Sat 11:00–12:00/)])
  expect(textOf((await ann.get(`/builds/${small.build.id}/plan`)).body)).toMatch(/round in a circle \(.*Fit the thwart.*\)\. Take one of these links away\./)
  await club.db.link.delete({ where: { id: back.id } })
  await club.db.build.delete({ where: { id: other.id } })
  await club.db.task.deleteMany({ where: { id: { in: [one.id, two.id] } } })
  await askForPlan(club)
  await planNow(club)
})

test('of two instances that are woken at once one plans, and there is one plan', async () => {
  const before = await plans()
  await askForPlan(club, 'one change')
  await askForPlan(club, 'another')
  const outcomes = await Promise.all([planOnce(plannerParts(club)), planOnce(plannerParts(club)), planOnce(plannerParts(club))])
  expect(outcomes.filter((o) => o === 'planned')).toHaveLength(1)
  expect(outcomes.filter((o) => o === 'busy' || o === 'nothing')).toHaveLength(2)
  expect(await plans()).toBe(before + 1)
  expect((await club.db.plan.findFirstOrThrow({ orderBy: { id: 'desc' } })).causes).toEqual(['one change', 'another'])
})

test('a request made while a plan is worked out is answered too: the newest wins', async () => {
  await askForPlan(club, 'first')
  let runs = 0
  const solver: Solver = {
    solve: async (job) => {
      if (++runs === 1) await askForPlan(club, 'meanwhile')
      return solveHere.solve(job)
    },
    close: async () => undefined,
  }
  const before = await plans()
  expect(await planOnce({ ...plannerParts(club), solver })).toBe('planned')
  expect(runs).toBe(2)
  expect(await plans()).toBe(before + 1)
  expect(await club.db.planRequest.count({ where: { planId: null } })).toBe(0)
})

test('a plan that the check finds fault with is never shown: the one before stands, and the pages say so', async () => {
  await askForPlan(club)
  const shown = await planned(club)
  const faulty: Solver = {
    solve: async (job) => {
      const solved = await solveHere.solve(job)
      return solved.ok ? { ...solved, faults: [{ rule: 'presence', pieceId: null, text: 'made up' }] } : solved
    },
    close: async () => undefined,
  }
  expect(await planOnce({ ...plannerParts(club), solver: faulty })).toBe('failed')
  expect(await planned(club)).toEqual(shown)
  expect(textOf((await ann.get('/')).body)).toContain('The plan before stands.')
  // The request is answered: it isn't tried over and over.
  expect(await planNow(club)).toBe('nothing')
})

test('a search that breaks off leaves the plan before, and the next request is planned again', async () => {
  await askForPlan(club)
  const broken: Solver = { solve: () => Promise.reject(new Error('made up')), close: async () => undefined }
  expect(await planOnce({ ...plannerParts(club), solver: broken })).toBe('failed')
  await askForPlan(club)
  expect(await planNow(club)).toBe('planned')
  expect(textOf((await ann.get('/')).body)).not.toContain('The plan before stands.')
})

test('requests from before the start are answered after it, in a thread of its own', async () => {
  await askForPlan(club, 'asked while nobody was running')
  const planner = createPlanner({ ...plannerParts(club), solver: solveInThread() })
  await planner.start(club.app.deps.events)
  try {
    await expect.poll(() => club.db.planRequest.count({ where: { planId: null } }), { timeout: 40_000, interval: 100 }).toBe(0)
    // Woken by the notice alone.
    await club.db.$transaction(async (tx) => {
      await tx.planRequest.create({ data: { cause: 'asked now', at: club.clock.now() } })
      await tx.$executeRaw`select pg_notify('garboard_plan', '')`
    })
    await expect.poll(() => club.db.planRequest.count({ where: { planId: null } }), { timeout: 40_000, interval: 100 }).toBe(0)
  } finally {
    await planner.stop()
  }
  const last = await club.db.plan.findFirstOrThrow({ orderBy: { id: 'desc' } })
  expect(last.status).not.toBe('failed')
  expect(last.causes).toEqual(['asked now'])
})

test('a service that ends while it plans leaves its requests open for the next start', async () => {
  await askForPlan(club)
  let breakOff = (_: Error): void => undefined
  let begin = (): void => undefined
  const begun = new Promise<void>((done) => (begin = done))
  const solver: Solver = {
    solve: () => {
      begin()
      return new Promise((_, reject) => (breakOff = reject))
    },
    close: async () => breakOff(new Error('the thread is gone')),
  }
  const planner = createPlanner({ ...plannerParts(club), solver })
  await planner.start(club.app.deps.events)
  await begun
  const before = await plans()
  await planner.stop()
  expect(await plans()).toBe(before)
  expect(await club.db.planRequest.count({ where: { planId: null } })).toBe(1)
  expect(await planNow(club)).toBe('planned')
})

test('what each week began with is kept once; pieces of old plans are pruned, what they said of launches stays', async () => {
  const week = await club.db.buildWeek.findMany({ where: { buildId: small.build.id } })
  // Monday 25 May: the week of Saturday 30 May. 120 minutes of sanding, both expected Saturday 6 h and Sunday 6 h: 24 h.
  expect(week.map((w) => [w.monday.toISOString().slice(0, 10), w.plannedMin, w.leftMin, w.availableMin])).toEqual([['2026-05-25', 120, 120, 1440]])
  for (let i = 0; i < 52; i++) await club.db.plan.create({ data: { madeAt: club.clock.now(), fromAt: club.clock.now(), coversRequest: 0, causes: [], schedules: 0, tookMs: 0, status: 'feasible', score: {}, unplanned: [], dropped: [], missed: [], met: [], moves: [] } })
  const launches = await club.db.planBuild.count()
  expect(await club.db.planPiece.count()).toBeGreaterThan(1)
  await askForPlan(club)
  await planNow(club)
  expect(await club.db.planPiece.count()).toBe(1)
  expect(await club.db.planBuild.count()).toBe(launches + 1)
})

test('a place given up or a tool out of use does not stop the plan', async () => {
  const saw = await club.make.tool({ name: 'Bandsaw', isActive: false })
  await club.db.taskTool.create({ data: { taskId: sand.id, toolId: saw.id } })
  await askForPlan(club)
  expect(await planNow(club)).toBe('planned')
  expect(textOf((await ann.get(`/builds/${small.build.id}/plan`)).body)).toContain('It takes 1 × Bandsaw and there are 0.')
  await club.db.taskTool.deleteMany({})
  await club.db.place.update({ where: { id: small.place.id }, data: { isActive: false } })
  await askForPlan(club)
  expect(await planNow(club)).toBe('planned')
  expect(textOf((await ann.get(`/builds/${small.build.id}/plan`)).body)).toMatch(/none of its places is open/i)
})
