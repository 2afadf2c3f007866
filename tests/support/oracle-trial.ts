/** One small problem planned and proved: what is wrong, and how far the plan is from the optimum. */
import { check, plan } from '../../src/core/schedule/index.ts'
import { encode } from './encode.ts'
import type { MiniZinc } from './minizinc.ts'
import { smallProblem } from './small-problems.ts'

export interface OracleTally {
  proved: number
  impossible: number
  undecided: number
  optimal: number
  unplanned: number
  missed: number
  met: number
  gap: number
  worst: number
  boundGap: number
}
export const noOracleTally = (): OracleTally => (
  { proved: 0, impossible: 0, undecided: 0, optimal: 0, unplanned: 0, missed: 0, met: 0, gap: 0, worst: 0, boundGap: 0 }
)

export async function tryOracle(seed: number, schedules: number, solver: MiniZinc, tally: OracleTally): Promise<string[]> {
  const problem = smallProblem(seed)
  const answer = plan(problem, { seed: 1, maxSchedules: schedules })
  if (!answer.ok) return [`problem ${seed} is refused: ${JSON.stringify(answer.refusal)}`]
  const planned = answer.value
  const wrong = check(problem, planned).map((f) => `problem ${seed}: ${f.rule}: ${f.text}`)
  const isWhole = planned.unplanned.length === 0
  const solved = await solver.minimise(encode(problem, isWhole ? planned.score.launches : null), 60)
  tally.met += planned.met.length
  tally.missed += planned.missed.length
  if (solved.status === 'unknown') {
    tally.undecided++
    return wrong
  }
  if (solved.status === 'unsatisfiable') {
    tally.impossible++
    if (isWhole) wrong.push(`problem ${seed}: everything is planned by ${planned.score.launches}, but the solver proves that impossible`)
    return wrong
  }
  tally.proved++
  if (planned.status === 'infeasible') wrong.push(`problem ${seed}: called infeasible, but the solver has a plan of ${solved.value}`)
  const { lowerBound } = planned.builds[0]!
  // The bound is on the launch alone, and the proved optimum contains what missed windows cost.
  if (lowerBound !== null && lowerBound - problem.now > solved.value) {
    wrong.push(`problem ${seed}: the bound ${lowerBound - problem.now} is above the optimum ${solved.value}`)
  }
  if (!isWhole) {
    tally.unplanned++
    return wrong
  }
  const value = planned.score.launches
  if (value < solved.value) wrong.push(`problem ${seed}: the plan's ${value} is better than the proved optimum ${solved.value}`)
  if (planned.status === 'optimal' && value !== solved.value) {
    wrong.push(`problem ${seed}: ${value} is called optimal; the optimum is ${solved.value}`)
  }
  if (value === solved.value) tally.optimal++
  const gap = value / Math.max(1, solved.value) - 1
  tally.gap += gap
  tally.worst = Math.max(tally.worst, gap)
  if (lowerBound !== null) tally.boundGap += 1 - (lowerBound - problem.now) / Math.max(1, solved.value)
  return wrong
}

export const oracleText = (t: OracleTally): string => {
  const planned = Math.max(1, t.proved - t.unplanned)
  const percent = (x: number): string => `${(100 * x).toFixed(2)} %`
  return `${t.proved} proved, ${t.impossible} impossible, ${t.undecided} undecided; ` +
    `of the proved ${t.optimal} planned at the optimum, ${t.unplanned} not wholly planned; ` +
    `mean gap ${percent(t.gap / planned)}, worst ${percent(t.worst)}, ` +
    `mean gap of the bound ${percent(t.boundGap / planned)}; windows met ${t.met}, missed ${t.missed}`
}
