/** Things people queue for, holds, dust and wet films, gates, closures. Hours from Saturday 00:00. */
import { describe, expect, test } from 'vitest'
import type { Resource } from '../../../src/core/schedule/problem.ts'
import { celsius, instant, minutes } from '../../../src/core/units/index.ts'
import { makeClimate, makeProduct } from '../../support/cure.ts'
import { after, binding, build, hours, person, pieces, place, planned, problem, shared, task, unattended } from '../../support/problem.ts'

const thing = (id: string, count: number, over: Partial<Resource> = {}): Resource =>
  ({ id, siteId: null, capacity: [{ from: instant(-10_000), count }], ...over })
const needs = (resourceId: string, amount = 1, until: 'handleable' | null = null) => [{ resourceId, amount, until }]
const two = [person('ann', [9, 17]), person('bob', [9, 17])]

describe('a shared tool', () => {
  test('is used by one at a time, and the other waits behind that task', () => {
    const tasks = ['a', 'b'].map((id) => task(id, { resources: needs('router') }))
    const p = planned(problem({ people: two, resources: [thing('router', 1)], tasks }))
    expect([hours(p, 'a'), hours(p, 'b')]).toEqual([[[9, 10]], [[10, 11]]])
    expect(binding(p, 'b')).toEqual({ kind: 'resource', resourceId: 'router', taskId: 'a', until: 600 })
  })

  test('that arrives on a date is waited for', () => {
    const router = thing('router', 1, { capacity: [{ from: instant(13 * 60), count: 1 }] })
    const p = planned(problem({ resources: [router], tasks: [task('a', { resources: needs('router') })] }))
    expect(hours(p, 'a')).toEqual([[13, 14]])
    expect(binding(p, 'a')).toEqual({ kind: 'resource', resourceId: 'router', taskId: null, until: 780 })
  })

  test('bound to another site can\'t be had', () => {
    const p = planned(problem({ resources: [thing('router', 1, { siteId: 'elsewhere' })], tasks: [task('a', { resources: needs('router') })] }))
    expect(p.unplanned).toEqual([{ taskId: 'a', reason: { kind: 'resource', resourceId: 'router', need: 1, most: 0 } }])
  })
})

test('clamps stay on until the glue can be handled', () => {
  const glue = makeProduct({ id: 'glue', dustSensitive: false, stages: { handleable: minutes(360) } })
  const p = planned(problem({
    products: [glue], resources: [thing('clamps', 8)], people: [person('ann', [9, 20])],
    tasks: ['a', 'b'].map((id) => task(id, { productId: 'glue', resources: needs('clamps', 6, 'handleable') })),
  }))
  // a 9-10, its 6 clamps come off at 10 + 6 = 16; 8 - 6 = 2 are too few for b
  expect([hours(p, 'a'), hours(p, 'b')]).toEqual([[[9, 10]], [[16, 17]]])
  expect(binding(p, 'b')).toEqual({ kind: 'resource', resourceId: 'clamps', taskId: 'a', until: 960 })
})

describe('a hold', () => {
  const boats = ['x', 'y'].map((id) => build(id))
  const steps = (b: string) => [task(`${b}1`, { buildId: b }), task(`${b}2`, { buildId: b })]
  const hold = (b: string) => ({ id: `bay-${b}`, buildId: b, resourceId: 'bay', amount: 1, fromTask: `${b}1`, toTask: `${b}2` })

  test('lasts from the start of one task to the finish of another, whatever goes on', () => {
    // One bay: y1 can't start before x2 is done, although bob is free.
    const p = planned(problem({
      people: two, builds: boats, tasks: [...steps('x'), ...steps('y')], resources: [thing('bay', 1)], holds: [hold('x'), hold('y')],
      links: [after('x1', 'x2'), after('y1', 'y2')],
    }))
    expect([hours(p, 'x1'), hours(p, 'x2'), hours(p, 'y1'), hours(p, 'y2')].flat()).toEqual([[9, 10], [10, 11], [11, 12], [12, 13]])
    expect(binding(p, 'y1')).toEqual({ kind: 'resource', resourceId: 'bay', taskId: 'bay-x', until: 660 })
  })

  test('of a paused build stands: nobody else gets the bay', () => {
    const p = planned(problem({
      people: two, builds: [build('x', { paused: true }), build('y')], resources: [thing('bay', 1)], holds: [hold('x'), hold('y')],
      tasks: [
        task('x1', { buildId: 'x', finished: { start: instant(-600), end: instant(-540), coat: null } }), task('x2', { buildId: 'x' }), ...steps('y'),
      ],
      links: [after('x1', 'x2'), after('y1', 'y2')],
    }))
    expect(p.unplanned).toEqual([
      { taskId: 'y1', reason: { kind: 'held', resourceId: 'bay', holdId: 'bay-x' } },
      { taskId: 'y2', reason: { kind: 'before', taskId: 'y1' } },
    ])
    expect(p.builds.map((b) => b.launch)).toEqual([null, null])
  })

  test('of two builds that want each other\'s thing do not lock each other', () => {
    // x holds the bay from x1 to x2 and needs the cradle in x2; y holds the cradle from y1 to y2 and needs the bay in y2.
    const p = planned(problem({
      people: two, builds: boats, resources: [thing('bay', 1), thing('cradle', 1)],
      tasks: [
        task('x1', { buildId: 'x' }), task('x2', { buildId: 'x', resources: needs('cradle') }),
        task('y1', { buildId: 'y' }), task('y2', { buildId: 'y', resources: needs('bay') }),
      ],
      holds: [hold('x'), { ...hold('y'), id: 'cradle-y', resourceId: 'cradle' }], links: [after('x1', 'x2'), after('y1', 'y2')],
    }))
    expect(p.unplanned).toEqual([])
    // one after the other: 9-10, 10-11, then 11-12, 12-13
    expect(Math.max(...p.builds.map((b) => b.launch!))).toBe(13 * 60)
  })
})

