import { describe, expect, test } from 'vitest'
import { check, plan, type Plan, type Problem } from '../../../src/core/schedule/index.ts'
import { CLUB, randomClub } from '../../support/clubs.ts'
import { later } from '../../support/clubs-later.ts'
import { dice } from '../../support/dice.ts'
import { MUTATIONS } from '../../support/mutations.ts'

/** Valid plans to break: new clubs, and the same replanned some time on, with fixed pieces and a previous plan. */
const CLUBS = Array.from({ length: 20 }, (_, seed) => {
  const problem = randomClub(seed, { ...CLUB, tasksPerBuild: [3, 24] })
  const first = planned(problem)
  const next = later(dice(seed), problem, first, true)
  return [{ seed, problem, plan: first }, { seed, problem: next, plan: planned(next) }]
}).flat()

function planned(problem: Problem): Plan {
  const answer = plan(problem, { seed: 1, maxSchedules: 1 })
  if (!answer.ok) throw new Error(`refused: ${JSON.stringify(answer.refusal)}`)
  return answer.value
}

describe('the checker finds it when', () => {
  test.each(MUTATIONS.map(([rule, what, mutation]) => ({ rule, what, mutation })))('$what ($rule)', ({ rule, mutation }) => {
    let broken = 0
    for (const { problem, plan: valid, seed } of CLUBS) {
      const changed = mutation(dice(seed), problem, valid)
      if (changed === null) continue
      broken++
      const rules = check(changed.problem, changed.plan).map((f) => f.rule)
      expect.soft(rules, `club ${seed}`).toContain(rule)
    }
    // A way to break a plan that never applied has shown nothing.
    expect(broken).toBeGreaterThan(1)
  })
})

test('an untouched plan has no fault, and each fault of a broken one is a sentence', () => {
  for (const { problem, plan: valid } of CLUBS) expect(check(problem, valid)).toEqual([])
  const { problem, plan: valid } = CLUBS[0]!
  const faults = check(problem, { ...valid, pieces: valid.pieces.map((p) => ({ ...p, people: [] })), met: [], missed: [] })
  expect(faults.length).toBeGreaterThan(0)
  for (const f of faults) expect(f.text).toMatch(/^[A-Za-z0-9].* .*\.$/)
})
