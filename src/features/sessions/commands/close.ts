import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { LIVE_CHANNEL, notify } from '../../../platform/events.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { dayWords } from '../words.ts'

export type CloseSession = { sessionId: string; shedLocked: boolean; wasteSafe: boolean; note: string }

/** Ends a session for good: who is still ticked as here leaves now, and what wasn't logged counts as not done. */
export async function closeSession(tx: Tx, ctx: Ctx, input: CloseSession): Promise<Result<{ sessionId: string }, Refusal>> {
  await tx.$queryRaw`select id from session where id = ${input.sessionId}::uuid for update`
  const session = await tx.session.findUnique({ where: { id: input.sessionId }, select: { id: true, date: true, starts: true, state: true, closeOut: { select: { closedAt: true } } } })
  if (!session) return refused(404, 'There is no such session.')
  const name = dayWords(session)
  if (session.state === 'cancelled') return refused(422, `The session of ${name} was called off: there is nothing to close out.`)
  if (session.closeOut) return refused(409, `The session of ${name} was closed out before; nothing was changed.`, { current: session.closeOut })
  await tx.closeOut.create({
    data: { sessionId: session.id, closedBy: ctx.member.id, closedAt: ctx.now, shedLocked: input.shedLocked, wasteSafe: input.wasteSafe, note: input.note },
  })
  await tx.session.update({ where: { id: session.id }, data: { state: 'closed', version: { increment: 1 } } })
  await tx.attendance.updateMany({ where: { sessionId: session.id, cameAt: { not: null }, leftAt: null }, data: { leftAt: ctx.now } })
  await audit(tx, ctx, { what: 'closed out a session', entity: 'session', entityId: session.id, after: input })
  await requestReplan(tx, `${ctx.member.name} closed out the session of ${name}`, ctx)
  await notify(tx, LIVE_CHANNEL, `session:${session.id}`)
  return ok({ sessionId: session.id })
}
