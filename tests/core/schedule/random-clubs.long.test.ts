import { expect, test } from 'vitest'
import { noTally, tryClub } from '../../support/club-trial.ts'

test('1,000 random clubs, planned and replanned: no fault, no window untold, the same plan from another origin in another order', { timeout: 7_200_000 }, () => {
  const tally = noTally()
  const wrong: string[] = []
  for (let seed = 100; seed < 1100; seed++) wrong.push(...tryClub(seed, 5, tally))
  console.log('random clubs', JSON.stringify(tally))
  expect(wrong).toEqual([])
})
