import {
  instantToLocal, localToInstant, presenceOfMembers, type Answer, type OffsetTable, type PresenceRow, type SeriesRow, type SessionRow,
} from '../../../core/calendar/index.ts'
import type { Presence } from '../../../core/schedule/problem.ts'
import { instant, MINUTES_PER_DAY, type Instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { offsetTable } from '../../../platform/zone.ts'
import { dateColumn, isoDate, toInstant, weeksBetween } from '../times.ts'

/** What stretch of time is asked for; `from` may lie before `now` (coats that still cure). */
export type Stretch = { readonly now: Instant; readonly from: Instant; readonly until: Instant }

/** How far the weekly rhythm is assumed to go on, in weeks. */
export const RHYTHM_WEEKS = 104

/** UTC offsets of the club's zone from `from` until `until`. */
export async function loadZone(db: Reader, from: Instant, until: Instant): Promise<OffsetTable> {
  const club = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })
  return offsetTable(club.zone, from, until)
}

/** A zone that also serves local times of the days around the stretch. */
export const zoneOf = (db: Reader, w: Stretch): Promise<OffsetTable> =>
  loadZone(db, instant(Math.min(w.from, w.now) - 2 * MINUTES_PER_DAY), instant(w.until + 8 * MINUTES_PER_DAY))

export type Rhythm = { readonly sessions: SessionRow[]; readonly series: SeriesRow[] }

/** Sessions of the stretch, and of each series its last one: the rhythm goes on from there. */
export async function loadRhythm(db: Reader, zone: OffsetTable, w: Stretch): Promise<Rhythm> {
  const series = await db.series.findMany({
    select: { id: true, siteId: true, weekday: true, starts: true, ends: true, everyWeeks: true, keyholderId: true, goesOn: true },
    orderBy: { id: 'asc' },
  })
  const last = await db.session.groupBy({ by: ['seriesId'], where: { seriesId: { not: null } }, _max: { date: true } })
  const first = instantToLocal(zone, instant(w.from - MINUTES_PER_DAY)).date
  const sessions = await db.session.findMany({
    where: { OR: [{ date: { gte: dateColumn(first) } }, ...last.flatMap((l) => (l._max.date ? [{ seriesId: l.seriesId, date: l._max.date }] : []))] },
    select: { id: true, siteId: true, seriesId: true, date: true, starts: true, ends: true, keyholderId: true, state: true },
    orderBy: [{ date: 'asc' }, { starts: 'asc' }, { id: 'asc' }],
  })
  // A duty that its holder can no longer do opens nothing: who left, or lost the role.
  const holders = await db.member.findMany({ where: { isActive: true, roles: { hasSome: ['keyholder', 'officer'] } }, select: { id: true } })
  const mayOpen = new Set(holders.map((h) => h.id))
  const keyholder = (id: string | null) => (id !== null && mayOpen.has(id) ? id : null)
  return {
    series: series.map((s) => ({ ...s, keyholderId: keyholder(s.keyholderId) })),
    sessions: sessions.map(({ state, ...s }) => ({ ...s, date: isoDate(s.date), keyholderId: keyholder(s.keyholderId), cancelled: state === 'cancelled' })),
  }
}

/**
 * When every active member is where: answers, else usual attendance (a club setting), then the weekly rhythm assumed to go on up to 104
 * weeks from now; sessions only while a keyholder is there. Own hours at home need none.
 */
export async function loadPresence(db: Reader, w: Stretch): Promise<Map<string, Presence[]>> {
  const club = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { countUsual: true } })
  const zone = await zoneOf(db, w)
  const rhythm = await loadRhythm(db, zone, w)
  const members = await loadAttendees(db, zone, rhythm.sessions)
  const presence = presenceOfMembers({
    ...rhythm, zone, members, from: w.from, until: w.until, countUsual: club.countUsual,
    weeks: RHYTHM_WEEKS + weeksBetween(w.from, w.now),
  })
  const closed = await closedEarly(db, rhythm.sessions)
  // What is only assumed and already over never took place.
  const counts = (row: PresenceRow) => row.start < row.end && !(row.projected && row.start < w.now)
  const cut = (row: PresenceRow): PresenceRow => {
    const end = closed.get(row.sessionId ?? '')
    return end !== undefined && end < row.end ? { ...row, end } : row
  }
  return new Map([...presence].map(([id, rows]) => [id, rows.map(cut).filter(counts)]))
}

/** When sessions were closed out: nobody counts as there after it. */
async function closedEarly(db: Reader, sessions: readonly SessionRow[]): Promise<Map<string, Instant>> {
  const rows = await db.closeOut.findMany({ where: { sessionId: { in: sessions.map((s) => s.id) } }, select: { sessionId: true, closedAt: true } })
  return new Map(rows.map((r) => [r.sessionId, toInstant(r.closedAt)]))
}

async function loadAttendees(db: Reader, zone: OffsetTable, sessions: readonly SessionRow[]) {
  const dates = new Map(sessions.map((s) => [s.id, s.date]))
  const rows = await db.member.findMany({
    where: { isActive: true },
    select: {
      id: true, roles: true,
      usual: { select: { siteId: true, weekday: true, fromTime: true, toTime: true } },
      ownHours: { select: { siteId: true, weekday: true, fromTime: true, toTime: true, fromOn: true, untilOn: true } },
      attendance: { where: { sessionId: { in: [...dates.keys()] } }, select: { sessionId: true, answer: true, fromTime: true, toTime: true, cameAt: true, leftAt: true } },
    },
    orderBy: { id: 'asc' },
  })
  return rows.map((m) => ({
    id: m.id,
    isKeyholder: mayHoldKeys(m.roles),
    usual: m.usual.map((u) => ({ siteId: u.siteId, weekday: u.weekday, from: u.fromTime, to: u.toTime })),
    ownHours: m.ownHours.map((o) => ({
      siteId: o.siteId, weekday: o.weekday, from: o.fromTime, to: o.toTime, fromOn: isoDate(o.fromOn), untilOn: o.untilOn && isoDate(o.untilOn),
    })),
    answers: new Map(m.attendance.flatMap((a) => {
      const answer = answerOf(zone, dates.get(a.sessionId)!, a)
      return answer ? [[a.sessionId, answer] as const] : []
    })),
  }))
}

/** Who may open the workshop. */
export const mayHoldKeys = (roles: readonly string[]): boolean => roles.includes('keyholder') || roles.includes('officer')

export type AnswerRow = { answer: 'coming' | 'not_coming' | null; fromTime: string | null; toTime: string | null; cameAt: Date | null; leftAt: Date | null }

/** What a row says. Whoever was ticked as here counts as coming, whatever they answered before. */
export function answerOf(zone: OffsetTable, date: string, row: AnswerRow): Answer | null {
  if (row.answer === null && row.cameAt === null) return null
  if (row.answer === 'not_coming' && row.cameAt === null) return { coming: false, from: null, to: null }
  const at = (time: string | null) => (time === null ? null : localToInstant(zone, { date, time }))
  // Gone home: what was meant to follow no longer counts.
  const left = row.leftAt && toInstant(row.leftAt)
  const to = at(row.toTime)
  return { coming: true, from: at(row.fromTime), to: left !== null && (to === null || left < to) ? left : to }
}
