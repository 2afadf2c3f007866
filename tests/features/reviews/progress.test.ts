/** Progress against the agreed plan. Published figures: reference-values §6.4 (earned schedule; W. Lipke 2003, formula as read in his concept note). */
import { beforeAll, describe, expect, it } from 'vitest'
import { earnedAt, plannedAt, shareAt, weeksBehind, type EarnTask } from '../../../src/features/reviews/progress/earn.ts'
import { agreeBaseline, progressOf, type AgreeBaseline } from '../../../src/features/reviews/public.ts'
import { drawStock } from '../../../src/features/stores/public.ts'
import { sqlState, transact } from '../../../src/platform/database.ts'
import { behindWords, progressSentence, shapeWords } from '../../../views/reviews/progress-words.ts'
import { testClub, type Person, type TestClub } from '../../support/app.ts'
import { day, textOf } from '../planning/club.ts'
import { planRows } from './plan-rows.ts'

const DAY = 1440

describe('the share of a task that is earned', () => {
  const task = { finishedAt: null, steps: [], isGone: false, shareDone: 0 }
  const ticked = (...weights: (readonly [weight: number, tickedAt: number | null])[]) => weights.map(([weight, tickedAt]) => ({ weight, tickedAt }))

  it('is all once it is finished, and not before', () => {
    expect([shareAt({ ...task, finishedAt: 100 }, 99), shareAt({ ...task, finishedAt: 100 }, 100)]).toEqual([0, 1])
  })
  it('is the weight of the ticked steps of all', () => {
    // 1 and 3 of 1 + 3 + 4 are ticked: 4/8; the day before only the first: 1/8.
    const steps = ticked([1, 10], [3, 20], [4, null])
    expect([shareAt({ ...task, steps }, 15), shareAt({ ...task, steps }, 20)]).toEqual([0.125, 0.5])
  })
  it('is at most nine tenths by steps, and nothing without any', () => {
    expect(shareAt({ ...task, steps: ticked([1, 1], [1, 1]) }, 5)).toBe(0.9)
    // 19 of 20 are 0.95.
    expect(shareAt({ ...task, steps: ticked([19, 1], [1, null]) }, 5)).toBe(0.9)
    expect(shareAt(task, 5)).toBe(0)
  })
  it('stays with what was finished at the agreement and taken off her since, and never comes to what was not', () => {
    expect([shareAt({ ...task, isGone: true, shareDone: 1 }, 5), shareAt({ ...task, isGone: true, shareDone: 0.5 }, 5)]).toEqual([1, 0])
  })
})

