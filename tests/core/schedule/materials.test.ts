/**
 * Material from the stores: who is served first, and what waits. The rule of serving is the service's own (common practice, no source).
 * Hours from Saturday 00:00; amounts in thousandths of a gram.
 */
import { describe, expect, test } from 'vitest'
import { check } from '../../../src/core/schedule/check.ts'
import { plan } from '../../../src/core/schedule/plan.ts'
import type { Plan } from '../../../src/core/schedule/answer.ts'
import type { FixedPiece, Material, MaterialNeed, Problem, TaskSpec } from '../../../src/core/schedule/problem.ts'
import { instant, minutes } from '../../../src/core/units/index.ts'
import { makeProduct } from '../../support/cure.ts'
import { permuted, shiftedBy, shiftPlan } from '../../support/clubs-change.ts'
import { dice } from '../../support/dice.ts'
import { after, binding, build, hour, hours, person, planned, problem, shared, task, wash } from '../../support/problem.ts'

const g = (n: number): number => n * 1000
const DAY = 24
/** Ann every day from 9 to 17, for three weeks. */
const days = (n = 21): [number, number][] => Array.from({ length: n }, (_, i) => [i * DAY + 9, i * DAY + 17])
const people = [person('ann', ...days()), person('bob', ...days())]
/** Supplies as [hour, grams, fit]; what is here since before now has a negative hour. */
const stock = (id: string, supplies: readonly (readonly [number, number, ('structure' | 'any')?])[], leadDays = 7): Material =>
  ({ id, leadTime: minutes(leadDays * 1440), supplies: supplies.map(([at, n, fit = 'structure']) => ({ at: hour(at), amount: g(n), fit })) })
const needs = (materialId: string, grams: number, structural = true): MaterialNeed => ({ materialId, amount: g(grams), structural })
const taking = (id: string, grams: number, over: Partial<TaskSpec> = {}): TaskSpec => task(id, { materials: [needs('resin', grams)], ...over })
const pin = (taskId: string, from: number, over: Partial<FixedPiece> = {}): FixedPiece =>
  ({ taskId, start: hour(from), end: hour(from + 1), people: ['ann'], supervisor: null, placeId: 'shop', why: 'pinned', ...over })
const ask = (over: Partial<Problem>): Problem => problem({ people, ...over })
const need = (p: Plan, taskId: string, materialId = 'resin') => p.needs.find((n) => n.taskId === taskId && n.materialId === materialId)
const start = (p: Plan, taskId: string): number | undefined => hours(p, taskId)[0]?.[0]

describe('without needs', () => {
  test('stock on the shelf changes nothing', () => {
    const tasks = ['a', 'b', 'c'].map((id) => task(id, { work: shared(300) }))
    const bare = planned(ask({ tasks }))
    expect(planned(ask({ tasks, materials: [stock('resin', [[-5, 100], [50, 100]])] }))).toEqual(bare)
    expect(bare.needs).toEqual([])
  })

  test('nor do needs that are on hand, but for being told', () => {
    const tasks = ['a', 'b', 'c'].map((id) => task(id, { work: shared(300) }))
    const bare = planned(ask({ tasks }))
    const p = planned(ask({ tasks: tasks.map((t) => ({ ...t, materials: [needs('resin', 30)] })), materials: [stock('resin', [[-5, 90]])] }))
    expect(p).toEqual({ ...bare, needs: p.needs })
    // 3 x 30 of 90: all of it on hand for five hours.
    expect(p.needs.map((n) => [n.taskId, n.covered, n.short, n.shortArrives])).toEqual(['a', 'b', 'c'].map((id) => [id, -300, 0, null]))
  })

  test('finished tasks, paused builds and empty needs take nothing', () => {
    const done = { start: instant(-100), end: instant(-40), coat: null }
    const p = planned(ask({
      builds: [build(), build('rest', { paused: true })], materials: [stock('resin', [[-5, 10]])],
      tasks: [taking('a', 10, { finished: done }), taking('b', 10, { buildId: 'rest' }), taking('c', 10), taking('d', 0)],
    }))
    expect(p.needs.map((n) => n.taskId)).toEqual(['c'])
    expect(start(p, 'c')).toBe(9)
  })
})

