/** Rules of the checker by plans written by hand: each valid to the minute, and wrong a minute off. Minutes count from now. */
import { describe, expect, test } from 'vitest'
import type { Piece, Plan } from '../../../src/core/schedule/answer.ts'
import { check } from '../../../src/core/schedule/check.ts'
import type { FixedPiece, Link, Problem } from '../../../src/core/schedule/problem.ts'
import { celsius, instant, minutes } from '../../../src/core/units/index.ts'
import { makeClimate, makeProduct } from '../../support/cure.ts'
import { build, hour, person, place, problem, shared, task, together, wash } from '../../support/problem.ts'

type Row = readonly [taskId: string, start: number, end: number, people?: readonly string[], over?: Partial<Piece>]

/** Broken rules but for launch and score, which these plans leave out. */
function faults(p: Problem, rows: readonly Row[], over: Partial<Plan> = {}): string[] {
  const counts = new Map<string, number>()
  const pieces = [...rows].sort((a, b) => a[1] - b[1]).map(([taskId, start, end, people = ['ann'], rest = {}]): Piece => {
    const n = (counts.get(taskId) ?? 0) + 1
    counts.set(taskId, n)
    return {
      id: `${taskId}/${n}`, taskId, buildId: 'boat', start: instant(start), end: instant(end), people, supervisor: null, placeId: 'shop', fixed: null,
      projected: false, binding: { kind: 'choice' }, float: minutes(0), freeFloat: minutes(0), ...rest,
    }
  })
  const plan: Plan = {
    pieces, builds: [], missed: [], met: [], unplanned: [], dropped: [], needs: [], status: 'feasible', schedules: 1,
    score: { unplanned: 0, lateness: 0, launches: 0, moves: 0, brokenUp: 0 }, ...over,
  }
  return check(p, plan).map((f) => f.rule).filter((r) => r !== 'outcome' && r !== 'score')
}
const ann = person('ann', [0, 24])
const bob = person('bob', [0, 24])
const ask = (over: Partial<Problem>): Problem => problem({ people: [ann, bob], ...over })
const finished = (end: number, lasts = 60) => ({
  start: instant(end - lasts), end: instant(end), coat: { start: instant(end - lasts), end: instant(end), placeId: 'shop', overrides: [] },
})
/** Twice as fast at 30 °C as at 20: R ln 2 / (1/293.15 - 1/303.15) = 8.314 * 0.693147 / 0.000112525 = 51 213.8 J/mol. */
const DOUBLING = (8.314 * Math.LN2) / (1 / 293.15 - 1 / 303.15) / 1000
const epoxy = makeProduct({
  id: 'epoxy', filmEnergyLow: DOUBLING, filmEnergyHigh: DOUBLING, cureFloor: celsius(10),
  stages: { dustFree: minutes(120), opens: minutes(120), closes: minutes(300), sandable: minutes(240), handleable: minutes(480) },
})
const coat = (id: string, over = {}) => task(id, { productId: 'epoxy', ...over })

