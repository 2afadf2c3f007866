/**
 * Recoat windows: met, met by holding a coat back, or missed on purpose. Hours from Saturday 00:00; always 20 °C, so stages keep their
 * data-sheet times.
 */
import { describe, expect, test } from 'vitest'
import type { Link, Problem } from '../../../src/core/schedule/problem.ts'
import type { StageOverride } from '../../../src/core/cure/types.ts'
import { instant, minutes } from '../../../src/core/units/index.ts'
import { makeProduct } from '../../support/cure.ts'
import { after, binding, hours, person, piece, planned, problem, shared, task, wash } from '../../support/problem.ts'

/** Opens 8 h after its end, closes 18 h after its start, sandable 15 h after its end. */
const resin = makeProduct({ id: 'resin', stages: { dustFree: minutes(180), opens: minutes(480), closes: minutes(1080), sandable: minutes(900) } })
const coat = (id: string) => task(id, { productId: 'resin' })
/** A coat that was really put on over an hour from a minute on. */
const applied = (id: string, at: number, overrides: readonly StageOverride[] = []) => {
  const when = { start: instant(at), end: instant(at + 60) }
  return { ...coat(id), finished: { ...when, coat: { ...when, placeId: 'shop', overrides } } }
}
const window = (from: string, to: string, washed = true): Link =>
  ({ id: `${from}-${to}`, kind: 'window', from, to, wash: washed ? wash(`wash-${to}`) : null })
const twoCoats = (over: Partial<Problem>): Problem =>
  problem({ products: [resin], tasks: [coat('c1'), coat('c2')], links: [window('c1', 'c2')], ...over })

describe('a window that would open at night', () => {
  test('is met by holding the first coat back, when the extra work and its price would launch later', () => {
    // Sat 9-17, Sun 9-17. c1 at Sat 9-10 opens 18:00, closes Sun 3:00: nobody there. Miss: wash Sun 9-10, c2 10-11, and 72 h of price.
    // Held back: c2 ends Sun 10:00 at the earliest, so c1 starts at 34 - 18 = 16:00; opens Sun 1:00; launch Sun 10:00 = hour 34.
    const p = planned(twoCoats({ people: [person('ann', [9, 17], [33, 41])] }))
    expect(hours(p, 'c1')).toEqual([[16, 17]])
    expect(hours(p, 'c2')).toEqual([[33, 34]])
    expect(p.builds[0]!.launch).toBe(34 * 60)
    expect(p.missed).toEqual([])
    expect(p.met).toEqual([{ linkId: 'c1-c2', opens: 25 * 60, closes: 34 * 60 }])
    expect(binding(p, 'c1')).toMatchObject({ kind: 'window', linkId: 'c1-c2', taskId: 'c1', heldBack: true })
    expect(binding(p, 'c2')).toMatchObject({ kind: 'nobody-here' })
  })

  test('is met by an earlier start: the coat goes before other work of the day', () => {
    // One person, Sat 9-19. Cutting first (9-13) puts c1 at 13-14: opens 22:00, nobody there. c1 first: 9-10, cut 10-14, opens 18:00, c2 18-19.
    const p = planned(twoCoats({ people: [person('ann', [9, 19])], tasks: [task('a-cut', { work: shared(240) }), coat('c1'), coat('c2')] }))
    expect(hours(p, 'c1')).toEqual([[9, 10]])
    expect(hours(p, 'a-cut')).toEqual([[10, 14]])
    expect(hours(p, 'c2')).toEqual([[18, 19]])
    expect(binding(p, 'c2')).toMatchObject({ kind: 'window', taskId: 'c1', opens: 18 * 60, closes: 27 * 60, heldBack: false })
  })

  // Sat 9-17, next Sat 9-17, next Sun 9-10 (hours 9-17, 177-185, 201-202).
  // Held back: c2 Sun 201-202, c1 from 202 - 18 = 184: launch 202. Missed: c1 Sat 9-10, wash next Sat 177-178, c2 178-179: launch 179 + price.
  const weekends = { people: [person('ann', [9, 17], [177, 185], [201, 202])] }
  test('is missed on purpose, with its wash-and-sand, when that launches earlier by the objective', () => {
    // 179 + 12 = 191 < 202
    const p = planned(twoCoats({ ...weekends, missedWindowCost: minutes(12 * 60) }))
    expect(hours(p, 'c1')).toEqual([[9, 10]])
    expect(hours(p, 'wash-c2')).toEqual([[177, 178]])
    expect(hours(p, 'c2')).toEqual([[178, 179]])
    expect(p.missed).toEqual([{ linkId: 'c1-c2', opens: 18 * 60, closes: 27 * 60, why: 'chosen', washTaskId: 'wash-c2' }])
    expect(p.score.launches).toBe((179 + 12) * 60)
    expect(binding(p, 'c2')).toMatchObject({ kind: 'link', taskId: 'wash-c2' })
  })

  test('is met a week later when missing it is dearer than the wait', () => {
    // 179 + 24 = 203 > 202
    const p = planned(twoCoats({ ...weekends, missedWindowCost: minutes(24 * 60) }))
    expect(hours(p, 'c1')).toEqual([[184, 185]])
    expect(hours(p, 'c2')).toEqual([[201, 202]])
    expect(p.missed).toEqual([])
    expect(p.score.launches).toBe(202 * 60)
  })
})