describe('what is short', () => {
  test('is taken as ordered now, and the task waits for it', () => {
    // 1,200 on hand, 2,000 needed: 800 are short, here in 7 days at hour 168 (midnight); ann comes at 168 + 9 = 177.
    const p = planned(ask({ tasks: [taking('a', 2000)], materials: [stock('resin', [[-5, 1200]])] }))
    expect(start(p, 'a')).toBe(177)
    expect(need(p, 'a')).toEqual({
      taskId: 'a', materialId: 'resin', amount: g(2000), structural: true, wanted: hour(9), covered: hour(168), short: g(800), shortArrives: hour(168),
    })
    expect(binding(p, 'a')).toEqual({ kind: 'material', materialId: 'resin', short: g(800), at: hour(168) })
    // Material free she would be done at 10: no plan at all can be sooner.
    expect(p.builds[0]).toMatchObject({ launch: hour(178), lowerBound: hour(10) })
  })

  test('of an item that the club has none of is all of it', () => {
    const p = planned(ask({ tasks: [taking('a', 50)], materials: [stock('resin', [], 2)] }))
    expect(need(p, 'a')).toMatchObject({ short: g(50), covered: hour(48) })
    expect(start(p, 'a')).toBe(57)
  })

  test('holds nothing up where it comes before it is wanted', () => {
    // b waits for a until day 10 by its lag; resin ordered now is here on day 7.
    const p = planned(ask({ tasks: [task('a'), taking('b', 50)], links: [after('a', 'b', 10 * 1440)], materials: [stock('resin', [])] }))
    // a ends at 10; 10 + 240 = 250 is day 10 at 10:00.
    expect([start(p, 'b'), binding(p, 'b').kind]).toEqual([250, 'link'])
    expect(need(p, 'b')).toMatchObject({ wanted: hour(250), covered: hour(168), short: g(50) })
  })

  test('with a delivery beyond the planned time leaves the task out, and what comes after it', () => {
    const p = planned(ask({ tasks: [taking('a', 50), task('b')], links: [after('a', 'b')], materials: [stock('resin', [], 40)] }))
    expect(p.unplanned).toEqual([
      { taskId: 'a', reason: { kind: 'material', materialId: 'resin', at: hour(960) } }, { taskId: 'b', reason: { kind: 'before', taskId: 'a' } },
    ])
    // Another way to serve might have it: that is not proved impossible.
    expect(p.status).toBe('feasible')
  })

  test('with a delivery when nobody comes any more says the material too', () => {
    // Three weeks of sessions, the last on day 20; ordered now it is here on day 25 of 28.
    const p = planned(ask({ tasks: [taking('a', 50)], materials: [stock('resin', [], 25)] }))
    expect(p.unplanned).toEqual([{ taskId: 'a', reason: { kind: 'material', materialId: 'resin', at: hour(600) } }])
  })

  test('does not hide why else a task can\'t be done', () => {
    const p = planned(ask({ tasks: [taking('a', 50, { competences: ['saw'] })], materials: [stock('resin', [], 40)] }))
    expect(p.unplanned).toEqual([{ taskId: 'a', reason: { kind: 'competence', competenceId: 'saw' } }])
    expect(need(p, 'a')).toMatchObject({ wanted: null })
  })
})