describe('what was meant by when', () => {
  const base = { name: '', phase: '', cents: 0, shareDone: 0, bySteps: false, finishedAt: null, steps: [], isGone: false }
  const task = (id: string, minutes: number, start: number | null, end: number | null, over: Partial<EarnTask> = {}): EarnTask => ({ ...base, taskId: id, minutes, startsAt: start, endsAt: end, ...over })

  it('counts a task at its end, one with steps bit by bit up to nine tenths', () => {
    const tasks = [task('a', 100, 0, 1000), task('b', 200, 0, 1000, { bySteps: true })]
    // Half way: a nothing, b 0.9 × 500/1000 of 200 = 90. At the end both.
    expect([plannedAt(tasks, 0, 500), plannedAt(tasks, 0, 1000)]).toEqual([90, 300])
  })
  it('goes on from what was done at the agreement', () => {
    const tasks = [task('a', 100, -900, -500, { shareDone: 1, finishedAt: -500 }), task('b', 200, 0, 1000, { bySteps: true, shareDone: 0.4 })]
    // At the agreement 100 + 0.4 × 200; half way 100 + 200 × (0.4 + 0.5 × 0.5) = 230.
    expect([plannedAt(tasks, 0, 0), plannedAt(tasks, 0, 500)]).toEqual([180, 230])
    // Before it what was done then: of b no tick is known.
    expect([plannedAt(tasks, 0, -600), plannedAt(tasks, 0, -1)]).toEqual([0, 100])
  })
  it('has what could not be planned done with the rest', () => {
    expect([999, 1000].map((t) => plannedAt([task('a', 100, 0, 1000), task('b', 50, null, null)], 0, t))).toEqual([0, 150])
  })

  // Saturdays' work of 60 each for four weeks; weeks begin at 0, 7 DAY, … and Saturday's work ends at day 5.6.
  const saturday = (week: number) => Math.round((7 * week + 5.6) * DAY)
  const edges = [0, 1, 2, 3, 4].map((week) => week * 7 * DAY)
  const four = (done: number) => [0, 1, 2, 3].map((w) => task(`w${w}`, 60, saturday(w) - 60, saturday(w), { finishedAt: w < done ? saturday(w) : null }))

  it('finds nobody behind on a Wednesday who did all that was meant up to Sunday', () => {
    expect(weeksBehind(four(2), 0, edges, 16 * DAY)).toBe(0)
  })
  it('finds a week behind after one missed Saturday, the Sunday after and still on Wednesday', () => {
    // Two of three are done on the Sunday of the third week: the plan is at 180, week 3; the work at 120, week 2. On day 20 of 21 at most 20/7 weeks have gone.
    expect(weeksBehind(four(2), 0, edges, 20 * DAY)).toBeCloseTo(20 / 7 - 2, 9)
    expect(weeksBehind(four(2), 0, edges, 23 * DAY)).toBeCloseTo(1, 9)
  })
  it('finds a week ahead who did a Saturday’s work early', () => {
    const early = four(2).map((t, n) => (n === 2 ? { ...t, finishedAt: 15 * DAY } : t))
    expect(weeksBehind(early, 0, edges, 16 * DAY)).toBeCloseTo(2 - 3, 9)
    expect(earnedAt(early, 16 * DAY)).toBe(180)
  })
  it('goes on counting when the planned end has passed', () => {
    // All was meant in four weeks; ten weeks have gone and half is done: 10 - 2.
    expect(weeksBehind(four(2), 0, edges, 70 * DAY)).toBeCloseTo(8, 9)
  })
})

describe('the words', () => {
  const p = { earnedMin: 61 * 60, totalMin: 200 * 60, weeksBehind: 2.2 } as Parameters<typeof progressSentence>[0]
  it('say hours, weeks, and what makes it good', () => {
    expect(progressSentence(p, { extraPerWeekMin: 180 })).toBe('61 of 200 h earned, two weeks behind the agreed plan; 3 h a week more makes it good.')
    expect(progressSentence(p, null)).toBe('61 of 200 h earned, two weeks behind the agreed plan.')
    expect(progressSentence({ ...p, weeksBehind: -1.1 }, { extraPerWeekMin: 180 })).toBe('61 of 200 h earned, a week ahead of the agreed plan.')
    expect(progressSentence({ ...p, weeksBehind: null }, null)).toBe('61 of 200 h earned; no plan is agreed yet to hold that against.')
    expect([0.49, -0.49, 0.5, 13].map(behindWords)).toEqual([
      'where the agreed plan has her', 'where the agreed plan has her', 'a week behind the agreed plan', '13 weeks behind the agreed plan',
    ])
  })
  it('say of a hull that looks like a boat how little that is, with her own figure', () => {
    // The figures of two published logs, trade practice §1a: 25.5 of 99.5 h, and 28 of 165.5 h.
    expect(shapeWords({ shape: { at: 0, share: 25.5 / 99.5 }, share: 0.3 }, null)).toContain('26 % of her work was done; today it is 30 %')
    expect(shapeWords({ shape: { at: 0, share: 28 / 165.5 }, share: 0.2 }, null)).toContain('17 % of her work was done')
    expect(shapeWords({ shape: { at: 0, share: 0.2 }, share: 0.8 }, null)).toBeNull()
    expect(shapeWords({ shape: null, share: 0.3 }, null)).toBeNull()
  })
})

