import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'
import { askForPlan, planned, planNow, smallClub } from './club.ts'

// Saturday 30 May 2026, 10:00 in Berlin.
const club = await testClub({ now: '2026-05-30T08:00:00Z' })
const small = await smallClub(club)

test('a first plan is made without being asked, and nothing more until something changes', async () => {
  await small.session('2026-05-30', '11:00', '17:00')
  await small.session('2026-05-31', '10:00', '16:00')
  const first = await small.coat('First fill coat')
  const second = await small.coat('Second fill coat')
  await small.link(first.id, second.id, { kind: 'window', washMin: 60 })
  expect(await planNow(club)).toBe('planned')
  expect(await planned(club)).toEqual([])
  expect(await planNow(club)).toBe('nothing')
})
