import { daysBetween, union, weekdayOf } from '../../../core/calendar/index.ts'
import { instant, type Instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { dateColumn, hoursOf, isoDate, toInstant, today, zoneOnDate } from '../times.ts'
import { comingSessions, type ComingSession } from './coming.ts'
import { loadPresence, mayHoldKeys } from './planning.ts'
import { sites, type SiteRow } from './workshop.ts'

export type MyAnswer = { answer: 'coming' | 'not_coming' | null; fromTime: string | null; toTime: string | null; cameAt: Date | null; leftAt: Date | null }
export type SessionLine = ComingSession & {
  mine: MyAnswer | null
  /** When this person counts as there, as answered or usual. */
  myHours: { start: number; end: number }[]
  /** People whose hours are planned on: nobody under age. */
  counted: number
  /** Nobody with a key is there at any time of it. */
  keyless: boolean
}

export type SeriesLine = { id: string; name: string; weekday: number; starts: string; ends: string; everyWeeks: number; untilOn: string; goesOn: boolean; /** Few entered sessions are left. */ isEnding: boolean }
export type PastLine = { id: string; title: string; date: string; starts: string; ends: string; state: 'planned' | 'closed' | 'cancelled'; here: number }
export type SessionList = { sessions: SessionLine[]; past: PastLine[]; series: SeriesLine[]; hasSites: boolean }

/** A series with its last entered session nearer than this asks for more, in days. */
const ENDING = 28
const PAST = 8

export async function sessionList(db: Reader, memberId: string, now: Date, count: number): Promise<SessionList> {
  const { zone } = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })
  const day = today(zone, now)
  const sessions = await comingSessions(db, now, count, true)
  const answers = new Map((await db.attendance.findMany({ where: { memberId, sessionId: { in: sessions.map((s) => s.id) } } })).map((a) => [a.sessionId, a]))
  const presence = await presenceAt(db, now, sessions)
  const minors = new Set((await db.member.findMany({ where: { isMinor: true }, select: { id: true } })).map((m) => m.id))
  const series = await db.series.findMany({ where: { OR: [{ goesOn: true }, { untilOn: { gte: dateColumn(day) } }] }, orderBy: [{ weekday: 'asc' }, { starts: 'asc' }, { id: 'asc' }] })
  return {
    sessions: sessions.map((s) => {
      const there = presence.get(s.id) ?? new Map<string, never[]>()
      return { ...s, mine: answers.get(s.id) ?? null, myHours: there.get(memberId) ?? [], counted: [...there.keys()].filter((id) => !minors.has(id)).length, keyless: s.state === 'planned' && there.size === 0 }
    }),
    past: await pastSessions(db, day, sessions),
    series: series.map((s) => ({ ...s, untilOn: isoDate(s.untilOn), isEnding: s.goesOn && daysBetween(day, isoDate(s.untilOn)) < ENDING })),
    hasSites: (await db.site.count()) > 0,
  }
}

/** The last ones that are over, newest first. */
async function pastSessions(db: Reader, day: string, coming: readonly { id: string }[]): Promise<PastLine[]> {
  const rows = await db.session.findMany({
    where: { date: { lte: dateColumn(day) }, id: { notIn: coming.map((s) => s.id) } },
    select: { id: true, title: true, date: true, starts: true, ends: true, state: true, _count: { select: { attendance: { where: { cameAt: { not: null } } } } } },
    orderBy: [{ date: 'desc' }, { starts: 'desc' }, { id: 'asc' }], take: PAST,
  })
  return rows.map(({ _count, ...s }) => ({ ...s, date: isoDate(s.date), here: _count.attendance }))
}

/** By session, then member: the hours that count. */
async function presenceAt(db: Reader, now: Date, sessions: readonly { id: string; start: Instant; end: Instant }[]): Promise<Map<string, Map<string, { start: number; end: number }[]>>> {
  const found = new Map(sessions.map((s) => [s.id, new Map<string, { start: number; end: number }[]>()]))
  if (sessions.length === 0) return found
  const from = instant(Math.min(...sessions.map((s) => s.start)))
  const until = instant(Math.max(...sessions.map((s) => s.end)))
  for (const [memberId, rows] of await loadPresence(db, { now: toInstant(now), from, until })) {
    for (const { sessionId, start, end } of rows) {
      const there = sessionId === null ? undefined : found.get(sessionId)
      there?.set(memberId, [...(there.get(memberId) ?? []), { start, end }])
    }
  }
  return found
}