describe('cure', () => {
  // 20 °C to minute 120, then 30 °C. Coat on from 0 to 60. Opens: 60 min earned by 120, 60 left at rate 2: 150.
  // Closes counts from 0: 120 earned by 120, 180 left at rate 2: 210.
  const warm = { places: [place('shop', { climate: makeClimate([-9999, 20], [120, 30]) })], products: [epoxy], tasks: [coat('a'), coat('b')] }
  const window: Link = { id: 'w', kind: 'window', from: 'a', to: 'b', wash: null }
  const met = (opens: number, closes: number) => ({ met: [{ linkId: 'w', opens: instant(opens), closes: instant(closes) }] })

  test('a window opens from the end of application and closes from its start, by the warmth in between', () => {
    const p = ask({ ...warm, links: [window] })
    expect(faults(p, [['a', 0, 60], ['b', 150, 210]], met(150, 210))).toEqual([])
    expect(faults(p, [['a', 0, 60], ['b', 149, 209]], met(150, 210))).toEqual(['window'])
    expect(faults(p, [['a', 0, 60], ['b', 151, 211]], met(150, 210))).toEqual(['window'])
    expect(faults(p, [['a', 0, 60], ['b', 150, 210]], met(151, 210))).toEqual(['window'])
  })

  test('below the floor nothing is earned towards opening, but closing goes on', () => {
    // 20 °C to 90, 5 °C (under the floor of 10) to 150, then 20 °C: 30 earned by 90, 90 left from 150 on: opens 240.
    const p = ask({ ...warm, links: [window], places: [place('shop', { climate: makeClimate([-9999, 20], [90, 5], [150, 20]) })] })
    // At 5 °C the rate is exp(-51213.8/8.314 * (1/278.15 - 1/293.15)) = 0.3220: from 0, 90 + 60 * 0.3220 = 109.3 by 150, 190.7 left: 340.
    expect(faults(p, [['a', 0, 60], ['b', 240, 300]], met(240, 340))).toEqual([])
    expect(faults(p, [['a', 0, 60], ['b', 239, 299]], met(240, 340))).toEqual(['window'])
    expect(faults(p, [['a', 0, 60], ['b', 240, 300]], met(240, 341))).toEqual(['window'])
  })

  test('what a person found wins over the computed stage', () => {
    const done = { ...finished(0), coat: { ...finished(0).coat, overrides: [{ stage: 'opens' as const, at: instant(30) }] } }
    const p = ask({ ...warm, tasks: [{ ...coat('a'), finished: done }, coat('b')], links: [window] })
    // Closes from -60: 180 earned by 120, 120 left at rate 2: 180.
    expect(faults(p, [['b', 30, 90]], met(30, 180))).toEqual([])
    expect(faults(p, [['b', 29, 89]], met(30, 180))).toEqual(['window'])
  })

  test('a stage a product doesn\'t have never comes', () => {
    const p = ask({ ...warm, tasks: [coat('a'), task('b')], links: [{ id: 's', kind: 'stage', from: 'a', to: 'b', stage: 'fullCure' }] })
    expect(faults(p, [['a', 0, 60], ['b', 1200, 1260]])).toEqual(['stage'])
  })
})

describe('a missed window', () => {
  const link: Link = { id: 'w', kind: 'window', from: 'a', to: 'b', wash: wash('sand', { work: shared(30) }) }
  const p = ask({ products: [epoxy], tasks: [coat('a'), coat('b')], links: [link] })
  // At 20 °C: closes 300, sandable 60 + 240 = 300.
  const missed = { missed: [{ linkId: 'w', opens: instant(180), closes: instant(300), why: 'chosen' as const, washTaskId: 'sand' }] }
  test('has its wash from sandable on, and the coat after it', () => {
    expect(faults(p, [['a', 0, 60], ['sand', 300, 330], ['b', 330, 390]], missed)).toEqual([])
    expect(faults(p, [['a', 0, 60], ['sand', 299, 329], ['b', 330, 390]], missed)).toEqual(['wash'])
    expect(faults(p, [['a', 0, 60], ['sand', 300, 330], ['b', 329, 389]], missed)).toContain('wash')
  })
  test('is never silent, and a window that is met has no wash', () => {
    expect(faults(p, [['a', 0, 60], ['b', 330, 390]])).toEqual(['window-silent'])
    const met = { met: [{ linkId: 'w', opens: instant(180), closes: instant(300) }] }
    expect(faults(p, [['a', 0, 60], ['b', 180, 240]], met)).toEqual([])
    expect(faults(p, [['a', 0, 60], ['b', 180, 240], ['sand', 420, 450]], met)).toContain('wash')
  })
})

describe('work', () => {
  test('ends with the minute that finishes it', () => {
    // 100 person-minutes by three: ceil(100 / 3) = 34 minutes.
    const three = ask({ people: [ann, bob, person('cay', [0, 24])], tasks: [task('a', { work: shared(100, 1, 3) })] })
    const all = ['ann', 'bob', 'cay']
    expect(faults(three, [['a', 0, 34, all]])).toEqual([])
    expect(faults(three, [['a', 0, 33, all]])).toEqual(['work'])
    expect(faults(three, [['a', 0, 35, all]])).toEqual(['work'])
  })

  test('is counted between set-up and clear-up of each piece', () => {
    // 90 = 60 by one + 30 by one; each piece has 10 before and 5 after.
    const p = ask({ tasks: [task('a', { work: shared(90), smallest: minutes(45), setUp: minutes(10), clearUp: minutes(5) })] })
    expect(faults(p, [['a', 0, 75], ['a', 100, 145]])).toEqual([])
    // 30 first is under the smallest piece; 30 last is not.
    expect(faults(p, [['a', 0, 45], ['a', 100, 175]])).toEqual(['smallest'])
    expect(faults(p, [['a', 0, 75], ['a', 74, 119]])).toContain('order')
  })

  test('done together takes its minutes whoever comes, with just the hands asked', () => {
    const p = ask({ tasks: [task('a', { work: together(60, 2) })] })
    expect(faults(p, [['a', 0, 60, ['ann', 'bob']]])).toEqual([])
    expect(faults(p, [['a', 0, 60]])).toEqual(['hands'])
    expect(faults(p, [['a', 0, 30, ['ann', 'bob']]])).toEqual(['work'])
  })
})

