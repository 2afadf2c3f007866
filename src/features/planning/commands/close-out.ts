import { dayOf, instantToLocal, localMinuteToInstant, type OffsetTable } from '../../../core/calendar/index.ts'
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { finishTask, logCoat, logWork, sayWash, stateLeft } from '../../builds/public.ts'
import { closeSession } from '../../sessions/public.ts'
import { linkOfWash } from '../model.ts'
import { sessionCard, zoneAround } from '../queries/sessions.ts'
import { visibleBuilds } from '../queries/visible.ts'
import type { CloseOutInput, PieceSaid } from '../schemas.ts'
import { DAY, toDate, toInstant } from '../times.ts'

type Said = Result<unknown, Refusal>
/** The session's local day, in which the times are said. */
type Day = { readonly sessionId: string; readonly zone: OffsetTable; readonly date: string }

/** The last page of a session, all of it or nothing: what was done of each piece, the checks of the shed, and the session is closed. */
export async function closeOut(tx: Tx, ctx: Ctx, sessionId: string, input: CloseOutInput): Promise<Result<Done, Refusal>> {
  const zone = await zoneAround(tx, ctx.now)
  const session = await sessionCard(tx, zone, sessionId)
  if (!session) return refused(404, 'There is no such session.')
  if (session.start > toInstant(ctx.now)) return refused(422, 'This session has not begun yet: close it out when it is over. To call it off, open the session.')
  if ((!input.shedLocked || !input.wasteSafe) && input.note === '') {
    return refused(422, 'Something is still to be seen to: tick it, or say in the note who sees to it.', {
      fields: { ...(input.shedLocked ? {} : { shedLocked: 'Locked? Or say in the note who locks up' }), ...(input.wasteSafe ? {} : { wasteSafe: 'Waste dealt with? Or say in the note who does' }) },
    })
  }
  const day = { sessionId, zone, date: instantToLocal(zone, session.start).date }
  const seen = new Set((await visibleBuilds(tx, ctx.member)).map((b) => b.id))
  for (const piece of input.pieces) {
    if (!seen.has(piece.buildId)) return refused(404, 'One of these builds is not there any more. Open the page again.')
    const said = await sayPiece(tx, ctx, day, piece)
    if (!said.ok) return refused(said.refusal.status, await about(tx, piece, said.refusal), { fields: fieldsOf(piece, said.refusal) })
  }
  const closed = await closeSession(tx, ctx, { sessionId, shedLocked: input.shedLocked, wasteSafe: input.wasteSafe, note: input.note })
  if (!closed.ok) return closed
  const count = (state: PieceSaid['state']) => input.pieces.filter((p) => p.state === state).length
  return ok({ location: '/', flash: `Closed out: ${count('done')} done, ${count('part')} in part, ${count('not')} not done. What wasn’t done is planned anew.` })
}

async function sayPiece(tx: Tx, ctx: Ctx, session: Day, piece: PieceSaid): Promise<Said> {
  if (piece.state === 'not') return ok(null)
  const linkId = linkOfWash(piece.taskId)
  if (linkId !== null) return sayWashed(tx, ctx, session, piece, linkId)
  const task = await tx.task.findFirst({ where: { id: piece.taskId, buildId: piece.buildId }, select: { productId: true, kind: true, finishedAt: true } })
  if (!task) return refused(404, 'This task is not there any more. Open the page again.')
  // Somebody finished it in the session itself: nothing is left to say.
  if (task.finishedAt !== null) return ok(null)
  const { buildId, taskId } = piece
  const times = stretch(ctx, session, piece)
  if (piece.state === 'done' && task.productId !== null && times) {
    return logCoat(tx, ctx, { buildId, taskId, startedAt: toDate(times.start), endedAt: toDate(times.end), people: piece.people, sessionId: session.sessionId })
  }
  const logged = await hours(tx, ctx, session, piece, null)
  if (!logged.ok) return logged
  if (piece.state === 'part') return piece.leftMin === null ? ok(null) : stateLeft(tx, ctx, { buildId, taskId, leftMin: piece.leftMin })
  return finishTask(tx, ctx, { buildId, taskId, at: times ? toDate(times.end) : ctx.now })
}

async function sayWashed(tx: Tx, ctx: Ctx, session: Day, piece: PieceSaid, linkId: string): Promise<Said> {
  const link = await tx.link.findFirst({ where: { id: linkId, buildId: piece.buildId }, select: { toId: true, washDoneAt: true } })
  if (!link) return refused(404, 'This wash is not there any more. Open the page again.')
  if (link.washDoneAt !== null) return ok(null)
  const logged = await hours(tx, ctx, session, { ...piece, taskId: link.toId }, linkId)
  if (!logged.ok || piece.state === 'part') return logged
  return sayWash(tx, ctx, { buildId: piece.buildId, linkId, step: 'done' })
}

/** Local times of the session's day; a stretch that would end in the future ends now, for clocks differ. */
function stretch(ctx: Ctx, day: Day, piece: PieceSaid): { start: number; end: number } | null {
  if (piece.from === null || piece.to === null) return null
  const midnight = dayOf(day.date) * DAY
  const now = toInstant(ctx.now)
  const start = localMinuteToInstant(day.zone, midnight + piece.from)
  const end = localMinuteToInstant(day.zone, midnight + piece.to)
  return { start, end: end > now && end <= now + 10 ? Math.max(start + 1, now) : end }
}

async function hours(tx: Tx, ctx: Ctx, session: Day, piece: PieceSaid, linkId: string | null): Promise<Said> {
  const times = stretch(ctx, session, piece)
  if (!times) return ok(null)
  return logWork(tx, ctx, {
    buildId: piece.buildId, taskId: piece.taskId, startedAt: toDate(times.start), elapsedMin: times.end - times.start, people: piece.people, sessionId: session.sessionId, linkId,
  })
}

async function about(tx: Tx, piece: PieceSaid, refusal: Refusal): Promise<string> {
  const linkId = linkOfWash(piece.taskId)
  const task = linkId === null
    ? await tx.task.findUnique({ where: { id: piece.taskId }, select: { name: true } })
    : (await tx.link.findUnique({ where: { id: linkId }, select: { to: { select: { name: true } } } }))?.to
  return task ? `${task.name}: ${refusal.message}` : refusal.message
}

/** Fields of the builds' own forms, as they are called here. */
const HERE: Record<string, string> = { for: 'people', hours: 'to', from: 'from', started: 'from', ended: 'to', at: 'to', left: 'left' }

function fieldsOf(piece: PieceSaid, refusal: Refusal): Record<string, string> {
  const entries = Object.entries(refusal.fields ?? {}).map(([name, text]) => [`p${piece.at}_${HERE[name] ?? 'state'}`, text] as const)
  return entries.length > 0 ? Object.fromEntries(entries) : { [`p${piece.at}_state`]: refusal.message }
}