describe('who is served first', () => {
  test('the build of higher priority, although the other could begin sooner', () => {
    // 100 on hand. tern (priority 2) needs 80 from day 3 on; skua (1) needs 50 at once and finds 20 left: 30 short, here on day 7.
    const p = planned(ask({
      builds: [build('skua'), build('tern', { priority: 2 })], materials: [stock('resin', [[-5, 100]])],
      tasks: [taking('s', 50, { buildId: 'skua' }), taking('t', 80, { buildId: 'tern', release: hour(72) })],
    }))
    expect(need(p, 't')).toMatchObject({ covered: hour(-5), short: 0 })
    expect(need(p, 's')).toMatchObject({ short: g(30), covered: hour(168) })
    expect([start(p, 't'), start(p, 's')]).toEqual([81, 177])
  })

  test('the sooner of two tasks of equal priority', () => {
    // s is wanted on day 0, r on day 3: s takes 50 of 80, r finds 30 and is 20 short.
    const p = planned(ask({
      tasks: [taking('r', 50, { release: hour(72) }), taking('s', 50)], materials: [stock('resin', [[-5, 80]])],
    }))
    expect([start(p, 's'), start(p, 'r')]).toEqual([9, 177])
    expect(need(p, 'r')).toMatchObject({ short: g(20) })
  })

  test('by the id of the build, then of the task, where all else is equal', () => {
    const both = { people: [person('ann', ...days()), person('bob', ...days())] }
    const p = planned(ask({
      ...both, builds: [build('b1'), build('b2')], materials: [stock('resin', [[-5, 10]])],
      tasks: [taking('x', 10, { buildId: 'b2' }), taking('y', 10, { buildId: 'b1' })],
    }))
    expect(p.needs.map((n) => [n.taskId, n.wanted, n.short])).toEqual([['x', hour(9), g(10)], ['y', hour(9), 0]])
  })

  test('a pinned task before every other, and it is never dropped: it is shown short', () => {
    // 40 on hand. The pin at day 1 takes them and is 10 short; the build of priority 5 gets nothing.
    const p = planned(ask({
      builds: [build('skua'), build('tern', { priority: 5 })], materials: [stock('resin', [[-5, 40]])], fixed: [pin('s', 33)],
      tasks: [taking('s', 50, { buildId: 'skua' }), taking('t', 20, { buildId: 'tern' })],
    }))
    expect([hours(p, 's'), p.dropped]).toEqual([[[33, 34]], []])
    expect(need(p, 's')).toMatchObject({ short: g(10), covered: hour(168), shortArrives: hour(168) })
    expect(need(p, 't')).toMatchObject({ short: g(20) })
    expect(start(p, 't')).toBe(177)
  })

  test('of two pinned tasks the one that starts first', () => {
    const p = planned(ask({
      tasks: [taking('a', 30), taking('b', 30)], fixed: [pin('a', 34), pin('b', 33)], materials: [stock('resin', [[-5, 30]])],
    }))
    expect([need(p, 'b')!.short, need(p, 'a')!.short]).toEqual([0, g(30)])
  })

  test('the rest of a task that is partly pinned is done when its people are there, short or not', () => {
    const rest = task('a', { work: shared(180), smallest: minutes(30), materials: [needs('resin', 50)] })
    const p = planned(ask({ people: [people[0]!], tasks: [rest], fixed: [pin('a', 11)], materials: [stock('resin', [])] }))
    expect(hours(p, 'a')).toEqual([[9, 11], [11, 12]])
  })
})

describe('an order under way', () => {
  test('that comes after what is ordered now would is still what the task waits for', () => {
    // 50 on day 8; 10 more would have to be ordered, here on day 2 already. The order under way binds, so nothing is told as short.
    const p = planned(ask({ tasks: [taking('a', 60)], materials: [stock('resin', [[192, 50]], 2)] }))
    expect(need(p, 'a')).toMatchObject({ covered: hour(192), short: g(10), shortArrives: hour(48) })
    expect(binding(p, 'a')).toEqual({ kind: 'material', materialId: 'resin', short: 0, at: hour(192) })
  })

  test('is waited for, with nothing short', () => {
    // 60 on hand, 60 more on day 4 at hour 100: a takes 60 + 20, covered at hour 100; ann is there (96 + 9 = 105).
    const p = planned(ask({ tasks: [taking('a', 80)], materials: [stock('resin', [[-5, 60], [100, 60]])] }))
    expect(need(p, 'a')).toMatchObject({ covered: hour(100), short: 0, shortArrives: null })
    expect([start(p, 'a'), binding(p, 'a')]).toEqual([105, { kind: 'material', materialId: 'resin', short: 0, at: hour(100) }])
  })

  test('that arrives while people are there is used at once', () => {
    const p = planned(ask({ tasks: [taking('a', 80)], materials: [stock('resin', [[14, 80]])] }))
    expect([start(p, 'a'), binding(p, 'a').kind]).toEqual([14, 'material'])
  })

  test('that arrives too late in the session is still what it waits for', () => {
    // Here at 16:30; 60 minutes no longer fit before 17, so it is 33 = 24 + 9.
    const p = planned(ask({ tasks: [taking('a', 80)], materials: [stock('resin', [[16.5, 80]])] }))
    expect([start(p, 'a'), binding(p, 'a')]).toEqual([33, { kind: 'material', materialId: 'resin', short: 0, at: hour(16.5) }])
  })

  test('after which other work is in the way says the other work', () => {
    // Resin at 24; on day 1 from 9 to 17 ann and bob are pinned to c: a starts on day 2.
    const p = planned(ask({
      tasks: [taking('a', 80), task('c', { work: { kind: 'together', minutes: minutes(480), hands: 2 } })],
      fixed: [pin('c', 33, { end: hour(41), people: ['ann', 'bob'] })], materials: [stock('resin', [[24, 80]])],
    }))
    expect([start(p, 'a'), binding(p, 'a')]).toEqual([57, { kind: 'hands', need: 1, taskId: 'c' }])
  })
})

