import type { Reader } from '../../../platform/database.ts'
import type { Actor } from '../../../platform/write.ts'
import { sessionSheet, type Sheet } from './sheet.ts'
import { curingOf, type CuringView } from './states.ts'

export type CloseOutPage = Sheet & {
  /** Who was ticked as here (walk-ins too). */
  readonly here: readonly string[]
  readonly curing: readonly CuringView[]
  /** Members to choose from: those expected or here first. */
  readonly members: readonly { readonly id: string; readonly name: string }[]
  readonly closed: { readonly by: string | null; readonly at: Date; readonly shedLocked: boolean; readonly wasteSafe: boolean; readonly note: string } | null
  /** Person-minutes (together: minutes) left of each task, as the books have it. */
  readonly left: ReadonlyMap<string, number>
  /** Tasks with hours logged in this session already. */
  readonly logged: ReadonlySet<string>
}

/** What the last page of a session needs: its pieces, who was there, what is logged of it already. */
export async function closeOutPage(db: Reader, member: Actor, sessionId: string, now: Date): Promise<CloseOutPage> {
  const sheet = await sessionSheet(db, member, sessionId, now)
  const [attendance, members, closed, logs] = await Promise.all([
    db.attendance.findMany({ where: { sessionId, cameAt: { not: null } }, select: { memberId: true } }),
    db.member.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
    db.closeOut.findUnique({ where: { sessionId } }),
    db.workLog.findMany({ where: { sessionId, reversesId: null }, select: { id: true, taskId: true, linkId: true } }),
  ])
  const reversed = new Set((await db.workLog.findMany({ where: { reversesId: { in: logs.map((l) => l.id) } }, select: { reversesId: true } })).map((l) => l.reversesId))
  const here = attendance.map((a) => a.memberId)
  const near = new Set([...here, ...sheet.comers.map((c) => c.memberId), ...sheet.pieces.flatMap((p) => p.people)])
  return {
    ...sheet,
    here,
    curing: curingOf(sheet.states),
    members: [...members.filter((m) => near.has(m.id)), ...members.filter((m) => !near.has(m.id))],
    closed: closed && { by: members.find((m) => m.id === closed.closedBy)?.name ?? null, at: closed.closedAt, shedLocked: closed.shedLocked, wasteSafe: closed.wasteSafe, note: closed.note },
    left: new Map([...sheet.states].map(([id, s]) => [id, s.leftMin])),
    logged: new Set(logs.filter((l) => !reversed.has(l.id)).map((l) => (l.linkId ? `wash:${l.linkId}` : l.taskId))),
  }
}
