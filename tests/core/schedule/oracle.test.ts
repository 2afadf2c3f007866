/** Against a general-purpose constraint solver (MiniZinc with Chuffed, from npm): exact optima of small problems in the same minutes. */
import { afterAll, expect, test } from 'vitest'
import { encode } from '../../support/encode.ts'
import { MiniZinc } from '../../support/minizinc.ts'
import { noOracleTally, oracleText, tryOracle } from '../../support/oracle-trial.ts'
import { smallProblem } from '../../support/small-problems.ts'

const solver = new MiniZinc()
afterAll(() => solver.stop())

test('on 24 small problems no plan is better than the proved optimum, nor a bound above it', { timeout: 1_800_000 }, async () => {
  const tally = noOracleTally()
  const wrong: string[] = []
  for (let seed = 0; seed < 24; seed++) wrong.push(...(await tryOracle(seed, 200, solver, tally)))
  console.log(oracleText(tally))
  expect(wrong).toEqual([])
  expect(tally.proved).toBeGreaterThan(15)
  expect(tally.met).toBeGreaterThan(3)
  expect(tally.missed).toBeGreaterThan(3)
})

test('the solver refutes a claim one minute better than the optimum', { timeout: 600_000 }, async () => {
  const problem = smallProblem(6)
  const solved = await solver.minimise(encode(problem, null), 60)
  if (solved.status !== 'optimal') throw new Error(solved.status)
  expect(await solver.minimise(encode(problem, solved.value), 60)).toEqual(solved)
  expect(await solver.minimise(encode(problem, solved.value - 1), 60)).toEqual({ status: 'unsatisfiable' })
})