describe('people', () => {
  test('are there within one presence, not across two that touch', () => {
    const p = ask({ people: [person('ann', [0, 2], [2, 4])], tasks: [task('a')] })
    expect(faults(p, [['a', 60, 120]])).toEqual([])
    expect(faults(p, [['a', 61, 121]])).toEqual(['presence'])
  })

  test('supervise in one place at a time, and may lend a hand there', () => {
    const full = { competenceId: 'saw', level: 'full' as const, until: null }
    const learner = { ...bob, competences: [{ ...full, level: 'supervised' as const }] }
    const p = ask({
      people: [{ ...ann, competences: [full] }, learner], places: [place('shop'), place('tent')],
      tasks: [task('a', { competences: ['saw'] }), task('b', { places: ['shop', 'tent'] })],
    })
    const sawing = (over: Partial<Piece>): Row => ['a', 0, 60, ['bob'], over]
    expect(faults(p, [sawing({ supervisor: 'ann' }), ['b', 0, 60]])).toEqual([])
    expect(faults(p, [sawing({ supervisor: 'ann' }), ['b', 0, 60, ['ann'], { placeId: 'tent' }]])).toEqual(['supervisor'])
    expect(faults(p, [sawing({}), ['b', 0, 60]])).toEqual(['supervisor'])
  })

  test('hold a competence to the end of the piece', () => {
    const until = (t: number) => ask(
      { people: [{ ...ann, competences: [{ competenceId: 'saw', level: 'full', until: instant(t) }] }], tasks: [task('a', { competences: ['saw'] })] }
    )
    expect(faults(until(60), [['a', 0, 60]])).toEqual([])
    expect(faults(until(59), [['a', 0, 60]])).toEqual(['competence'])
  })
})

describe('things', () => {
  const clamps = { id: 'clamps', siteId: null, capacity: [{ from: instant(-9999), count: 4 }] }
  const need = (amount: number) => ({ resources: [{ resourceId: 'clamps', amount, until: 'handleable' as const }] })

  test('clamps of yesterday\'s glue-up are free when it can be handled', () => {
    // Finished at -300 at 20 °C: handleable at 180. Three of four clamps are on it.
    const p = ask({ products: [epoxy], resources: [clamps], tasks: [{ ...coat('old', need(3)), finished: finished(-300) }, coat('new', need(2))] })
    expect(faults(p, [['new', 180, 240]])).toEqual([])
    expect(faults(p, [['new', 179, 239]])).toEqual(['resource'])
  })

  test('what facts overdraw is no fault, but leaves nothing', () => {
    // One bay; two paused builds stand in it.
    const rest = (id: string) => ({ ...task(id, { buildId: id }), startedAt: instant(-60) })
    const p = ask({
      builds: [build(), build('b1', { paused: true }), build('b2', { paused: true })],
      resources: [{ id: 'bay', siteId: 'site', capacity: [{ from: instant(-9999), count: 1 }] }],
      tasks: [rest('b1'), rest('b2'), task('a', { resources: [{ resourceId: 'bay', amount: 1, until: null }] })],
      holds: ['b1', 'b2'].map((id) => ({ id, buildId: id, resourceId: 'bay', amount: 1, fromTask: id, toTask: id })),
    })
    expect(faults(p, [['a', 0, 60]])).toEqual(['resource'])
    expect(faults({ ...p, tasks: [rest('b1'), rest('b2'), task('a')] }, [['a', 0, 60]])).toEqual([])
  })

  test('are held from the start of one task to the finish of another', () => {
    const p = ask({
      resources: [{ id: 'bay', siteId: 'site', capacity: [{ from: instant(-9999), count: 1 }] }], tasks: [task('a'), task('b'), task('c')],
      holds: [{ id: 'h', buildId: 'boat', resourceId: 'bay', amount: 1, fromTask: 'a', toTask: 'b' }],
    })
    const wants = { ...p, tasks: [task('a'), task('b'), task('c', { resources: [{ resourceId: 'bay', amount: 1, until: null }] })] }
    expect(faults(wants, [['a', 0, 60], ['b', 300, 360], ['c', 360, 420, ['bob']]])).toEqual([])
    expect(faults(wants, [['a', 0, 60], ['b', 300, 360], ['c', 120, 180, ['bob']]])).toEqual(['resource'])
  })

  test('arrive with their first count', () => {
    const router = { id: 'router', siteId: null, capacity: [{ from: instant(100), count: 1 }] }
    const p = ask({ resources: [router], tasks: [task('a', { resources: [{ resourceId: 'router', amount: 1, until: null }] })] })
    expect(faults(p, [['a', 100, 160]])).toEqual([])
    expect(faults(p, [['a', 99, 159]])).toEqual(['resource'])
  })
})

