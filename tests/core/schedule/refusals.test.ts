/** Questions that can't be planned at all are refused by name; order of rows and origin of time change nothing. */
import { describe, expect, test } from 'vitest'
import { parseProblem } from '../../../src/core/schedule/parse.ts'
import { plan } from '../../../src/core/schedule/plan.ts'
import type { Link, Problem } from '../../../src/core/schedule/problem.ts'
import { instant, minutes } from '../../../src/core/units/index.ts'
import { makeProduct } from '../../support/cure.ts'
import { after, build, person, planned, problem, shared, task, unattended, wash } from '../../support/problem.ts'

const refusal = (over: Partial<Problem>): unknown => {
  const parsed = parseProblem(problem(over))
  return parsed.ok ? null : parsed.refusal
}
const resin = makeProduct({ id: 'resin', stages: { opens: minutes(60), closes: minutes(600), sandable: minutes(300) } })

describe('refused', () => {
  test('links that form a circle, with the tasks in order', () =>
    expect(refusal({
      tasks: ['a', 'b', 'c', 'd'].map((id) => task(id)), links: [after('a', 'b'), after('b', 'c'), after('c', 'b'), after('c', 'd')],
    })).toEqual([{ kind: 'circle', taskIds: ['b', 'c'] }]))

  test('a task that waits for itself', () =>
    expect(refusal({ tasks: [task('a')], links: [after('a', 'a')] })).toEqual([{ kind: 'circle', taskIds: ['a'] }]))

  test('a circle through stages and windows', () =>
    expect(refusal({
      products: [resin], tasks: ['a', 'b'].map((id) => task(id, { productId: 'resin' })),
      links: [{ id: 'w', kind: 'window', from: 'a', to: 'b', wash: wash('w1') }, { id: 's', kind: 'stage', from: 'b', to: 'a', stage: 'sandable' }],
    })).toEqual([{ kind: 'circle', taskIds: ['a', 'b'] }]))

  test('lags of people\'s work that push a task behind itself', () => {
    // b at least 30 after a, a at least 10 after b
    const lag = (from: string, to: string, min: number): Link =>
      ({ id: from + to, kind: 'lag', from, to, edge: 'start', min: minutes(min), max: null })
    expect(refusal({ tasks: [task('a'), task('b')], links: [lag('a', 'b', 30), lag('b', 'a', 10)] })).toMatchObject([{ kind: 'lag-circle' }])
  })

  test('ids that nothing has', () =>
    expect(refusal({ tasks: [task('a', { places: ['attic'] })], links: [after('a', 'z')] })).toEqual([
      { kind: 'unknown-id', what: 'place', id: 'attic', owner: 'a' }, { kind: 'unknown-id', what: 'task', id: 'z', owner: 'a-z' },
    ]))

  test('the same id twice', () => expect(refusal({ tasks: [task('a'), task('a')] })).toEqual([{ kind: 'duplicate-id', what: 'task', id: 'a' }]))

  test('a coat in more than one go', () =>
    expect(refusal({ products: [resin], tasks: [task('a', { productId: 'resin', smallest: minutes(30) })] }))
      .toEqual([{ kind: 'divisible-coat', taskId: 'a' }]))

  test('hours of -3, half minutes, and a session that ends before it begins', () => {
    expect(refusal({ tasks: [task('a', { work: { kind: 'shared', work: -3 as never, handsFrom: 1, handsTo: 1 } })] }))
      .toEqual([{ kind: 'bad-number', owner: 'a', field: 'work', value: -3 }])
    expect(refusal({ tasks: [task('a', { setUp: 0.5 as never })] })).toEqual([{ kind: 'bad-number', owner: 'a', field: 'setUp', value: 0.5 }])
    expect(refusal({ people: [person('ann', [10, 9])] }))
      .toEqual([{ kind: 'bad-interval', owner: 'ann', start: 600, end: 540 }])
  })

  test('material that nothing knows, less than nothing of it, parts of thousandths, and deliveries before they are ordered', () => {
    const supply = (amount: number, at = 0) => ({ at: at as never, amount, fit: 'structure' as const })
    const resin = (over: object) => ({ materials: [{ id: 'resin', leadTime: minutes(0), supplies: [], ...over }] })
    const taking = (materialId: string, amount: number) => [task('a', { materials: [{ materialId, amount, structural: true }] })]
    expect(refusal({ ...resin({}), tasks: taking('varnish', 1) })).toEqual([{ kind: 'unknown-id', what: 'material', id: 'varnish', owner: 'a' }])
    expect(refusal({ ...resin({}), tasks: taking('resin', -1) })).toEqual([{ kind: 'bad-number', owner: 'a', field: 'amount', value: -1 }])
    expect(refusal({ ...resin({}), tasks: taking('resin', 0.5) })).toEqual([{ kind: 'bad-number', owner: 'a', field: 'amount', value: 0.5 }])
    expect(refusal(resin({ supplies: [supply(-5)] }))).toEqual([{ kind: 'bad-number', owner: 'resin', field: 'amount', value: -5 }])
    expect(refusal(resin({ supplies: [supply(5, 1.5)] }))).toEqual([{ kind: 'bad-number', owner: 'resin', field: 'at', value: 1.5 }])
    expect(refusal(resin({ leadTime: -1 }))).toEqual([{ kind: 'bad-number', owner: 'resin', field: 'leadTime', value: -1 }])
    expect(refusal({ materials: [...resin({}).materials, ...resin({}).materials] })).toEqual([{ kind: 'duplicate-id', what: 'material', id: 'resin' }])
    // Half a tonne in mg is no slip.
    expect(refusal({ ...resin({ supplies: [supply(5e8 + 1)] }), tasks: taking('resin', 0) })).toBe(null)
  })

  test('two supplies of one arrival, but not if one of them is unfit for structure', () => {
    const resin = (fit: 'structure' | 'any') =>
      ({ materials: [{ id: 'resin', leadTime: minutes(0), supplies: [{ at: instant(9), amount: 1, fit: 'any' as const }, { at: instant(9), amount: 2, fit }] }] })
    expect(refusal(resin('any'))).toEqual([{ kind: 'duplicate-supply', materialId: 'resin', at: 9, fit: 'any' }])
    expect(refusal(resin('structure'))).toBe(null)
  })

  test('more hands from than to', () =>
    expect(refusal({ tasks: [task('a', { work: shared(60, 3, 2) })] })).toEqual([{ kind: 'bad-number', owner: 'a', field: 'handsTo', value: 2 }]))
})

