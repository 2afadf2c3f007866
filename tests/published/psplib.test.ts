/**
 * The planning engine on published instances: PSPLIB single-mode RCPSP (Kolisch & Sprecher 1996) and RCPSP/max (ProGen/max,
 * Schwindt 1998). They are read from the folder beside the checkout where they are there, and never copied. A part of each set;
 * the long test takes them all. A makespan below the best known of a closed instance would be as wrong as a broken rule.
 */
import { describe, expect, test } from 'vitest'
import { filesOf, hasBenchmarks } from '../support/published.ts'
import { tallyText, trySet } from '../support/published-trial.ts'

const every = (set: string, n: number): string[] => filesOf(set).filter((_, i) => i % n === 0)

if (!hasBenchmarks()) console.log('published instances are not beside this checkout: not checked here')
describe.skipIf(!hasBenchmarks())('published instances', () => {
  test.each([['psplib/j30', 6], ['psplib/j60', 12], ['psplib/j120', 15]])('of %s every %ith is solved without fault', (set, n) => {
    const tally = trySet(set, every(set, n), 20)
    console.log(tallyText(set, tally))
    expect(tally.wrong).toEqual([])
    expect(tally.solved).toBe(tally.feasible)
  })

  test.each([['rcpspmax/j10', 3], ['rcpspmax/j20', 3]])('of %s every %ird: nine in ten of the feasible are solved, without fault', (set, n) => {
    const tally = trySet(set, every(set, n), 200)
    console.log(tallyText(set, tally))
    expect(tally.wrong).toEqual([])
    expect(tally.solved).toBeGreaterThanOrEqual(0.9 * tally.feasible)
  })
})