export type Attender = { memberId: string; name: string; isMinor: boolean; holdsKeys: boolean; answer: MyAnswer['answer']; fromTime: string | null; toTime: string | null; cameAt: Date | null; leftAt: Date | null; walkIn: boolean; hours: { start: number; end: number }[] }
export type SessionPage = {
  session: ComingSession & { version: number; seriesName: string | null; closedAt: Date | null }
  people: Attender[]
  keyless: boolean
  /** Stretches of it when no keyholder is there although the session goes on. */
  unkeyed: { start: number; end: number }[]
}

export async function sessionPage(db: Reader, sessionId: string, now: Date): Promise<SessionPage | null> {
  const { zone } = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })
  const row = await db.session.findUnique({
    where: { id: sessionId },
    include: { site: { select: { name: true } }, keyholder: { select: { name: true } }, series: { select: { name: true } }, closeOut: { select: { closedAt: true } }, attendance: true },
  })
  if (!row) return null
  const { site, keyholder, series, closeOut, attendance, ...rest } = row
  const table = zoneOnDate(zone, isoDate(row.date))
  const session = { ...rest, date: isoDate(row.date), siteName: site.name, keyholderName: keyholder?.name ?? null, ...hoursOf(table, row), seriesName: series?.name ?? null, closedAt: closeOut?.closedAt ?? null }
  const counted = (await presenceAt(db, now, [session])).get(sessionId) ?? new Map<string, { start: number; end: number }[]>()
  const members = await db.member.findMany({
    where: { OR: [{ isActive: true }, { id: { in: attendance.map((a) => a.memberId) } }] },
    select: { id: true, name: true, isMinor: true, roles: true },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const answers = new Map(attendance.map((a) => [a.memberId, a]))
  const people = members.map((m): Attender => {
    const a = answers.get(m.id)
    return {
      memberId: m.id, name: m.name, isMinor: m.isMinor, holdsKeys: mayHoldKeys(m.roles), answer: a?.answer ?? null, fromTime: a?.fromTime ?? null, toTime: a?.toTime ?? null,
      cameAt: a?.cameAt ?? null, leftAt: a?.leftAt ?? null, walkIn: a?.walkIn ?? false, hours: counted.get(m.id) ?? [],
    }
  })
  return { session, people, keyless: row.state === 'planned' && counted.size === 0, unkeyed: row.state === 'planned' ? gaps(session, people) : [] }
}

/** Hours of the session in which nobody with a key is there. */
function gaps(session: { start: Instant; end: Instant; keyholderId: string | null }, people: readonly Attender[]): { start: number; end: number }[] {
  const keyed = union(people.filter((p) => p.holdsKeys || p.memberId === session.keyholderId).flatMap((p) => p.hours.map((h) => ({ start: instant(h.start), end: instant(h.end) }))))
  let at: number = session.start
  const open: { start: number; end: number }[] = []
  for (const k of keyed) {
    if (k.start > at) open.push({ start: at, end: k.start })
    at = Math.max(at, k.end)
  }
  if (at < session.end) open.push({ start: at, end: session.end })
  return open
}

export type SessionChoices = { sites: SiteRow[]; keyholders: { id: string; name: string }[] }
export async function sessionChoices(db: Reader): Promise<SessionChoices> {
  const keyholders = await db.member.findMany({ where: { isActive: true, roles: { hasSome: ['keyholder', 'officer'] } }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  return { sites: (await sites(db)).filter((s) => s.kind === 'club'), keyholders }
}

export type SeriesPage = { series: NonNullable<Awaited<ReturnType<typeof seriesRow>>>; siteName: string; coming: { id: string; date: string; starts: string; ends: string; keyholderName: string | null; state: string; isChanged: boolean; answers: number }[]; choices: SessionChoices }
const seriesRow = (db: Reader, id: string) => db.series.findUnique({ where: { id } })

export async function seriesPage(db: Reader, seriesId: string, today: string): Promise<SeriesPage | null> {
  const series = await seriesRow(db, seriesId)
  if (!series) return null
  const rows = await db.session.findMany({
    where: { seriesId, date: { gte: dateColumn(today) } },
    include: { keyholder: { select: { name: true } }, _count: { select: { attendance: { where: { answer: { not: null } } } } } },
    orderBy: { date: 'asc' },
  })
  const site = await db.site.findUniqueOrThrow({ where: { id: series.siteId }, select: { name: true } })
  return {
    series, siteName: site.name, choices: await sessionChoices(db),
    coming: rows.map((s) => ({
      id: s.id, date: isoDate(s.date), starts: s.starts, ends: s.ends, keyholderName: s.keyholder?.name ?? null, state: s.state, answers: s._count.attendance,
      isChanged: s.starts !== series.starts || s.ends !== series.ends || s.siteId !== series.siteId || weekdayOf(isoDate(s.date)) !== series.weekday,
    })),
  }
}

