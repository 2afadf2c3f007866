/** All the published instances at hand; see psplib.test.ts. */
import { describe, expect, test } from 'vitest'
import { filesOf, hasBenchmarks } from '../support/published.ts'
import { tallyText, trySet } from '../support/published-trial.ts'

if (!hasBenchmarks()) console.log('published instances are not beside this checkout: not checked here')
describe.skipIf(!hasBenchmarks())('all published instances', () => {
  test.each(['psplib/j30', 'psplib/j60', 'psplib/j120'])('of %s are solved without fault', (set) => {
    const tally = trySet(set, filesOf(set), 100)
    console.log(tallyText(set, tally))
    expect(tally.wrong).toEqual([])
    expect(tally.solved).toBe(tally.feasible)
  })

  test.each([['rcpspmax/j10', 0.9], ['rcpspmax/j20', 0.9], ['rcpspmax/j30', 0], ['rcpspmax/ubo10', 0], ['rcpspmax/ubo20', 0], ['rcpspmax/ubo50', 0]])(
    'of %s: a share of at least %d of the feasible is solved, none with a fault', (set, share) => {
      const tally = trySet(set, filesOf(set), 300)
      console.log(tallyText(set, tally))
      expect(tally.wrong).toEqual([])
      expect(tally.solved).toBeGreaterThanOrEqual(share * tally.feasible)
    },
  )
})
