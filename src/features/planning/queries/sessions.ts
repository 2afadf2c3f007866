import { addDays, instantToLocal, type OffsetTable } from '../../../core/calendar/index.ts'
import { instant, type Instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { loadPresence, loadZone } from '../../sessions/public.ts'
import { DAY, dateColumn, isoDate, localAt, toInstant } from '../times.ts'

export type SessionCard = {
  readonly id: string
  readonly title: string
  readonly siteId: string
  readonly siteName: string
  readonly start: Instant
  readonly end: Instant
  readonly keyholderId: string | null
  readonly state: 'planned' | 'closed' | 'cancelled'
}
/** One stretch of somebody's presence at a session. */
export type Comer = { readonly memberId: string; readonly start: number; readonly end: number }

const SELECT = { id: true, title: true, siteId: true, date: true, starts: true, ends: true, keyholderId: true, state: true, site: { select: { name: true } } } satisfies Prisma.SessionSelect
type Row = Prisma.SessionGetPayload<{ select: typeof SELECT }>

const card = (zone: OffsetTable, s: Row): SessionCard => ({
  id: s.id, title: s.title, siteId: s.siteId, siteName: s.site.name, keyholderId: s.keyholderId, state: s.state,
  start: localAt(zone, isoDate(s.date), s.starts), end: localAt(zone, isoDate(s.date), s.ends),
})

/** The club's zone around now: far enough for whatever pages show. */
export const zoneAround = (db: Reader, now: Date): Promise<OffsetTable> =>
  loadZone(db, instant(toInstant(now) - 400 * DAY), instant(toInstant(now) + 800 * DAY))

/** The session that is on and the next ones, in order; cancelled ones are left out. */
export async function sessionsAhead(db: Reader, zone: OffsetTable, now: Date, count: number): Promise<SessionCard[]> {
  const at = toInstant(now)
  const { date } = instantToLocal(zone, at)
  const rows = await db.session.findMany({
    where: { state: { not: 'cancelled' }, date: { gte: dateColumn(date) } },
    select: SELECT, orderBy: [{ date: 'asc' }, { starts: 'asc' }, { id: 'asc' }], take: count + 4,
  })
  return rows.map((row) => card(zone, row)).filter((s) => s.end > at && s.state === 'planned').slice(0, count)
}

export async function sessionCard(db: Reader, zone: OffsetTable, id: string): Promise<SessionCard | null> {
  const row = await db.session.findUnique({ where: { id }, select: SELECT })
  return row && card(zone, row)
}

/** Sessions of the last days that are over and not closed out, newest first. */
export async function notClosedOut(db: Reader, zone: OffsetTable, now: Date): Promise<SessionCard[]> {
  const at = toInstant(now)
  const { date } = instantToLocal(zone, at)
  const rows = await db.session.findMany({
    where: { state: 'planned', closeOut: null, date: { gte: dateColumn(addDays(date, -21)), lte: dateColumn(date) } },
    select: SELECT, orderBy: [{ date: 'desc' }, { starts: 'desc' }, { id: 'asc' }],
  })
  return rows.map((row) => card(zone, row)).filter((s) => s.end <= at)
}

/** Who comes to each session and from when to when, as far as is known or usual. */
export async function comers(db: Reader, now: Date, sessions: readonly SessionCard[]): Promise<Map<string, Comer[]>> {
  const found = new Map<string, Comer[]>(sessions.map((s) => [s.id, []]))
  if (sessions.length === 0) return found
  const from = instant(Math.min(...sessions.map((s) => s.start)))
  const until = instant(Math.max(...sessions.map((s) => s.end)))
  const presence = await loadPresence(db, { now: toInstant(now), from, until })
  for (const [memberId, rows] of presence) {
    for (const row of rows) if (row.sessionId !== null) found.get(row.sessionId)?.push({ memberId, start: row.start, end: row.end })
  }
  for (const list of found.values()) list.sort((a, b) => a.start - b.start || (a.memberId < b.memberId ? -1 : 1))
  return found
}

/** A piece belongs to a session when it lies in its hours at its site. */
export const isInSession = (s: Pick<SessionCard, 'start' | 'end' | 'siteId'>, siteOf: ReadonlyMap<string, string>) => (p: { start: number; end: number; placeId: string | null }): boolean =>
  p.start < s.end && p.end > s.start && (p.placeId === null || siteOf.get(p.placeId) === s.siteId)

export async function siteOfPlaces(db: Reader): Promise<Map<string, string>> {
  const rows = await db.place.findMany({ select: { id: true, siteId: true } })
  return new Map(rows.map((r) => [r.id, r.siteId]))
}
