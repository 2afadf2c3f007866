import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { LIVE_CHANNEL, notify } from '../../../platform/events.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { addMember } from '../../members/public.ts'
import { hoursOf, isoDate, toInstant, zoneOnDate } from '../times.ts'
import { dayWords } from '../words.ts'

type Saved = Promise<Result<Done, Refusal>>
type Tick = 'here' | 'not-here' | 'left' | 'back'
/** People come in before it begins. */
export const EARLY_MIN = 180

/** The session, locked, if somebody can be there now. */
async function openSession(tx: Tx, ctx: Ctx, sessionId: string) {
  await tx.$queryRaw`select id from session where id = ${sessionId}::uuid for update`
  const session = await tx.session.findUnique({ where: { id: sessionId } })
  if (!session) return refused(404, 'There is no such session.')
  if (session.state !== 'planned') return refused(422, `The session of ${dayWords(session)} is ${session.state === 'closed' ? 'closed out' : 'called off'}: nothing more is ticked.`)
  const { start } = hoursOf(zoneOnDate(ctx.clubZone, isoDate(session.date)), session)
  if (toInstant(ctx.now) < start - EARLY_MIN) return refused(422, `The session of ${dayWords(session)} is not on yet: tick who is here on the day.`)
  return ok(session)
}

export async function tickHere(tx: Tx, ctx: Ctx, sessionId: string, input: { memberId: string; tick: Tick }): Saved {
  if (input.memberId !== ctx.member.id && !ctx.may('sessions.others')) return refused(403, 'You can tick yourself; a keyholder or an officer ticks others.')
  const open = await openSession(tx, ctx, sessionId)
  if (!open.ok) return open
  const member = await tx.member.findFirst({ where: { id: input.memberId, isActive: true }, select: { name: true } })
  if (!member) return refused(404, 'There is no such member.')
  const key = { sessionId, memberId: input.memberId }
  const before = await tx.attendance.findUnique({ where: { sessionId_memberId: key } })
  if (input.tick === 'here') {
    await tx.attendance.upsert({ where: { sessionId_memberId: key }, create: { ...key, cameAt: ctx.now }, update: { cameAt: before?.cameAt ?? ctx.now, leftAt: null } })
  } else if (before) await untick(tx, ctx, key, before, input.tick)
  return ticked(tx, ctx, sessionId, open.value, member.name, input.tick)
}

async function untick(tx: Tx, ctx: Ctx, key: { sessionId: string; memberId: string }, before: { answer: string | null; cameAt: Date | null; walkIn: boolean }, tick: Tick): Promise<void> {
  const where = { sessionId_memberId: key }
  if (tick === 'left' && before.cameAt) await tx.attendance.update({ where, data: { leftAt: ctx.now } })
  if (tick === 'back') await tx.attendance.update({ where, data: { leftAt: null } })
  if (tick !== 'not-here') return
  // What was only a tick goes as a whole; an answer stays.
  if (before.answer === null) await tx.attendance.delete({ where })
  else await tx.attendance.update({ where, data: { cameAt: null, leftAt: null, walkIn: false } })
}

/** Somebody who was not expected: a member, or a new name that becomes a member without a sign-in. */
export async function walkIn(tx: Tx, ctx: Ctx, sessionId: string, input: { memberId: string | null; newName: string; isMinor: boolean }): Saved {
  const open = await openSession(tx, ctx, sessionId)
  if (!open.ok) return open
  const found = input.memberId
    ? await tx.member.findFirst({ where: { id: input.memberId, isActive: true }, select: { id: true, name: true } })
    : await newcomer(tx, ctx, input)
  if (!found) return refused(422, 'That member is not in the club (any more).', { fields: { memberId: 'Member: choose from the list' } })
  if ('refusal' in found) return found
  const key = { sessionId, memberId: found.id }
  await tx.attendance.upsert({
    where: { sessionId_memberId: key },
    create: { ...key, cameAt: ctx.now, walkIn: true },
    update: { cameAt: ctx.now, leftAt: null },
  })
  return ticked(tx, ctx, sessionId, open.value, found.name, 'here')
}

/** A name twice would be two people on every list; so the one who is there already is offered. */
async function newcomer(tx: Tx, ctx: Ctx, input: { newName: string; isMinor: boolean }) {
  const same = await tx.member.findFirst({ where: { name: { equals: input.newName, mode: 'insensitive' }, isActive: true }, select: { name: true } })
  if (same) return refused(422, `${same.name} is a member already.`, { fields: { newName: `New name: ${same.name} is a member already; choose the member above, or write the name so that the two are told apart` } })
  const added = await addMember(tx, ctx, { name: input.newName, email: null, phone: null, roles: ['helper'], isMinor: input.isMinor, helpsAnyone: true, note: 'Walked in' })
  return added.ok ? { id: added.value, name: input.newName } : added
}

async function ticked(tx: Tx, ctx: Ctx, sessionId: string, session: { date: Date; starts: string }, name: string, tick: Tick): Saved {
  const words = { here: 'is here', 'not-here': 'is not here', left: 'has left', back: 'is here still' }[tick]
  await audit(tx, ctx, { what: `ticked: ${name} ${words}`, entity: 'session', entityId: sessionId })
  await requestReplan(tx, `${name} ${words} at the session of ${dayWords(session)}`, ctx)
  await notify(tx, LIVE_CHANNEL, `session:${sessionId}`)
  return ok({ location: `/sessions/${sessionId}/here`, flash: `${name} ${words}.` })
}