describe('an agreed plan', () => {
  let club: TestClub
  let rows: ReturnType<typeof planRows>
  let ann: Person & { memberId: string }
  const agree = (input: AgreeBaseline) => transact(club.db, (tx) => agreeBaseline(tx, { ...club.make.ctx(ann.memberId), now: club.clock.now() }, input))
  const refusal = async (input: AgreeBaseline) => {
    const said = await agree(input)
    return said.ok ? null : said.refusal
  }
  beforeAll(async () => {
    club = await testClub({ now: '2026-06-01T06:00:00Z' })
    rows = planRows(club)
    ann = await club.signedIn(['officer'], { name: 'Ann' })
  })

  it('gives the published earned schedule, from planned weeks 0, 50, 120, 200, 300, 420, 560, 680, 760, 800 and 450 earned at week 7', async () => {
    const { db } = club
    const build = await rows.build({ name: 'Avocet', startedOn: day('2026-06-01') })
    const meant = [50, 70, 80, 100, 120, 140, 120, 80, 40]
    const tasks = []
    for (const [n, h] of meant.entries()) tasks.push(await build.task(`Week ${n + 1}`, h * 60))
    // The sixth, of 140, has 14 steps.
    await build.steps(tasks[5]!.id, Array<number>(14).fill(1))
    const at = (week: number, days: number, hour: string) => new Date(Date.parse(`2026-06-01T${hour}:00Z`) + (week * 7 + days) * DAY * 60_000)
    await rows.plan(build.id, tasks.map((t, n) => ({ taskId: t.id, start: at(n, 2, '08:00').toISOString(), end: at(n, 5, '14:00').toISOString() })), { launchAt: at(8, 5, '14:00') })
    expect((await agree({ buildId: build.id, reason: '' })).ok).toBe(true)
    for (const [n, t] of tasks.slice(0, 5).entries()) await db.task.update({ where: { id: t.id }, data: { startedAt: at(n, 2, '08:00'), finishedAt: at(n, 5, '14:00') } })
    // 50 + 70 + 80 + 100 + 120 = 420, and 3 of 14 steps of 140 are 30: 450.
    await db.step.updateMany({ where: { taskId: tasks[5]!.id, position: { lt: 3 } }, data: { tickedAt: at(5, 5, '14:00') } })

    // Seven weeks after the Monday midnight: 20 July 00:00 in Berlin.
    const now = new Date('2026-07-19T22:00:00Z')
    const p = await progressOf(db, build.id, now)
    expect([p.totalMin / 60, p.earnedMin / 60, (p.plannedMin ?? 0) / 60]).toEqual([800, 450, 680])
    expect(p.weeksBehind).toBeCloseTo(7 - 5.214286, 5)
    expect(p.series.map((w) => (w.planned ?? 0) / 60)).toEqual([50, 120, 200, 300, 420, 560, 680, 760, 800])
    expect(p.series.map((w) => w.earned && w.earned / 60)).toEqual([50, 120, 200, 300, 420, 450, 450, 450, null])
    // Seen from three weeks earlier she was where the plan had her: 300 of 300.
    expect([(await progressOf(db, build.id, new Date('2026-06-28T22:00:00Z'))).weeksBehind, (await progressOf(db, build.id, new Date('2026-05-31T22:00:00Z'))).baseline]).toEqual([0, null])
    club.clock.set(now.toISOString())
    expect(textOf((await ann.get(`/builds/${build.id}/progress`)).body)).toContain('450 of 800 h earned, two weeks behind the agreed plan.')
    club.clock.set('2026-06-01T06:00:00Z')
  })

  it('measures all hands of work done together, nothing of what dries, and keeps what was finished before', async () => {
    const { db } = club
    const build = await rows.build({ name: 'Bittern', startedOn: day('2026-05-18') })
    const done = await build.task('Cut', 120, { startedAt: new Date('2026-05-23T08:00:00Z'), finishedAt: new Date('2026-05-23T10:00:00Z') })
    const turn = await build.task('Turn over', 30, { kind: 'together', handsFrom: 4, smallestMin: null })
    const cure = await build.task('Let it dry', 3000, { kind: 'unattended', handsFrom: 0, handsTo: 0, smallestMin: null })
    await rows.plan(build.id, [turn, cure].map((t) => ({ taskId: t.id, start: '2026-06-06T10:00:00Z', end: '2026-06-06T10:30:00Z' })))
    await agree({ buildId: build.id, reason: '' })
    const kept = await db.baselineTask.findMany({ where: { baseline: { buildId: build.id } }, orderBy: { minutes: 'desc' }, select: { taskId: true, minutes: true, shareDone: true, startsAt: true } })
    // 30 min × 4 hands = 120; 120 + 120 = 240, half of it done.
    expect(kept.map((k) => [k.taskId, k.minutes, k.shareDone]).sort()).toEqual([[done.id, 120, 1], [turn.id, 120, 0], [cure.id, 0, 0]].sort())
    expect(kept.find((k) => k.taskId === done.id)?.startsAt).toEqual(new Date('2026-05-23T08:00:00Z'))
    const p = await progressOf(db, build.id, club.clock.now())
    expect([p.totalMin, p.earnedMin, p.share, p.weeksBehind]).toEqual([240, 120, 0.5, 0])
  })

  it('is agreed anew with a reason; what came between earns nothing until then, and the first is kept', async () => {
    const { db } = club
    const build = await rows.build({ name: 'Curlew' })
    const [a, b] = [await build.task('Plank', 300), await build.task('Rail', 300)]
    const piece = (t: { id: string }, date: string) => ({ taskId: t.id, start: `${date}T08:00:00Z`, end: `${date}T13:00:00Z` })
    await rows.plan(build.id, [piece(a, '2026-06-06'), piece(b, '2026-06-13')], { launchAt: new Date('2026-06-13T13:00:00Z') })
    await agree({ buildId: build.id, reason: '' })
    const [mend, more] = [await build.task('Grind out and fill again', 120), await build.task('Oars', 180, { finishedAt: club.clock.now() })]
    await db.snag.create({
      data: { buildId: build.id, no: 1, what: 'void', whereAt: 'keel', bad: 'before_next', foundOn: day('2026-06-01'), foundById: ann.memberId, createdAt: club.clock.now(), reworkTaskId: mend.id },
    })
    const between = await progressOf(db, build.id, club.clock.now())
    // Oars are finished and earn nothing; of the added work 120 are left, of all 300 + 300 + 120.
    expect([between.totalMin, between.earnedMin, between.extraMin, between.leftMin]).toEqual([600, 0, 120, 720])
    expect(between.extras).toEqual([{ taskId: mend.id, name: 'Grind out and fill again', leftMin: 120, why: 'rework' }])

    expect(await refusal({ buildId: build.id, reason: '  ' })).toMatchObject({ status: 422, fields: { reason: expect.stringContaining('why') } })
    await rows.plan(build.id, [piece(a, '2026-06-06'), piece(b, '2026-06-13'), piece(mend, '2026-06-20')], { launchAt: new Date('2026-06-20T13:00:00Z') })
    expect((await agree({ buildId: build.id, reason: 'A void in the keel, and oars' })).ok).toBe(true)
    const anew = await progressOf(db, build.id, club.clock.now())
    // 300 + 300 + 120 + 180; the oars are earned.
    expect([anew.totalMin, anew.earnedMin, anew.extraMin]).toEqual([900, 180, 0])
    expect(anew.baselines.map((x) => [x.no, x.reason, x.totalMin, x.launchAt && new Date(x.launchAt * 60_000).toISOString()])).toEqual([
      [2, 'A void in the keel, and oars', 900, '2026-06-20T13:00:00.000Z'], [1, '', 600, '2026-06-13T13:00:00.000Z'],
    ])
    expect(await db.auditRow.count({ where: { buildId: build.id, entity: 'baseline' } })).toBe(2)
    // A task that is taken off is left out, and told.
    await db.task.delete({ where: { id: b.id } })
    expect(await progressOf(db, build.id, club.clock.now())).toMatchObject({ totalMin: 600, gone: [{ name: 'Rail', minutes: 300 }] })
    expect(textOf((await ann.get(`/builds/${build.id}/progress`)).body)).toMatch(/1 task of the agreed plan, 5 h, was taken off since.*A void in the keel, and oars/)
    expect(more.id).not.toBe(mend.id)

    // Nobody changes what was agreed, whoever asks the database.
    const [first] = await db.baseline.findMany({ where: { buildId: build.id }, orderBy: { no: 'asc' } })
    const tries = [
      () => db.baseline.update({ where: { id: first!.id }, data: { totalMin: 1 } }), () => db.baseline.delete({ where: { id: first!.id } }),
      () => db.baselineTask.updateMany({ where: { baselineId: first!.id }, data: { minutes: 1 } }), () => db.baselineTask.deleteMany({ where: { baselineId: first!.id } }),
    ]
    // 23001 is PostgreSQL's restrict_violation.
    for (const one of tries) expect(await one().then(() => 'changed', sqlState)).toBe('23001')
  })

  it('is refused where there is nothing to agree on, with a way out', async () => {
    const { db } = club
    const empty = await rows.build({ name: 'Dunlin' })
    expect((await refusal({ buildId: empty.id, reason: '' }))?.message).toMatch(/no tasks yet.*Add tasks/)
    await empty.task('Let it dry', 600, { kind: 'unattended', handsFrom: 0, handsTo: 0, smallestMin: null })
    expect((await refusal({ buildId: empty.id, reason: '' }))?.message).toMatch(/Nothing of hers takes hands-on work/)
    const answer = await ann.post(`/builds/${empty.id}/progress/agree`)
    expect([answer.statusCode, textOf(answer.body).includes('Nothing of hers takes hands-on work')]).toEqual([422, true])
    for (const [state, words] of [['paused', /Let her go on first/], ['launched', /nothing left to agree/]] as const) {
      const build = await rows.build({ name: `Build ${state}`, state, ...(state === 'paused' ? { pausedOn: day('2026-05-30') } : {}) })
      await build.task('Plank', 60)
      expect((await refusal({ buildId: build.id, reason: '' }))?.message).toMatch(words)
    }
    expect(await db.baseline.count({ where: { buildId: empty.id } })).toBe(0)
  })

  it('is refused on a plan that is being made anew, that failed or that changed since the page was shown', async () => {
    const { db } = club
    const build = await rows.build({ name: 'Egret' })
    const task = await build.task('Plank', 60)
    const seen = await rows.plan(build.id, [{ taskId: task.id, start: '2026-06-06T08:00:00Z', end: '2026-06-06T09:00:00Z' }])
    const asked = await db.planRequest.create({ data: { cause: 'Ann comes', at: club.clock.now() } })
    expect((await refusal({ buildId: build.id, reason: '' }))?.message).toMatch(/being worked out anew/)
    const failed = await rows.plan(build.id, [], { status: 'failed' })
    await db.planRequest.update({ where: { id: asked.id }, data: { planId: failed.id } })
    expect((await refusal({ buildId: build.id, reason: '' }))?.message).toMatch(/could not be planned/)
    await rows.plan(build.id, [{ taskId: task.id, start: '2026-06-13T08:00:00Z', end: '2026-06-13T09:00:00Z' }])
    expect(await refusal({ buildId: build.id, reason: '', planId: String(seen.id) })).toMatchObject({ status: 409 })
    expect(await refusal({ buildId: build.id, reason: '' })).toBeNull()
    // A build that goes takes what was agreed of her with it.
    await db.build.delete({ where: { id: build.id } })
    expect(await db.baseline.count({ where: { buildId: build.id } })).toBe(0)
  })

  it('names tasks that have no date, and takes them in when somebody says so', async () => {
    const { db } = club
    const build = await rows.build({ name: 'Fulmar' })
    const [a, b, c] = [await build.task('Plank', 60), await build.task('Turn over', 60), await build.task('Rail', 60)]
    await rows.plan(build.id, [{ taskId: a.id, start: '2026-06-06T08:00:00Z', end: '2026-06-06T09:00:00Z' }], { unplanned: [{ taskId: b.id, reason: { kind: 'hands', need: 4, most: 2 } }] })
    const page = textOf((await ann.get(`/builds/${build.id}/progress`)).body)
    expect(page).toContain('Can’t be planned yet: Turn over · Rail.')
    expect(await refusal({ buildId: build.id, reason: '' })).toMatchObject({ message: '“Turn over” and “Rail” can’t be planned yet.', fields: { withUnplanned: expect.any(String) } })
    expect((await ann.post(`/builds/${build.id}/progress/agree`, { withUnplanned: 'on' })).statusCode).toBe(303)
    expect(await db.baselineTask.count({ where: { taskId: { in: [b.id, c.id] }, startsAt: null } })).toBe(2)
    // What has no date is due with the rest, on 6 June.
    expect((await progressOf(db, build.id, new Date('2026-06-06T09:00:00Z'))).plannedMin).toBe(180)
  })

  it('holds material money only against the same shares, and never prices an hour', async () => {
    const { db, make } = club
    const build = await rows.build({ name: 'Godwit' })
    const [a, b] = [await build.task('Glue', 60), await build.task('Coat', 180)]
    const item = await make.item({ name: 'Wood flour' })
    await db.itemPack.create({ data: { itemId: item.id, name: 'bag', qtyMilli: 1_000_000n, priceCents: 2000 } })
    const takes = (taskId: string, likely: number, over = {}) => db.taskMaterial.create({ data: { taskId, name: 'Wood flour', unit: 'g', low: likely, likely, high: likely, itemId: item.id, ...over } })
    await takes(a.id, 500)
    await takes(b.id, 1500)
    await takes(b.id, 3, { name: 'Brass cleats', unit: 'pcs', itemId: null })
    await rows.plan(build.id, [a, b].map((t) => ({ taskId: t.id, start: '2026-06-06T08:00:00Z', end: '2026-06-06T09:00:00Z' })))
    const said = await agree({ buildId: build.id, reason: '' })
    expect(said.ok && said.value.flash).toContain('1 material has no price and is not in the budget')
    // 2000 cents a kg: 500 g are 1000 cents, 1500 g are 3000.
    await make.lot({ itemId: item.id, qty: 1_000_000, cents: 2500 })
    await transact(db, (tx) => drawStock(tx, make.ctx(ann.memberId, { now: club.clock.now() }), { itemId: item.id, qtyMilli: 600_000, structural: true, buildId: build.id, taskId: a.id }))
    await db.task.update({ where: { id: a.id }, data: { finishedAt: club.clock.now() } })
    const p = await progressOf(db, build.id, club.clock.now())
    // Drawn 600 g at 2.5 cents: 1500. The glue is done and was to take 1000; the coat is still to take its 3000: 4500 at the end.
    expect(p.money).toEqual({ budget: 4000, spent: 1500, earned: 1000, atEnd: 4500 })
    expect(p.baseline?.unpriced).toEqual(['Brass cleats'])
    // A quarter of the hours, 60 of 240, is no quarter of the money: 1000 of 4000 it is here by what the task takes.
    expect(p.share).toBe(0.25)
  })

  it('is agreed by her builders and officers, and by nobody else', async () => {
    const [helper, builder] = [await club.signedIn(['helper']), await club.signedIn(['builder'])]
    const build = await rows.build({ name: 'Heron' }, [builder.memberId])
    const task = await build.task('Plank', 60)
    const plan = await rows.plan(build.id, [{ taskId: task.id, start: '2026-06-06T08:00:00Z', end: '2026-06-06T09:00:00Z' }])
    await club.db.planRequest.updateMany({ data: { planId: plan.id } })
    expect((await helper.post(`/builds/${build.id}/progress/agree`)).statusCode).toBe(403)
    expect(textOf((await helper.get(`/builds/${build.id}/progress`)).body)).not.toContain('Agree on the plan')
    expect((await builder.post(`/builds/${build.id}/progress/agree`)).statusCode).toBe(303)
  })
})
