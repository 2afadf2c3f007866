/** What is kept when it is planned again: pins, frozen pieces, the plan before. Hours from Saturday 00:00. */
import { describe, expect, test } from 'vitest'
import { diffPlans } from '../../../src/core/schedule/diff.ts'
import type { FixedPiece, PreviousPiece, Problem } from '../../../src/core/schedule/problem.ts'
import { instant, minutes } from '../../../src/core/units/index.ts'
import { after, binding, build, hour, hours, person, piece, pieces, planned, problem, shared, task } from '../../support/problem.ts'

const pin = (taskId: string, from: number, to: number, over: Partial<FixedPiece> = {}): FixedPiece =>
  ({ taskId, start: hour(from), end: hour(to), people: ['ann'], supervisor: null, placeId: 'shop', why: 'pinned', ...over })

describe('a pinned piece', () => {
  test('is kept to the minute, and others go round it', () => {
    const p = planned(problem({ tasks: [task('a', { work: shared(120) }), task('b', { work: shared(120) })], fixed: [pin('b', 10, 12)] }))
    expect(hours(p, 'b')).toEqual([[10, 12]])
    expect(piece(p, 'b')).toMatchObject({ fixed: 'pinned', binding: { kind: 'fixed' }, float: 0 })
    // 9-10 is too short for two hours
    expect(hours(p, 'a')).toEqual([[12, 14]])
    expect(p.dropped).toEqual([])
  })

  test('of a divisible task leaves only the rest to plan', () => {
    const p = planned(problem({ tasks: [task('a', { work: shared(180), smallest: minutes(30) })], fixed: [pin('a', 11, 12)] }))
    // one hour pinned, two hours left: 9-11 before it
    expect(hours(p, 'a')).toEqual([[9, 11], [11, 12]])
  })

  test('makes what comes before it hurry', () => {
    // c would go first by name, but b is pinned to 10 and needs a before it.
    const p = planned(problem({ tasks: [task('0'), task('a'), task('b')], links: [after('a', 'b')], fixed: [pin('b', 10, 11)] }))
    expect([hours(p, 'a'), hours(p, 'b'), hours(p, '0')].flat()).toEqual([[9, 10], [10, 11], [11, 12]])
  })

  test('is dropped with the fact when its person will not be there', () => {
    const p = planned(problem({ tasks: [task('a')], fixed: [pin('a', 18, 19)] }))
    expect(p.dropped).toMatchObject([{ taskId: 'a', start: 18 * 60, why: 'pinned', fault: { rule: 'presence' } }])
    expect(hours(p, 'a')).toEqual([[9, 10]])
  })

  test('is dropped when what must come before can\'t be ready', () => {
    // a takes 9-11 at the earliest, b is pinned to 10
    const p = planned(problem({ tasks: [task('a', { work: shared(120) }), task('b')], links: [after('a', 'b')], fixed: [pin('b', 10, 11)] }))
    expect(p.dropped).toMatchObject([{ taskId: 'b', fault: { rule: 'link' } }])
    expect(hours(p, 'b')).toEqual([[11, 12]])
  })

  test('of a finished task or a paused build is dropped', () => {
    const p = planned(problem({
      builds: [build(), build('rest', { paused: true })], fixed: [pin('a', 10, 11), pin('r', 11, 12)],
      tasks: [{ ...task('a'), finished: { start: instant(-100), end: instant(-40), coat: null } }, task('r', { buildId: 'rest' })],
    }))
    expect(p.dropped.map((d) => [d.taskId, d.fault.rule])).toEqual([['a', 'finished'], ['r', 'paused']])
    expect(p.pieces).toEqual([])
  })
})

test('a piece under way since before now is kept, and the rest of its task follows', () => {
  const p = planned(problem({
    people: [person('ann', [-1, 17])], tasks: [task('a', { work: shared(180), smallest: minutes(30), startedAt: hour(-1) })],
    fixed: [pin('a', -1, 1, { why: 'under-way' })],
  }))
  expect(hours(p, 'a')).toEqual([[-1, 1], [1, 2]])
  expect(pieces(p, 'a')[0]!.fixed).toBe('under-way')
})

describe('the plan before', () => {
  // Four equal tasks of two boats in four Saturdays' hours: many plans are equally good.
  const people = [person('ann', [9, 11], [33, 35], [57, 59], [81, 83])]
  const tasks = ['a', 'b', 'c', 'd'].map((id) => task(id, { work: shared(120) }))
  const previous = (order: string[]): PreviousPiece[] =>
    order.map((taskId, i) => ({ taskId, start: hour(9 + 24 * i), end: hour(11 + 24 * i), people: ['ann'], placeId: 'shop' }))
  const ask = (over: Partial<Problem>): Problem => problem({ people, tasks, ...over })

  test('is kept where nothing speaks against it', () => {
    const p = planned(ask({ previous: previous(['c', 'a', 'd', 'b']) }))
    expect(p.score.moves).toBe(0)
    expect(diffPlans(previous(['c', 'a', 'd', 'b']), p)).toEqual([])
  })

  test('moves little when a little changes: one task more shifts only what comes after it', () => {
    const p = planned(ask({ previous: previous(['c', 'a', 'd']) }))
    expect(p.score.moves).toBe(0)
    expect(hours(p, 'b')).toEqual([[81, 83]])
  })

  test('is told piece by piece with what binds now', () => {
    // ann's fourth session is a day later than it was
    const before = previous(['a', 'b', 'c', 'd'])
    const p = planned(ask({ previous: before, people: [person('ann', [9, 11], [33, 35], [57, 59], [105, 107])] }))
    const moves = diffPlans(before, p)
    expect(moves.map((m) => [m.taskId, m.from!.start / 60, m.to!.start / 60])).toEqual([['d', 81, 105]])
    expect(moves[0]!.binding).toEqual(binding(p, 'd'))
    // the last session before is c's
    expect(binding(p, 'd')).toEqual({ kind: 'hands', need: 1, taskId: 'c' })
  })
})