describe('fit', () => {
  test('what is not structural serves such needs only, and they take it first', () => {
    // 30 not structural, 30 structural. k (not structural, 20) takes 20 of the first kind; s (structural, 40) has 30 of the second: 10 short,
    // although 10 of the first are left.
    const p = planned(ask({
      tasks: [task('k', { materials: [needs('resin', 20, false)] }), taking('s', 40)],
      materials: [stock('resin', [[-6, 30, 'any'], [-5, 30]])],
    }))
    expect(need(p, 'k')).toMatchObject({ short: 0, covered: hour(-6) })
    expect(need(p, 's')).toMatchObject({ short: g(10) })
  })

  test('a need that is not structural goes on with sound material when the rest is used up', () => {
    // k takes 30 + 20 of 30 + 60; s finds 40 of its 40.
    const p = planned(ask({
      tasks: [task('k', { materials: [needs('resin', 50, false)] }), taking('s', 40)],
      materials: [stock('resin', [[-6, 30, 'any'], [-5, 60]])],
    }))
    expect(p.needs.map((n) => n.short)).toEqual([0, 0])
    expect(p.needs.map((n) => n.wanted)).toEqual([hour(9), hour(9)])
  })

  test('a task may need both kinds of one item; equal needs are one', () => {
    // Structural 20 + 15 = 35 of 30: 5 short. Not structural 10 of the 25 that are for it: none.
    const p = planned(ask({
      tasks: [task('a', { materials: [needs('resin', 20), needs('resin', 10, false), needs('resin', 15)] })],
      materials: [stock('resin', [[-5, 30], [-6, 25, 'any']])],
    }))
    expect(p.needs.map((n) => [n.structural, n.amount, n.short])).toEqual([[true, g(35), g(5)], [false, g(10), 0]])
  })
})

describe('several needs', () => {
  test('a system is two needs, and the later one binds', () => {
    // Resin is here on day 2, hardener (short) on day 5: a starts on day 5 at 120 + 9.
    const p = planned(ask({
      tasks: [task('a', { materials: [needs('resin', 100), needs('hardener', 44)] })],
      materials: [stock('resin', [[48, 100]]), stock('hardener', [[-5, 40]], 5)],
    }))
    expect([start(p, 'a'), binding(p, 'a')]).toEqual([129, { kind: 'material', materialId: 'hardener', short: g(4), at: hour(120) }])
  })

  test('are served whole tasks at a time: who is first takes all it needs, and what another lacks helps nobody', () => {
    // a takes 60 of 100 resin, b 40 and is short of 20 hardener of which there are none: b waits, its resin stays its own; c waits for resin.
    const p = planned(ask({
      tasks: [taking('a', 60), task('b', { materials: [needs('resin', 40), needs('hardener', 20)] }), taking('c', 30)],
      people: [...people, person('cleo', ...days())], materials: [stock('resin', [[-5, 100]], 3), stock('hardener', [], 7)],
    }))
    expect([start(p, 'a'), start(p, 'b'), start(p, 'c')]).toEqual([9, 177, 81])
  })
})