describe('dust', () => {
  test('settles before a coat, also from work already done', () => {
    const p = ask(
      { products: [epoxy], places: [place('shop', { settle: minutes(30), lastDust: instant(-10) })], tasks: [coat('a'), task('b', { dusty: true })] }
    )
    // Last dust at -10 and 30 to settle: a coat from 20 on, dry at 80 + 120 = 200.
    expect(faults(p, [['a', 20, 80], ['b', 200, 260]])).toEqual([])
    expect(faults(p, [['a', 19, 79], ['b', 200, 260]])).toEqual(['dust'])
    expect(faults(p, [['a', 20, 80], ['b', 199, 259]])).toEqual(['dust'])
  })

  test('stays off a coat that went on before now, and may fly in another place', () => {
    const p = ask({
      products: [epoxy], places: [place('shop'), place('tent')],
      tasks: [{ ...coat('a'), finished: finished(-60) }, task('b', { dusty: true, places: ['shop', 'tent'] })],
    })
    // Dust-free at -60 + 120 = 60.
    expect(faults(p, [['b', 60, 120]])).toEqual([])
    expect(faults(p, [['b', 59, 119]])).toEqual(['dust'])
    expect(faults(p, [['b', 0, 60, ['ann'], { placeId: 'tent' }]])).toEqual([])
  })
})

test('a kept piece that began before now is not judged by how it began, only by what it does from now on', () => {
  const fixed: FixedPiece = {
    taskId: 'a', start: instant(-60), end: instant(60), people: ['ann'], supervisor: null, placeId: 'shop', why: 'under-way',
  }
  const p = ask({ people: [person('ann', [0, 24]), bob], tasks: [task('a', { work: shared(120), release: instant(30) }), task('b')], fixed: [fixed] })
  const kept: Row = ['a', -60, 60, ['ann'], { fixed: 'under-way', binding: { kind: 'fixed' } }]
  expect(faults(p, [kept, ['b', 60, 120]])).toEqual([])
  expect(faults(p, [kept, ['b', 59, 119]])).toEqual(['double-booked'])
  expect(faults({ ...p, people: [person('ann', [0, 0.5]), bob] }, [kept, ['b', 60, 120, ['bob']]])).toEqual(['presence'])
})

test('texts tell local time, also over a change of clocks', () => {
  // Clocks go from UTC to UTC+1 at minute 60: local 01:00 becomes 02:00. Presence ends before the piece does.
  const zone = [{ from: instant(-9999), offset: 0 }, { from: instant(60), offset: 60 }]
  const p = ask({ zone, people: [person('ann', [0, 2])], tasks: [task('a')] })
  const plan = { start: 90, text: '1970-01-01 02:30 to 1970-01-01 03:30' }
  const found = check(p, {
    pieces: [{
      id: 'a/1', taskId: 'a', buildId: 'boat', start: instant(plan.start), end: instant(plan.start + 60), people: ['ann'], supervisor: null,
      placeId: 'shop', fixed: null, projected: false, binding: { kind: 'choice' }, float: minutes(0), freeFloat: minutes(0),
    }],
    builds: [{ buildId: 'boat', launch: instant(150), lowerBound: hour(0), late: minutes(0), chain: ['a/1'] }],
    missed: [], met: [], unplanned: [], dropped: [], needs: [], status: 'feasible', schedules: 1,
    score: { unplanned: 0, lateness: 0, launches: 150, moves: 0, brokenUp: 0 },
  })
  expect(found.map((f) => f.rule)).toEqual(['presence'])
  expect(found[0]!.text).toContain(plan.text)
})