describe('dust and wet films in one place', () => {
  const paint = makeProduct({ id: 'paint', stages: { dustFree: minutes(180) } })
  const shop = place('shop', { settle: minutes(120) })
  const sandAndCoat = { products: [paint], places: [shop], tasks: [task('sand', { dusty: true }), task('coat', { productId: 'paint' })] }

  test('a coat waits until the dust has settled', () => {
    const p = planned(problem({ ...sandAndCoat, links: [after('sand', 'coat')] }))
    // sanding 9-10, settled at 12
    expect(hours(p, 'coat')).toEqual([[12, 13]])
    expect(binding(p, 'coat')).toEqual({ kind: 'dust', placeId: 'shop', taskId: 'sand', settling: true })
  })

  test('dusty work waits until the film is dust-free', () => {
    const p = planned(problem({ ...sandAndCoat, links: [after('coat', 'sand')] }))
    // coat 9-10, dust-free at 13
    expect(hours(p, 'sand')).toEqual([[13, 14]])
    expect(binding(p, 'sand')).toEqual({ kind: 'dust', placeId: 'shop', taskId: 'coat', settling: false })
  })

  test('a paint tent is a place of its own', () => {
    const p = planned(problem({
      products: [paint], places: [shop, place('tent')], people: two,
      tasks: [task('sand', { dusty: true }), task('coat', { productId: 'paint', places: ['tent'] })],
    }))
    expect([hours(p, 'sand'), hours(p, 'coat')]).toEqual([[[9, 10]], [[9, 10]]])
  })

  test('dust of this morning counts too', () => {
    const dusty = place('shop', { settle: minutes(120), lastDust: instant(8 * 60 + 30) })
    const p = planned(problem({ products: [paint], places: [dusty], tasks: [task('coat', { productId: 'paint' })] }))
    // 8:30 + 2 h
    expect(hours(p, 'coat')).toEqual([[10.5, 11.5]])
    expect(binding(p, 'coat')).toEqual({ kind: 'dust', placeId: 'shop', taskId: null, settling: true })
  })
})

test('a coat waits while it is too cold to put it on', () => {
  const paint = makeProduct({ id: 'paint', gate: { minAir: celsius(12), maxAir: null, maxHumidity: null, dewPointMargin: null } })
  const p = planned(problem({
    products: [paint], places: [place('shop', { climate: makeClimate([0, 8], [11 * 60, 13]) })],
    tasks: [task('coat', { productId: 'paint', setUp: minutes(30), work: shared(60) })],
  }))
  // 12 °C from 11:00; the gate is on the application, which comes after 30 min of set-up
  expect(hours(p, 'coat')).toEqual([[10.5, 12]])
  expect(binding(p, 'coat')).toEqual({ kind: 'gate', placeId: 'shop', limit: 'cold' })
})

test('a gate that never opens leaves the coat out, with the limit', () => {
  const paint = makeProduct({ id: 'paint', gate: { minAir: celsius(25), maxAir: null, maxHumidity: null, dewPointMargin: null } })
  const p = planned(problem({ products: [paint], tasks: [task('coat', { productId: 'paint' })] }))
  expect(p.unplanned).toEqual([{ taskId: 'coat', reason: { kind: 'gate', limit: 'cold' } }])
})

test('a place that is booked out is waited for', () => {
  const p = planned(problem({ places: [place('shop', { closures: [{ start: instant(0), end: instant(600) }] })], tasks: [task('a')] }))
  expect(hours(p, 'a')).toEqual([[10, 11]])
  expect(binding(p, 'a')).toEqual({ kind: 'place', placeId: 'shop', until: 600 })
})

test('a hire that nobody works on runs day and night, and is paid for by no presence', () => {
  const p = planned(problem({
    tasks: [task('order', { work: unattended(3000), places: [] }), task('fit')], links: [after('order', 'fit')],
    people: [person('ann', [9, 17], [57, 65])],
  }))
  expect(pieces(p, 'order')[0]).toMatchObject({ start: 0, end: 3000, people: [], placeId: null })
  // 3000 min = 50 h; next presence at 57
  expect(hours(p, 'fit')).toEqual([[57, 58]])
})

test('more than there is of a thing makes an unattended task impossible, and the plan infeasible', () => {
  const lift = task('lift', { work: unattended(10), places: [], resources: needs('crane', 2) })
  const p = planned(problem({ resources: [thing('crane', 1)], tasks: [lift] }))
  expect(p.unplanned).toEqual([{ taskId: 'lift', reason: { kind: 'demand-exceeds-capacity', resourceId: 'crane' } }])
  expect(p.status).toBe('infeasible')
})
