import { describe, expect, test } from 'vitest'
import { closeSession, loadPresence } from '../../../src/features/sessions/public.ts'
import { transact } from '../../../src/platform/database.ts'
import type { Ctx } from '../../../src/platform/write.ts'
import { testDatabase } from '../../support/db.ts'
import { maker } from '../../support/make.ts'
import { at } from '../../support/zones.ts'

// Saturday 6 June 2026 in Berlin; the session is 10:00–16:00, that is 08:00–14:00 UTC. It is closed at 13:00 local.
const CLOSED = at('2026-06-06T11:00Z')
const { prisma: db } = await testDatabase()
const make = maker(db, new Date('2026-06-01T00:00Z'))
await make.club()
const site = await make.site()
const kim = await make.member(['keyholder'], { name: 'Kim' })
const ann = await make.member(['builder'], { name: 'Ann' })
const add = (over: object = {}) => db.session.create({ data: { siteId: site.id, date: new Date('2026-06-06T00:00Z'), starts: '10:00', ends: '16:00', keyholderId: kim.id, ...over } })
const ctx = { now: new Date(CLOSED * 60_000), member: { id: kim.id, name: 'Kim', roles: ['keyholder'] }, clubZone: 'Europe/Berlin', may: () => true } as unknown as Ctx
const close = (sessionId: string) => transact(db, (tx) => closeSession(tx, ctx, { sessionId, shedLocked: true, wasteSafe: true, note: '' }))

describe('closing a session', () => {
  test('ends it for everybody, asks for a new plan and is booked once', async () => {
    const session = await add()
    await db.attendance.createMany({
      data: [
        { sessionId: session.id, memberId: kim.id, answer: 'coming', cameAt: new Date('2026-06-06T07:50Z') },
        { sessionId: session.id, memberId: ann.id, answer: 'coming', cameAt: new Date('2026-06-06T08:10Z'), leftAt: new Date('2026-06-06T10:00Z') },
      ],
    })
    expect((await close(session.id)).ok).toBe(true)
    expect(await db.session.findUniqueOrThrow({ where: { id: session.id } })).toMatchObject({ state: 'closed', version: 2 })
    expect(await db.closeOut.findUniqueOrThrow({ where: { sessionId: session.id } })).toMatchObject({ closedBy: kim.id, shedLocked: true, wasteSafe: true })
    const left = await db.attendance.findMany({ where: { sessionId: session.id }, orderBy: { leftAt: 'asc' } })
    // Ann had left at 12:00 local; Kim leaves with the closing.
    expect(left.map((a) => a.leftAt?.toISOString())).toEqual(['2026-06-06T10:00:00.000Z', '2026-06-06T11:00:00.000Z'])
    expect((await db.planRequest.findMany()).at(-1)?.cause).toBe('Kim closed out the session of Sat 6 June 10:00')

    const again = await close(session.id)
    expect(again.ok ? null : again.refusal.status).toBe(409)
    expect(await db.closeOut.count()).toBe(1)
  })

  test('before its end leaves no presence after it, of nobody', async () => {
    await db.attendance.deleteMany()
    await db.usualAttendance.create({ data: { memberId: ann.id, siteId: site.id, weekday: 6, fromTime: '10:00', toTime: '16:00' } })
    const presence = await loadPresence(db, { now: CLOSED, from: at('2026-06-06T00:00Z'), until: at('2026-06-07T00:00Z') })
    for (const id of [kim.id, ann.id]) expect(presence.get(id)?.map((r) => [r.start, r.end])).toEqual([[at('2026-06-06T08:00Z'), CLOSED]])
  })

  test('that was called off is refused in words', async () => {
    const answer = await close((await add({ state: 'cancelled' })).id)
    expect(answer).toMatchObject({ ok: false, refusal: { status: 422, message: 'The session of Sat 6 June 10:00 was called off: there is nothing to close out.' } })
  })
})
