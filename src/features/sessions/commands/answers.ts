import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { LIVE_CHANNEL, notify } from '../../../platform/events.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { mayHoldKeys } from '../queries/planning.ts'
import { backTo, shownTime, type AnswerInput } from '../schemas/session.ts'
import { hoursOf, isoDate, toInstant, zoneOnDate } from '../times.ts'
import { dayWords } from '../words.ts'

type Saved = Promise<Result<Done, Refusal>>

/** Whether a member comes, from when to when; for oneself, or for another where the roles allow it. */
export async function answerSession(tx: Tx, ctx: Ctx, sessionId: string, input: AnswerInput): Saved {
  const back = backTo(input.back, sessionId)
  const memberId = input.memberId ?? ctx.member.id
  if (memberId !== ctx.member.id && !ctx.may('sessions.others')) return refused(403, 'You can answer for yourself; a keyholder or an officer can for others.')
  const session = await tx.session.findUnique({ where: { id: sessionId } })
  const member = await tx.member.findFirst({ where: { id: memberId, isActive: true }, select: { name: true } })
  if (!session || !member) return refused(404, 'There is no such session or member.')
  const problem = answerProblem(ctx, session, input)
  if (problem) return problem
  const times = input.answer === 'coming' ? { fromTime: input.fromTime, toTime: input.toTime } : { fromTime: null, toTime: null }
  if (input.answer === 'clear') {
    // A tick of who was here is not an answer: it stays.
    await tx.attendance.deleteMany({ where: { sessionId, memberId, cameAt: null } })
    await tx.attendance.updateMany({ where: { sessionId, memberId }, data: { answer: null, ...times } })
  } else {
    const data = { answer: input.answer, ...times }
    await tx.attendance.upsert({ where: { sessionId_memberId: { sessionId, memberId } }, create: { sessionId, memberId, ...data }, update: data })
  }
  const said = { coming: 'comes', not_coming: 'does not come', clear: 'has not answered' }[input.answer]
  const from = times.fromTime || times.toTime ? ` from ${times.fromTime ?? session.starts} to ${shownTime(times.toTime ?? session.ends)}` : ''
  await audit(tx, ctx, { what: 'answered for a session', entity: 'session', entityId: sessionId, after: { ...input, memberId } })
  await requestReplan(tx, `${member.name} ${said} on ${dayWords(session)}${from}`, ctx)
  await notify(tx, LIVE_CHANNEL, `session:${sessionId}`)
  const keyless = input.answer === 'not_coming' && session.keyholderId === memberId
  const who = memberId === ctx.member.id ? { coming: 'You come', not_coming: 'You do not come', clear: 'Your answer is taken back' }[input.answer] : `${member.name} ${said}`
  return ok({
    location: back,
    flash: `${who}: ${dayWords(session)}${from}.${keyless ? ' The key of this session is still in that name: until another keyholder takes it, nobody’s hours count.' : ''}`,
  })
}

type SessionRow = { date: Date; starts: string; ends: string; state: string }

function answerProblem(ctx: Ctx, session: SessionRow, input: AnswerInput) {
  const name = dayWords(session)
  if (session.state === 'cancelled') return refused(422, `The session of ${name} is called off: no answer is needed.`)
  if (session.state === 'closed' || hoursOf(zoneOnDate(ctx.clubZone, isoDate(session.date)), session).end <= toInstant(ctx.now)) return refused(422, `The session of ${name} is over.`)
  if (input.answer !== 'coming') return null
  const hours = `${session.starts}–${shownTime(session.ends)}`
  const outside = (t: string | null) => t !== null && (t < session.starts || t > session.ends)
  const fields = {
    ...(outside(input.fromTime) && { fromTime: `From ${input.fromTime}: the session is ${hours}; choose a time in it` }),
    ...(outside(input.toTime) && { toTime: `To ${input.toTime}: the session is ${hours}; choose a time in it` }),
    ...(input.fromTime === session.ends && { fromTime: `From ${input.fromTime}: that is its end` }),
    ...(input.toTime === session.starts && { toTime: `To ${input.toTime}: that is its beginning` }),
  }
  return Object.keys(fields).length > 0 ? refused(422, `Those times are not within the session of ${name}, ${hours}. Nothing was changed.`, { fields }) : null
}

/** A keyholder takes the duty to open up, or gives it back. */
export async function takeKey(tx: Tx, ctx: Ctx, sessionId: string, input: { key: 'take' | 'give-back'; back: 'list' | 'page' }): Saved {
  const { key } = input
  const back = backTo(input.back, sessionId)
  await tx.$queryRaw`select id from session where id = ${sessionId}::uuid for update`
  const session = await tx.session.findUnique({ where: { id: sessionId }, include: { keyholder: { select: { name: true } } } })
  if (!session) return refused(404, 'There is no such session.')
  if (session.state !== 'planned') return refused(422, `The session of ${dayWords(session)} is ${session.state === 'closed' ? 'closed out' : 'called off'}.`)
  if (key === 'take' && !mayHoldKeys(ctx.member.roles)) return refused(403, 'That takes the role of keyholder or officer.')
  if (key === 'give-back' && session.keyholderId !== ctx.member.id) return refused(422, `The key of ${dayWords(session)} is not in your name.`)
  await tx.session.update({ where: { id: sessionId }, data: { keyholderId: key === 'take' ? ctx.member.id : null, version: { increment: 1 } } })
  if (key === 'take') await tx.attendance.deleteMany({ where: { sessionId, memberId: ctx.member.id, answer: 'not_coming', cameAt: null } })
  await audit(tx, ctx, { what: key === 'take' ? 'took the key' : 'gave back the key', entity: 'session', entityId: sessionId, before: { keyholderId: session.keyholderId } })
  await requestReplan(tx, key === 'take' ? `${ctx.member.name} has the key on ${dayWords(session)}` : `Nobody has the key on ${dayWords(session)}`, ctx)
  await notify(tx, LIVE_CHANNEL, `session:${sessionId}`)
  return ok({ location: back, flash: key === 'take' ? `You have the key: ${dayWords(session)}.` : `Nobody has the key now: ${dayWords(session)}.` })
}
