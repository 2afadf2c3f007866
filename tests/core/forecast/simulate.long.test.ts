/** Many random clubs: how near the simulation with nothing uncertain comes to the plan, and how often it takes a turn the wrong way. */
import { expect, test } from 'vitest'
import { compileForecast, simulate } from '../../../src/core/forecast/index.ts'
import { launchesOf } from '../../../src/core/forecast/simulate.ts'
import { plan } from '../../../src/core/schedule/index.ts'
import { randomClub } from '../../support/clubs.ts'
import { certain, uncertain } from '../../support/forecast.ts'

/**
 * Not all: going through the plan in order of time, each piece as early as it can be, may put a coat earlier that the planner had held back, or take
 * a tool that somebody else's start was meant to have. Such a launch is days off, one way or the other.
 */
test('with nothing uncertain 97 in 100 launches of random clubs are the plan\'s own to the minute, and none is lost', () => {
  let [all, same] = [0, 0]
  for (let seed = 1; seed <= 150; seed++) {
    const problem = randomClub(seed)
    const found = plan(problem, { seed, maxSchedules: 100 })
    if (!found.ok) throw new Error(JSON.stringify(found.refusal))
    for (const { buildId, launch } of found.value.builds) {
      const t = simulate(compileForecast(problem, found.value, buildId, certain), { runs: 1, seed: 1 }).launches[0]!
      expect(t === Infinity, `club ${seed} ${buildId}`).toBe(launch === null)
      if (launch === null) continue
      all++
      if (t === launch) same++
    }
  }
  console.log(`${same} of ${all} launches to the minute`)
  expect(same / all).toBeGreaterThanOrEqual(0.97)
})

test('a quarter more work launches no build of 30 random clubs earlier in the median, and few single runs', () => {
  let [runs, wrong] = [0, 0]
  for (let seed = 1; seed <= 30; seed++) {
    const problem = randomClub(seed)
    const found = plan(problem, { seed, maxSchedules: 30 })
    if (!found.ok) throw new Error(JSON.stringify(found.refusal))
    for (const { buildId, launch } of found.value.builds) {
      if (launch === null) continue
      const ask = (by: number): Float64Array => launchesOf(compileForecast(problem, found.value, buildId, uncertain(problem, by)), { runs: 200, seed: 1 })
      const [less, more] = [ask(1), ask(1.25)]
      const median = (x: Float64Array): number => [...x].sort((a, b) => a - b)[99]!
      expect(median(more), `club ${seed} ${buildId}`).toBeGreaterThanOrEqual(median(less))
      runs += 200
      wrong += less.filter((t, i) => more[i]! < t).length
    }
  }
  console.log(`${wrong} of ${runs} runs take the wrong turn`)
  expect(wrong / runs).toBeLessThan(0.05)
})
