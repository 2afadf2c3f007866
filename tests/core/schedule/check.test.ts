import { describe, expect, test } from 'vitest'
import { check, plan } from '../../../src/core/schedule/index.ts'
import { CLUB, randomClub } from '../../support/clubs.ts'
import { dice } from '../../support/dice.ts'
import { MUTATIONS } from '../../support/mutations.ts'

const CLUBS = Array.from({ length: 24 }, (_, seed) => {
  const problem = randomClub(seed, { ...CLUB, tasksPerBuild: [3, 24] })
  const planned = plan(problem, { seed: 1, maxSchedules: 1 })
  if (!planned.ok) throw new Error(`club ${seed} is refused: ${JSON.stringify(planned.refusal)}`)
  return { problem, plan: planned.value, seed }
})

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