test('a coat is held back so that the next one, which waits for paint, meets its window', () => {
  // Each coat 1 h; the window on the first opens 5 h after its end and closes 20 h after its start. Paint comes on day 2 at 48.
  const resin = makeProduct({ id: 'resin', filmEnergyLow: 0, filmEnergyHigh: 0, stages: { opens: minutes(300), closes: minutes(1200), sandable: minutes(960) } })
  const p = planned(ask({
    products: [resin], links: [{ id: 'w', kind: 'window', from: 'a', to: 'b', wash: wash('w1', { work: shared(600) }) }],
    tasks: [task('a', { productId: 'resin' }), task('b', { productId: 'resin', materials: [needs('paint', 10)] })],
    materials: [stock('paint', [[48, 10]])],
  }))
  // b can't be done before hour 48 + 9 = 57 and ends at 58, so the window on a must not close before: a from 58 - 20 = 38, an hour.
  expect([hours(p, 'a'), hours(p, 'b')]).toEqual([[[38, 39]], [[57, 58]]])
  expect(binding(p, 'a')).toMatchObject({ kind: 'window', linkId: 'w', heldBack: true })
  expect(binding(p, 'b')).toMatchObject({ kind: 'material', materialId: 'paint' })
  expect(p.met.map((m) => m.linkId)).toEqual(['w'])
})

test('a pinned wash is dropped when its coat comes only after it, with the material', () => {
  // Material free: a 9-10, sandable 16 h later, the wash pinned to 33 stands. The paint comes at 48: a is put on at 57.
  const paint = makeProduct({ id: 'paint', filmEnergyLow: 0, filmEnergyHigh: 0,
    stages: { dustFree: minutes(60), opens: minutes(300), closes: minutes(400), sandable: minutes(960) },
  })
  const club = (supplyAt: number): Plan => planned(ask({
    products: [paint], links: [{ id: 'w', kind: 'window', from: 'a', to: 'b', wash: wash('w1') }], fixed: [pin('w1', 33)],
    tasks: [task('a', { productId: 'paint', materials: [needs('paint', 10)] }), task('b', { productId: 'paint' })], materials: [stock('paint', [[supplyAt, 10]])],
  }))
  expect([start(club(-5), 'a'), start(club(-5), 'w1'), club(-5).dropped]).toEqual([9, 33, []])
  expect(start(club(48), 'a')).toBe(57)
  expect(club(48).dropped).toMatchObject([{ taskId: 'w1', why: 'pinned', fault: { rule: 'link' } }])
})

test('tasks that need nothing take the time that others wait', () => {
  // a would go first by name; it waits for resin until day 2, and b and c don't wait with it.
  const p = planned(ask({
    people: [people[0]!], tasks: [taking('a', 10, { work: shared(480) }), task('b', { work: shared(480) }), task('c', { work: shared(480) })],
    materials: [stock('resin', [[48, 10]])],
  }))
  expect([start(p, 'b'), start(p, 'c'), start(p, 'a')].sort()).toEqual([33, 57, 9])
  expect(start(p, 'a')).toBe(57)
})

test('another origin of time and another order of the arrays change nothing', () => {
  const p = ask({
    builds: [build('skua'), build('tern', { priority: 2 })],
    tasks: [
      taking('s1', 50, { buildId: 'skua' }), taking('s2', 30, { buildId: 'skua', materials: [needs('resin', 30, false), needs('hardener', 9)] }),
      taking('t1', 80, { buildId: 'tern', release: hour(30) }), taking('t2', 20, { buildId: 'tern' }),
    ],
    materials: [stock('resin', [[-5, 100], [40, 20, 'any'], [60, 30]]), stock('hardener', [[-9, 5], [200, 3]], 4)], fixed: [pin('s1', 33)],
  })
  const one = planned(p)
  const by = 1_234_567
  const two = shiftPlan(-by, planned(shiftedBy(by, permuted(dice(3), p))))
  expect(two).toEqual(one)
  expect(one.needs.some((n) => n.short > 0)).toBe(true)
})

test('the time that the caller gives is shared by both searches where something may have to wait, and else is all for the one', () => {
  const shares = (onHand: number): number[] => {
    const asked = new Set<number>()
    // Two boats and one pair of hands: no plan reaches both bounds, so both searches go on to the end.
    const builds = [build('skua'), build('tern')]
    const tasks = builds.flatMap(({ id: buildId }) => [taking(`${buildId}1`, 50, { buildId }), task(`${buildId}2`, { buildId, work: shared(480) })])
    const found = plan(ask({ builds, tasks, people: [people[0]!], materials: [stock('resin', [[-5, onHand]])] }), {
      seed: 1, maxSchedules: 20, stop: (share) => { asked.add(share); return false },
    })
    expect(found.ok).toBe(true)
    return [...asked]
  }
  expect(shares(100)).toEqual([1])
  expect(shares(60)).toEqual([0.5, 1])
})