test('a chain of three coats is held back as a whole', () => {
  // Opens 4 h after the end, closes 12 h after the start; Sat 9-21, Sun 9-11. c3 can't come before Sun 9 after three on Saturday:
  // c1 9-10 opens 14, c2 14-15 opens 19, c3 19-20: all on Saturday, launch 20.
  const quick = makeProduct({ id: 'resin', stages: { dustFree: minutes(60), opens: minutes(240), closes: minutes(720), sandable: minutes(900) } })
  const chain = (to: number): Problem => problem({
    products: [quick], people: [person('ann', [9, to], [33, 41])],
    tasks: [coat('c1'), coat('c2'), coat('c3')], links: [window('c1', 'c2'), window('c2', 'c3')],
  })
  expect(['c1', 'c2', 'c3'].map((c) => hours(planned(chain(21)), c)[0])).toEqual([[9, 10], [14, 15], [19, 20]])
  // Sat 9-22 but c1 not before 12 (release): c1 12-13, c2 17-18, c3 not before 22:00, when all are gone, and Sun 9-10 is after c2 closes
  // (17 + 12 = 29).
  // So c2 goes back to 34 - 12 = 22: nobody; all three then on Sunday would need 33-34, 38-39, 43: nobody. Sat-Sun-Sun: c1 held back to
  // 34 - 12 = 22: nobody. Missing one window is the only way: c3 after its wash on Sunday (wash from c2's sandable 18 + 15 = 33).
  const p = planned({ ...chain(22), tasks: chain(22).tasks.map((t) => (t.id === 'c1' ? { ...t, release: instant(720) } : t)) })
  expect(p.missed.map((m) => m.linkId)).toEqual(['c2-c3'])
  expect(hours(p, 'wash-c3')).toEqual([[33, 34]])
  expect(hours(p, 'c3')).toEqual([[34, 35]])
})

test('where opens is not before closes there is no window, and that is said', () => {
  // Opens 1 + 20 = 21 h after the start, closes 18 h after it.
  const slow = makeProduct({ id: 'resin', stages: { dustFree: minutes(180), opens: minutes(1200), closes: minutes(1080), sandable: minutes(900) } })
  const p = planned(twoCoats({ products: [slow], people: [person('ann', [9, 17], [33, 41])] }))
  expect(p.missed).toMatchObject([{ linkId: 'c1-c2', why: 'no-window' }])
  // wash from sandable 10 + 15 = 25, so Sun 33-34; c2 34-35
  expect(hours(p, 'c2')).toEqual([[34, 35]])
})

test('a hard window is met or its coat is left out with the reason', () => {
  const hard = (rows: readonly (readonly [number, number])[]): Problem =>
    twoCoats({ people: [person('ann', ...rows)], links: [window('c1', 'c2', false)] })
  const met = planned(hard([[9, 17], [33, 41]]))
  expect(hours(met, 'c2')).toEqual([[33, 34]])
  // Two Saturdays only: 9-17 and 177-185: no c2 can be 8 h after the end and within 18 h of the start.
  const out = planned(hard([[9, 17], [177, 185]]))
  expect(hours(out, 'c1')).toEqual([[9, 10]])
  expect(out.unplanned).toEqual([{ taskId: 'c2', reason: { kind: 'window', linkId: 'c1-c2' } }])
})

test('a window already missed by fact needs its wash, and the coat follows it', () => {
  const p = planned(twoCoats({
    people: [person('ann', [9, 17])],
    tasks: [applied('c1', -2000), coat('c2')],
    links: [{ id: 'c1-c2', kind: 'window', from: 'c1', to: 'c2', wash: wash('wash-c2', { state: 'missed' }) }],
  }))
  expect(hours(p, 'wash-c2')).toEqual([[9, 10]])
  expect(hours(p, 'c2')).toEqual([[10, 11]])
  expect(p.missed).toMatchObject([{ linkId: 'c1-c2', why: 'fact' }])
})

test('a thumbnail test that came out early opens the window early', () => {
  // Put on 4:00-5:00, computed to open at 13:00; found ready at 9:00.
  const found = (overrides: readonly StageOverride[]): Problem => twoCoats({
    people: [person('ann', [9, 17])],
    tasks: [applied('c1', -300, overrides), coat('c2')],
  })
  // opens -240 + 480 = 240 min = 4:00; so nothing to wait for but people
  expect(hours(planned(found([])), 'c2')).toEqual([[9, 10]])
  expect(hours(planned(found([{ stage: 'opens', at: instant(11 * 60) }])), 'c2')).toEqual([[11, 12]])
})

test('a stage link waits for the cure stage', () => {
  const p = planned(problem({
    products: [resin], people: [person('ann', [0, 40])], tasks: [coat('c1'), task('sand')],
    links: [{ id: 'c1-sand', kind: 'stage', from: 'c1', to: 'sand', stage: 'sandable' }],
  }))
  // c1 0-1, sandable 1 + 15 = 16
  expect(hours(p, 'sand')).toEqual([[16, 17]])
  expect(binding(p, 'sand')).toEqual({ kind: 'cure', linkId: 'c1-sand', taskId: 'c1', stage: 'sandable', at: 16 * 60 })
  expect(p.builds[0]!.chain).toEqual(['c1/1', 'sand/1'])
  expect(piece(p, 'c1').float).toBe(0)
})

test('a task that no link ties to a coat keeps out of its way only by dust', () => {
  const p = planned(problem({
    products: [resin], people: [person('ann', [9, 10], [20, 22])], tasks: [coat('c1'), task('sand', { dusty: true })], links: [after('c1', 'sand')],
  }))
  // c1 9-10, dust-free 10 + 3 = 13, so sanding only when somebody is there again: 20
  expect(hours(p, 'sand')).toEqual([[20, 21]])
})
