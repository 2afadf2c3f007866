import { expect, test } from 'vitest'
import { noTally, tryClub } from '../../support/club-trial.ts'
import { TINY } from '../../support/clubs.ts'

test('60 random clubs, planned and replanned: no fault, no window untold, the same plan from another origin in another order', { timeout: 1_800_000 }, () => {
  const tally = noTally()
  const wrong: string[] = []
  for (let seed = 0; seed < 60; seed++) wrong.push(...tryClub(seed, 2, tally))
  console.log('random clubs', JSON.stringify(tally))
  expect(wrong).toEqual([])
  // The clubs are no walkover and not hopeless: both kinds of window, fixed pieces kept, and most tasks planned.
  expect(tally.met).toBeGreaterThan(100)
  expect(tally.missed).toBeGreaterThan(50)
  expect(tally.kept).toBeGreaterThan(20)
  // Material: much is needed, some of it short, and some pieces wait for it.
  expect(tally.needs).toBeGreaterThan(1000)
  expect(tally.short).toBeGreaterThan(200)
  expect(tally.waits).toBeGreaterThan(100)
  expect(tally.unplanned).toBeLessThan(tally.tasks / 10)
})

test('the same holds in 60 tiny clubs searched longer', { timeout: 1_800_000 }, () => {
  const tally = noTally()
  const wrong: string[] = []
  for (let seed = 0; seed < 60; seed++) wrong.push(...tryClub(seed, 100, tally, TINY))
  expect(wrong).toEqual([])
})
