/** How one task is done: pieces, hands, competences, set-up. Hours from Saturday 00:00. */
import { describe, expect, test } from 'vitest'
import type { HeldCompetence } from '../../../src/core/schedule/problem.ts'
import { minutes } from '../../../src/core/units/index.ts'
import { binding, hours, person, piece, pieces, planned, problem, shared, task, together } from '../../support/problem.ts'

const three = [person('ann', [9, 12], [33, 36]), person('bob', [9, 12], [33, 36]), person('cas', [9, 12])]

describe('shared work', () => {
  test('is split over sessions, every piece with its set-up, the last just long enough', () => {
    // One person, 30 min set-up: Sat 9-12 gives 180 - 30 = 150 of 240; Sun needs 30 + 90 = 120 min.
    const fair = task('fair', { work: shared(240), smallest: minutes(30), setUp: minutes(30) })
    const p = planned(problem({ people: [person('ann', [9, 12], [33, 36])], tasks: [fair] }))
    expect(hours(p, 'fair')).toEqual([[9, 12], [33, 35]])
    expect(p.score.brokenUp).toBe(1)
    expect(pieces(p, 'fair').map((x) => x.binding.kind)).toEqual(['nobody-here', 'nobody-here'])
  })

  test('goes faster with more hands, up to what the task takes', () => {
    // 240 / 2 = 120 min with two of three people
    const p = planned(problem({ people: three, tasks: [task('fair', { work: shared(240, 1, 2) })] }))
    expect(hours(p, 'fair')).toEqual([[9, 11]])
    expect(piece(p, 'fair').people).toHaveLength(2)
  })

  test('rounds up: 100 person-minutes with three hands take 34 min', () => {
    // ceil(100 / 3) = 34
    const p = planned(problem({ people: three, tasks: [task('fair', { work: shared(100, 1, 3) })] }))
    expect(piece(p, 'fair')).toMatchObject({ start: 540, end: 574 })
  })

  test('that is not divisible waits for a long enough stretch, and says so', () => {
    const p = planned(problem({ people: [person('ann', [9, 11], [33, 37])], tasks: [task('glass', { work: shared(180) })] }))
    expect(hours(p, 'glass')).toEqual([[33, 36]])
    expect(binding(p, 'glass')).toEqual({ kind: 'stretch', minutes: 180 })
  })

  test('is left out with the longest stretch when none is long enough', () => {
    const p = planned(problem({ people: [person('ann', [9, 11], [33, 37])], tasks: [task('glass', { work: shared(300) }), task('sweep')] }))
    expect(p.unplanned).toEqual([{ taskId: 'glass', reason: { kind: 'no-stretch', need: 300, longest: 240 } }])
    expect(hours(p, 'sweep')).toEqual([[9, 10]])
    expect(p.status).toBe('infeasible')
  })
})

describe('work done together', () => {
  test('waits for enough hands', () => {
    // ann and bob from 9, cas from 11: three only from 11.
    const people = [person('ann', [9, 17]), person('bob', [9, 17]), person('cas', [11, 17])]
    const p = planned(problem({ people, tasks: [task('turn', { work: together(30, 3) })] }))
    expect(hours(p, 'turn')).toEqual([[11, 11.5]])
    expect(binding(p, 'turn')).toEqual({ kind: 'hands', need: 3, taskId: null })
  })

  test('says how many are needed and how many ever meet', () => {
    const p = planned(problem({ people: three, tasks: [task('turn', { work: together(30, 4) })] }))
    expect(p.unplanned).toEqual([{ taskId: 'turn', reason: { kind: 'hands', need: 4, most: 3 } }])
  })

  test('names the task that keeps the hands busy', () => {
    const p = planned(problem({
      people: [person('ann', [9, 17])], builds: [{ id: 'boat', priority: 1, launchTarget: null, paused: false, team: [], launchTaskId: 'b-last' }],
      tasks: [task('a-first'), task('b-last')],
      links: [{ id: 'l', kind: 'lag', from: 'a-first', to: 'b-last', edge: 'start', min: minutes(1), max: null }],
    }))
    expect(hours(p, 'b-last')).toEqual([[10, 11]])
    expect(binding(p, 'b-last')).toEqual({ kind: 'hands', need: 1, taskId: 'a-first' })
    expect(p.builds[0]!.chain).toEqual(['a-first/1', 'b-last/1'])
  })
})

describe('a competence', () => {
  const able = (id: string, level: HeldCompetence['level'], ...rows: [number, number][]) =>
    ({ ...person(id, ...rows), competences: [{ competenceId: 'bandsaw', level, until: null }] })
  const saw = task('saw', { competences: ['bandsaw'] })

  test('held in full is enough alone', () => {
    const p = planned(problem({ people: [able('ann', 'full', [11, 17]), person('bob', [9, 17])], tasks: [saw] }))
    expect(piece(p, 'saw')).toMatchObject({ start: 660, people: ['ann'], supervisor: null })
    // bob is there from 9, but not able
    expect(binding(p, 'saw')).toEqual({ kind: 'competence', competenceId: 'bandsaw' })
  })

  test('held supervised needs a competent member in the same place, who need not be a hand', () => {
    // cas (full) is free to supervise from 12, off the team; bob does the work.
    const p = planned(problem({
      people: [{ ...able('bob', 'supervised', [9, 17]), helpsAnyone: false }, { ...able('cas', 'full', [12, 17]), helpsAnyone: false }],
      builds: [{ id: 'boat', priority: 1, launchTarget: null, paused: false, team: ['bob'], launchTaskId: null }], tasks: [saw],
    }))
    expect(piece(p, 'saw')).toMatchObject({ start: 720, people: ['bob'], supervisor: 'cas' })
    expect(binding(p, 'saw')).toEqual({ kind: 'competence', competenceId: 'bandsaw' })
  })

  test('that nobody holds leaves the task out and names it', () => {
    const p = planned(problem({ tasks: [saw] }))
    expect(p.unplanned).toEqual([{ taskId: 'saw', reason: { kind: 'competence', competenceId: 'bandsaw' } }])
  })

  test('counts until its refresh date', () => {
    // held until 13:00: a 60-min piece must end by then, so with somebody busy until 12:30 there is no time left
    const ann = { ...person('ann', [12.5, 17]), competences: [{ competenceId: 'bandsaw', level: 'full' as const, until: (13 * 60) as never }] }
    expect(planned(problem({ people: [ann], tasks: [saw] })).unplanned).toHaveLength(1)
    const earlier = { ...ann, presence: person('ann', [12, 17]).presence }
    expect(hours(planned(problem({ people: [earlier], tasks: [saw] })), 'saw')).toEqual([[12, 13]])
  })
})

test('people are planned on builds of theirs, or anywhere if they help anyone; the team goes first', () => {
  const people = [person('ann', [9, 10]), { ...person('bob', [9, 10]), helpsAnyone: false }, { ...person('cas', [9, 10]), helpsAnyone: false }]
  const boat = { id: 'boat', priority: 1, launchTarget: null, paused: false, team: ['bob'], launchTaskId: null }
  expect(piece(planned(problem({ people, builds: [boat], tasks: [task('fair')] })), 'fair').people).toEqual(['bob'])
  const both = planned(problem({ people, builds: [boat], tasks: [task('fair', { work: shared(120, 1, 5) })] }))
  expect(piece(both, 'fair').people).toEqual(['ann', 'bob'])
})