describe('the checker', () => {
  const p = ask({
    tasks: [taking('a', 60), taking('b', 60), taking('c', 60, { materials: [needs('resin', 60, false)] })], fixed: [pin('c', 34)],
    materials: [stock('resin', [[-5, 70], [-4, 10, 'any'], [30, 40]])],
  })
  // c (pinned) takes 10 + 50; a the last 20 and 40 at hour 30; b nothing: 60 short, hour 168.
  const right = planned(p)
  const rules = (over: Partial<Plan>, problem = p): string[] => [...new Set(check(problem, { ...right, ...over }).map((f) => f.rule))]
  const moved = (taskId: string, from: number): Plan['pieces'] =>
    right.pieces.map((x) => (x.taskId === taskId ? { ...x, start: hour(from), end: hour(from + 1) } : x))
  const told = (taskId: string, over: Partial<Plan['needs'][number]>) =>
    ({ needs: right.needs.map((n) => (n.taskId === taskId ? { ...n, ...over } : n)) })

  test('finds nothing in the plan as it is', () => {
    expect(right.needs.map((n) => [n.taskId, n.covered / 60, n.short])).toEqual([['a', 30, 0], ['b', 168, g(60)], ['c', -4, 0]])
    expect([start(right, 'a'), start(right, 'b')]).toEqual([33, 177])
    expect(rules({})).toEqual([])
  })

  test('finds a task that starts before its material is here, and the shelf that is empty then', () => {
    expect(rules({ pieces: moved('a', 9) })).toContain('material')
    // b at hour 57: 70 + 10 + 40 = 120 have come, 60 + 60 + 60 are used.
    expect(rules({ pieces: moved('b', 57) })).toEqual(expect.arrayContaining(['material', 'stock']))
  })

  test('finds covering, shortage and delivery told wrongly', () => {
    expect(rules(told('a', { covered: hour(29) }))).toContain('served')
    expect(rules(told('b', { short: g(59) }))).toContain('served')
    expect(rules(told('b', { shortArrives: hour(167) }))).toContain('served')
    expect(rules(told('a', { shortArrives: hour(168) }))).toContain('served')
  })

  test('finds a need that is left out, is told twice, or is nobody\'s', () => {
    expect(rules({ needs: right.needs.slice(1) })).toContain('needs')
    expect(rules({ needs: [...right.needs, right.needs[0]!] })).toContain('needs')
    expect(rules({ needs: [...right.needs, { ...right.needs[0]!, taskId: 'z' }] })).toContain('needs')
    expect(rules(told('a', { amount: g(61) }))).toContain('needs')
  })

  test('finds tasks served in the wrong order', () => {
    // b wanted a minute before a would take the supply at hour 30, and a be short.
    expect(rules(told('b', { wanted: instant(hour(9) - 1) }))).toContain('served')
  })

  test('finds a reason that names a need which is none', () => {
    const reason = (materialId: string, short: number) =>
      ({ pieces: right.pieces.map((x) => (x.taskId === 'b' ? { ...x, binding: { kind: 'material' as const, materialId, short, at: hour(168) } } : x)) })
    expect(rules(reason('resin', g(60)))).toEqual([])
    expect(rules(reason('resin', g(50)))).toEqual(['binding'])
    expect(rules(reason('varnish', g(60)))).toEqual(['binding'])
  })

  test('finds sound material used twice although enough of the other kind is there', () => {
    // All on hand: 70 sound, 10 not. Told as if a (structural, 60) and b (structural, 20) were both covered: 80 in all, but 10 of them not sound.
    const q = ask({ tasks: [taking('a', 60), taking('b', 20)], materials: [stock('resin', [[-5, 70], [-4, 10, 'any']])] })
    const sound = planned(q)
    expect(need(sound, 'b')).toMatchObject({ short: g(10) })
    const wrong = {
      ...sound, needs: sound.needs.map((n) => (n.taskId === 'b' ? { ...n, short: 0, covered: hour(-4), shortArrives: null } : n)),
      pieces: sound.pieces.map((x) => (x.taskId === 'b' ? { ...x, start: hour(9), end: hour(10) } : x)),
    }
    expect(check(q, wrong).map((f) => f.rule)).toEqual(expect.arrayContaining(['served', 'material', 'stock']))
  })
})
