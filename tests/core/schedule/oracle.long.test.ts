/** Against a general-purpose constraint solver (MiniZinc with Chuffed, from npm): exact optima of small problems in the same minutes. */
import { afterAll, expect, test } from 'vitest'
import { MiniZinc } from '../../support/minizinc.ts'
import { noOracleTally, oracleText, tryOracle } from '../../support/oracle-trial.ts'

const solver = new MiniZinc()
afterAll(() => solver.stop())

test('on 400 small problems no plan is better than the proved optimum, nor a bound above it', { timeout: 7_200_000 }, async () => {
  const tally = noOracleTally()
  const wrong: string[] = []
  for (let seed = 40; seed < 440; seed++) wrong.push(...(await tryOracle(seed, 500, solver, tally)))
  console.log(oracleText(tally))
  expect(wrong).toEqual([])
  expect(tally.proved).toBeGreaterThan(250)
})
