/** Bounds that no plan can beat, the score, and the answer's own figures. Hours from Saturday 00:00. */
import { expect, test } from 'vitest'
import { compareScores, lowerBounds } from '../../../src/core/schedule/index.ts'
import type { Problem } from '../../../src/core/schedule/problem.ts'
import { instant, minutes } from '../../../src/core/units/index.ts'
import { makeProduct } from '../../support/cure.ts'
import { after, build, hours, person, planned, problem, shared, task, wash } from '../../support/problem.ts'

const bound = (p: Problem): (number | null)[] => {
  const found = lowerBounds(p)
  if (!found.ok) throw new Error(JSON.stringify(found.refusal))
  return found.value.launches.map((l) => (l.launch === null ? null : l.launch / 60))
}

test('the bound is the critical path through sessions, each task with everybody to itself', () => {
  // Two people, Sat 9-12, Sun 9-12. a: 240 person-minutes by two: Sat 9-11. b after a, 90 min in one piece: 11-12 is too short, so Sun 9-10:30.
  const ask = problem({
    people: [person('ann', [9, 12], [33, 36]), person('bob', [9, 12], [33, 36])],
    tasks: [task('a', { work: shared(240, 1, 2), smallest: minutes(30) }), task('b', { work: shared(90) })], links: [after('a', 'b')],
  })
  expect(bound(ask)).toEqual([34.5])
  expect(planned(ask)).toMatchObject({ status: 'optimal', builds: [{ launch: 34.5 * 60, lowerBound: 34.5 * 60 }] })
})

test('a build that shares its people launches later than its bound, and no earlier', () => {
  // each boat alone is done at 11; one person for both does them one after another
  const tasks = ['x', 'y'].map((b) => task(`${b}1`, { buildId: b, work: shared(120) }))
  const ask = problem({ builds: [build('x'), build('y')], tasks })
  expect(bound(ask)).toEqual([11, 11])
  const launches = planned(ask).builds.map((b) => b.launch! / 60).sort((a, b) => a - b)
  expect(launches).toEqual([11, 13])
})

test('a window may be met or missed, so the bound takes the earlier of the two', () => {
  // c1 9-10; met from 10 + 8 = 18; missed: sandable 10 + 4 = 14, wash 1 h, so from 15
  const resin = makeProduct({ id: 'resin', stages: { dustFree: minutes(60), opens: minutes(480), closes: minutes(1080), sandable: minutes(240) } })
  const coat = (id: string) => task(id, { productId: 'resin' })
  const ask = problem({
    people: [person('ann', [9, 24])], products: [resin], tasks: [coat('c1'), coat('c2')],
    links: [{ id: 'w', kind: 'window', from: 'c1', to: 'c2', wash: wash('wash', { dusty: false }) }],
  })
  expect(bound(ask)).toEqual([16])
  // the price of missing it is dearer than three hours
  expect(hours(planned(ask), 'c2')).toEqual([[18, 19]])
})

test('what no plan can have makes the bound unknown, and is listed', () => {
  const ask = problem({ tasks: [task('a', { competences: ['welding'] }), task('b'), task('c')], links: [after('a', 'b')] })
  const found = lowerBounds(ask)
  expect(found.ok && found.value).toEqual({ launches: [{ buildId: 'boat', launch: null }], impossible: ['a', 'b'] })
})

test('the heavier build goes first, and lateness counts before launches', () => {
  const two = (x: Partial<Parameters<typeof build>[1]>, y: Partial<Parameters<typeof build>[1]>) => planned(problem({
    builds: [build('x', x), build('y', y)], tasks: [task('x1', { buildId: 'x' }), task('y1', { buildId: 'y' })],
  }))
  // launches 10 and 11: x last costs 1 * 11 + 3 * 10 = 41 h, x first 1 * 10 + 3 * 11 = 43 h
  expect(two({ priority: 1 }, { priority: 3 }).builds.map((b) => b.launch! / 60)).toEqual([11, 10])
  // x is due at 10: late by an hour if it goes second
  const due = two({ priority: 1, launchTarget: instant(600) }, { priority: 3 })
  expect(due.builds.map((b) => b.launch! / 60)).toEqual([10, 11])
  expect(due.score).toEqual({ unplanned: 0, lateness: 0, launches: 600 + 3 * 660, moves: 0, brokenUp: 0 })
})

test('scores are compared field by field', () => {
  const score = { unplanned: 0, lateness: 5, launches: 100, moves: 1, brokenUp: 2 }
  expect(compareScores(score, { ...score, unplanned: 1, lateness: 0 })).toBeLessThan(0)
  expect(compareScores(score, { ...score, lateness: 4, launches: 900 })).toBeGreaterThan(0)
  expect(compareScores(score, { ...score })).toBe(0)
})

test('the same question, seed and number of schedules give the same plan', () => {
  const tasks = ['a', 'b', 'c', 'd', 'e'].map((id, i) => task(id, { work: shared(60 + 45 * i, 1, 2), smallest: minutes(30) }))
  const people = [person('ann', [9, 12], [33, 40]), person('bob', [10, 13], [34, 38])]
  const ask = problem({ people, tasks, links: [after('a', 'd'), after('b', 'e')] })
  expect(planned(ask, 80)).toEqual(planned(ask, 80))
})