test('a positive circle of unattended tasks\' lags is an infeasible plan with its tasks named, not a refusal', () => {
  // b at least 30 after a; a at most 10 before b
  const p = planned(problem({
    tasks: ['a', 'b', 'c'].map((id) => task(id, { work: unattended(5), places: [] })),
    links: [
      { id: 'l1', kind: 'lag', from: 'a', to: 'b', edge: 'start', min: minutes(30), max: null },
      { id: 'l2', kind: 'lag', from: 'a', to: 'b', edge: 'start', min: null, max: minutes(10) },
    ],
  }))
  expect(p.status).toBe('infeasible')
  expect(p.unplanned).toEqual(['a', 'b'].map((taskId) => ({ taskId, reason: { kind: 'circle', taskIds: ['a', 'b'] } })))
  expect(p.pieces.map((x) => x.taskId)).toEqual(['c'])
})

test('a later origin moves every instant of the plan by as much, and nothing else', () => {
  const ask = problem({
    tasks: [task('a', { release: instant(600) }), task('b')], links: [after('a', 'b')], builds: [build('boat', { launchTarget: instant(700) })],
  })
  const by = 123 * 1440
  const later: Problem = JSON.parse(JSON.stringify(ask), (key, value: unknown) =>
    typeof value === 'number' && ['now', 'horizon', 'start', 'end', 'from', 'release', 'launchTarget'].includes(key) ? value + by : value) as Problem
  const one = planned(ask)
  const two = plan(later, { seed: 1, maxSchedules: 50 })
  expect(two.ok && two.value.pieces.map((x) => [x.start - by, x.end - by, x.taskId])).toEqual(one.pieces.map((x) => [x.start, x.end, x.taskId]))
  expect(two.ok && two.value.score).toEqual(one.score)
})
