/** What day it is goes by the club's clock, not by UTC: on a morning in Auckland UTC still has the day before. */
import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'
import { started, words } from './support.ts'

// 20:30 UTC on Friday 5 June 2026 is 08:30 on Saturday 6 June in Auckland (UTC+12).
const club = await testClub({ now: '2026-06-05T20:30:00Z' })

test('a build begun, paused or aimed on a morning far east has the club’s own date', async () => {
  await club.db.club.update({ where: { id: 1 }, data: { zone: 'Pacific/Auckland' } })
  const builder = await club.signedIn(['builder', 'officer'], { name: 'Ann Tern' })
  const place = await club.make.place({ bays: 2, name: 'Main floor' })
  const session = await club.db.session.create({ data: { siteId: place.siteId, date: new Date('2026-06-06T00:00:00Z'), starts: '06:00', ends: '07:00', keyholderId: builder.memberId } })
  const id = await started(club, builder, { placeId: place.id, team: [builder.memberId] })
  const row = () => club.db.build.findUniqueOrThrow({ where: { id } })
  expect((await row()).startedOn.toISOString().slice(0, 10)).toBe('2026-06-06')
  const paused = await builder.post(`/builds/${id}/pause`, { version: (await row()).version, note: '' })
  expect(paused.statusCode, words(paused.body)).toBe(303)
  expect((await row()).pausedOn?.toISOString().slice(0, 10)).toBe('2026-06-06')
  // This morning's session is over, and stands among the last ones.
  expect((await builder.get('/sessions')).body).toContain(`/sessions/${session.id}`)
})
