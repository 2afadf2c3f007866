import { beforeEach, describe, expect, test } from 'vitest'
import { draftReview, progressOf } from '../../../src/features/reviews/public.ts'
import { testClub } from '../../support/app.ts'
import { day, textOf } from '../planning/club.ts'
import { EVENING, local, MONDAY, SATURDAY, skuaWeek, SUNDAY } from './week-club.ts'

const club = await testClub({ now: EVENING.toISOString() })
const week = await skuaWeek(club)
const { build, ann } = week
const builder = await club.as(ann.id)
const url = `/builds/${build.id}/reviews`

beforeEach(() => club.clock.set(EVENING))

describe('a week is drafted from the books', () => {
  test('what was meant stands beside what came of it, in hours of all hands', async () => {
    const facts = await draftReview(club.db, build.id, MONDAY, EVENING)
    expect(facts.meant.map((m) => [m.name, m.meantMin, m.workedMin, m.came])).toEqual([
      ['Fit the rails', 240, 240, 'finished'], // 2 h × 2 hands
      ['First coat', 60, 60, 'finished'],
      ['Sand the inside', 120, 130, 'worked'],
      ['Second coat', 60, 0, 'none'],
      ['Cut the deck', 240, 0, 'none'],
      ['Make the tiller', 60, 0, 'none'],
    ])
    expect(facts.done.map((d) => [d.name, d.workedMin, d.isFinished, d.wasMeant])).toEqual([
      ['Fit the rails', 240, true, true], ['Sand the inside', 130, false, true], ['First coat', 60, true, true], ['Grind out the bubble', 30, false, false],
    ])
    // Meant: wood 240 + 240 + 60, resin 60 + 60, sanding 120. Worked: wood 240 + 30, resin 60, sanding 130.
    expect(facts.hours).toEqual([
      { craft: 'wood', meantMin: 540, workedMin: 270 }, { craft: 'resin', meantMin: 120, workedMin: 60 }, { craft: 'sanding', meantMin: 120, workedMin: 130 },
    ])
    expect([facts.availableMin, facts.hasMeant, facts.isQuiet, facts.isOver]).toEqual([900, true, false, false])
    // 460 min = 7 h 40 of 780 min = 13 h.
    expect(facts.headline).toBe('7.7 h worked of 13 h meant; finished: Fit the rails and First coat; 4 of 6 things meant go on.')
  })

  test('each thing that goes on has the cause that the books show', async () => {
    const { slips } = await draftReview(club.db, build.id, MONDAY, EVENING)
    expect(slips.map((s) => [s.name, s.cause, s.detail, s.leftMin])).toEqual([
      // 120 min thought, 130 worked: a tenth of the likely 120 is taken as left until it is finished.
      ['Sand the inside', 'took-longer', '2 h meant, 2 h 10 min worked', 12],
      ['Second coat', 'window', 'the film of First coat was too hard for it: it is washed and sanded first', 60],
      ['Cut the deck', 'waiting', 'Ply 6 mm, expected by Thu 28 May, is not here yet', 240],
      // Ann was there on Sunday, Ben, whom it was meant for, was not.
      ['Make the tiller', 'fewer-hands', 'nobody that it was meant for was there', 60],
    ])
  })

  test('goods stand with their lots beside what the estimate has, money and snags by the week', async () => {
    const facts = await draftReview(club.db, build.id, MONDAY, EVENING)
    // 300 g drawn where 180 to 250 g were estimated.
    expect(facts.used).toEqual([{
      itemId: week.resin.id, item: 'Clear resin', unit: 'g', milli: 300_000, lots: [week.lot.number], tasks: ['First coat'], soFar: 300_000,
      estimate: { low: 180_000, likely: 200_000, high: 250_000 }, is: 'over',
    }])
    // 300 g of 1,000 g for 10.00.
    expect([facts.money?.week, facts.money?.toDate]).toEqual([300, 300])
    expect(facts.coats).toMatchObject([{ name: 'First coat', product: 'Slow epoxy', place: 'Main floor', window: null }])
    expect(facts.snags).toEqual([{ no: 1, what: 'Bubble', whereAt: 'under the port seat', bad: 'before_next', found: true, mended: false, rework: 'Grind out the bubble' }])
    expect([facts.snagsOpen, facts.mass]).toEqual([1, { weighedG: null, weighedOn: null, inWeek: false, likelyG: null, targetG: 60_000 }])
  })

  test('progress and money are those of her progress page', async () => {
    const tasks = await club.db.task.findMany({ where: { buildId: build.id } })
    const baseline = await club.db.baseline.create({ data: { buildId: build.id, no: 1, agreedAt: local('2026-05-02', '12:00'), agreedBy: ann.id, reason: '', totalMin: 780, budgetCents: 40_000n, massG: 55_000 } })
    // Three weeks of work: the rails were meant for week 19, all else for week 21.
    await club.db.baselineTask.createMany({
      data: tasks.map((t) => ({
        baselineId: baseline.id, taskId: t.id, name: t.name, phase: 'Hull', minutes: t.workLikelyMin, cents: 5_000n,
        startsAt: local(t.id === week.rails.id ? '2026-05-09' : '2026-05-23', '10:00'), endsAt: local(t.id === week.rails.id ? '2026-05-09' : '2026-05-23', '12:00'),
      })),
    })
    const [facts, progress] = [await draftReview(club.db, build.id, MONDAY, EVENING), await progressOf(club.db, build.id, EVENING)]
    // Rails 240 min and first coat 60 of 240 + 60 + 60 + 120 + 240 + 60 + 60 = 840 min; all was meant by then.
    expect(facts.earned).toMatchObject({ share: 300 / 840, earnedMin: 300, totalMin: 840 })
    expect(facts.earned).toEqual({ share: progress.share, earnedMin: progress.earnedMin, totalMin: progress.totalMin, weeksBehind: facts.earned?.weeksBehind })
    expect(facts.earned?.weeksBehind).toBeCloseTo(progress.weeksBehind ?? NaN, 1)
    expect(facts.money).toEqual({ week: 300, toDate: progress.spentCents, budget: 40_000, earned: progress.money?.earned })
    expect(facts.mass?.likelyG).toBe(55_000)
  })

  test('nothing of later is in it, though it is in the books by now; hours written down late are', async () => {
    const before = await draftReview(club.db, build.id, MONDAY, EVENING)
    await club.db.task.update({ where: { id: week.sand.id }, data: { finishedAt: local('2026-06-06', '12:00') } })
    await week.work(week.deck, '2026-06-06', '10:00', 180, [ann])
    await club.db.logEntry.create({ data: { buildId: build.id, text: 'Ply came', at: local('2026-06-06', '09:00'), byId: ann.id, loggedAt: local('2026-06-06', '09:00') } })
    await club.db.weighIn.create({ data: { buildId: build.id, weighedOn: day('2026-06-06'), massG: 31_000, what: 'hull', loggedBy: ann.id, loggedAt: local('2026-06-06', '12:00') } })
    const late = local('2026-06-10', '20:00')
    const after = await draftReview(club.db, build.id, MONDAY, late)
    expect({ ...after, asOf: 0, isOver: false }).toEqual({ ...before, asOf: 0 })
    expect([after.asOf * 60_000, after.isOver]).toEqual([local('2026-06-01', '00:00').getTime(), true])
    // Twenty minutes of Saturday, written down on Monday: not known on Sunday, part of that week on Wednesday.
    const forgotten = await week.work(week.tiller, SATURDAY, '17:00', 20, [ann], { loggedAt: local('2026-06-01', '19:00') })
    const hours = async (now: Date) => (await draftReview(club.db, build.id, MONDAY, now)).done.reduce((n, d) => n + d.workedMin, 0)
    expect([await hours(EVENING), await hours(late)]).toEqual([460, 480])
    await club.db.workLog.create({ data: { ...forgotten, id: club.make.once(), reversesId: forgotten.id, loggedAt: local('2026-06-02', '19:00') } })
    expect(await hours(late)).toBe(460)
  })

  test('a week without anything is a quiet one, a pause is said, and neither is made up for', async () => {
    const quiet = await draftReview(club.db, build.id, '2026-05-18', EVENING)
    expect([quiet.isQuiet, quiet.headline, quiet.slips, quiet.hasMeant]).toEqual([true, 'A quiet week: nothing was logged.', [], false])
    await club.db.auditRow.create({ data: { at: local('2026-05-12', '10:00'), what: 'paused', entity: 'build', entityId: build.id, buildId: build.id, after: { note: 'a new roof' } } })
    await club.db.auditRow.create({ data: { at: local('2026-05-16', '10:00'), what: 'resumed', entity: 'build', entityId: build.id, buildId: build.id } })
    const paused = await draftReview(club.db, build.id, '2026-05-11', EVENING)
    expect([paused.pause, paused.headline]).toEqual([{ from: '2026-05-12', note: 'a new roof' }, 'She rests since Tue 12 May.'])
    expect((await draftReview(club.db, build.id, '2026-05-18', EVENING)).pause).toBeNull()
    const list = textOf((await builder.get(url)).body)
    expect(list).toMatch(/Week 5 now 2026-W22, Mon 25 May to Sun 31 May 7\.7 h under way/)
    expect(list).toMatch(/Week 4 2026-W21, Mon 18 May to Sun 24 May – nothing logged: a quiet week/)
    expect(list).toMatch(/Week 3 2026-W20, Mon 11 May to Sun 17 May – paused: a new roof/)
    expect(list).toMatch(/Week 1 2026-W18, Mon 27 Apr to Sun 3 May/)
  })

  test('the page says it all, top to bottom', async () => {
    const text = textOf((await builder.get(`${url}/${MONDAY}`)).body)
    for (const said of [
      'Skua , her week 5 · week 22', '7.7 h worked of 13 h meant', 'Meant and done', 'Making and fitting 9 h 4.5 h', 'Glue and glass 2 h 1 h', 'Together 13 h 7.7 h',
      'Cut the deck : waiting for something to come: Ply 6 mm, expected by Thu 28 May, is not here yet; about 4 h to do', 'First coat : Slow epoxy', 'more than estimated: 300 g of 200 g',
      '€3.00 charged this week', 'No. 1, Bubble (under the port seat): found; it is mended with “Grind out the bubble”', '1 snag is open',
    ]) expect(text).toContain(said)
    // Any day of the week leads there.
    expect((await builder.get(`${url}/${SUNDAY}`)).headers.location).toBe(`${url}/${MONDAY}`)
    for (const wrong of ['2026-13-40', 'x']) expect((await builder.get(`${url}/${wrong}`)).statusCode).toBe(404)
  })
})

describe('the noticeboard tells who builds her', () => {
  test('from Sunday evening on that the week can be reviewed, of weeks that have something to tell', async () => {
    const board = async (who = builder) => textOf((await who.get('/')).body)
    expect(await board()).toContain('Skua’s week 22 can be reviewed')
    club.clock.set(local(SUNDAY, '17:00'))
    // The week before was a quiet one.
    expect(await board()).not.toContain('can be reviewed')
    club.clock.set(local('2026-06-03', '12:00'))
    expect(await board()).toContain('Skua’s week 22 can be reviewed')
    const others = await club.signedIn(['builder'])
    expect(await board(others)).not.toContain('can be reviewed')
    expect((await builder.post(`${url}/${MONDAY}`, { version: 0, do: 'save' })).statusCode).toBe(303)
    expect(await board()).toContain('Skua’s week 22 is drafted and can be signed')
    expect((await builder.post(`${url}/${MONDAY}`, { version: 1, do: 'sign' })).statusCode).toBe(303)
    expect(await board()).not.toContain('Skua’s week')
  })
})
