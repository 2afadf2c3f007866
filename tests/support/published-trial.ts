/** Plans one published instance and holds the answer against the instance file and the best-known value. */
import { basename } from 'node:path'
import { plan } from '../../src/core/schedule/plan.ts'
import { bestKnown, faultIn, problemOf, readInstance, startsOf } from './published.ts'

export interface SetTally {
  /** Instances with a known schedule, and those of them solved. */
  feasible: number
  solved: number
  infeasible: number
  /** Sum of % over best known. */
  over: number
  readonly wrong: string[]
}

export function trySet(set: string, files: readonly string[], schedules: number): SetTally {
  const known = bestKnown(set)
  const tally: SetTally = { feasible: 0, solved: 0, infeasible: 0, over: 0, wrong: [] }
  for (const file of files) {
    const name = basename(file).replace(/\.(sm|sch)$/i, '')
    const x = readInstance(file)
    const found = plan(problemOf(x), { seed: 1, maxSchedules: schedules })
    const { best, status } = known.get(name.toLowerCase())!
    if (best !== null) tally.feasible++
    else tally.infeasible++
    if (!found.ok) {
      tally.wrong.push(`${name}: refused`)
      continue
    }
    const starts = startsOf(x, found.value)
    if (starts === null) {
      if (found.value.status === 'infeasible' && best !== null) tally.wrong.push(`${name}: said infeasible, ${best} is known`)
      continue
    }
    const fault = faultIn(x, starts)
    const makespan = starts.at(-1)!
    const bound = found.value.builds[0]!.lowerBound!
    if (fault) tally.wrong.push(`${name}: ${fault}`)
    else if (best === null) tally.wrong.push(`${name}: solved, but listed as infeasible`)
    else if (bound > best) tally.wrong.push(`${name}: lower bound ${bound} above ${best}`)
    else if ((status !== 'open' && makespan < best) || (found.value.status === 'optimal' && makespan > best)) {
      tally.wrong.push(`${name}: ${found.value.status} at ${makespan}, best known ${best}`)
    }
    tally.solved++
    if (best) tally.over += (100 * (makespan - best)) / best
  }
  return tally
}

export const tallyText = (set: string, t: SetTally): string =>
  `${set}: ${t.solved} of ${t.feasible} solved, ${t.infeasible} listed as infeasible, ` +
  `mean ${(t.over / Math.max(1, t.solved)).toFixed(2)} % over best known`
