import type { Instant } from '../units/index.ts'
import { intersect, presenceUnderKeyholder, subtract, union } from './intervals.ts'
import { dateOf, dayOf, weekdayOf, weekdayOfDay } from './dates.ts'
import { instantToLocal, localToInstant } from './zone.ts'
import type { Interval, OffsetTable } from './types.ts'

/** A stretch of workshop opening on the wall clock. `ends` is later than `starts` on the same date. */
export interface SessionRow {
  readonly id: string
  readonly siteId: string
  readonly seriesId: string | null
  readonly date: string
  /** 'HH:MM' local; `ends` may be '24:00'. */
  readonly starts: string
  readonly ends: string
  /** Who took the duty to open up; null: nobody yet. */
  readonly keyholderId: string | null
  /** Called off: nobody is there, and the rhythm goes on only after it. */
  readonly cancelled: boolean
}

/** The weekly rhythm that sessions were entered from. */
export interface SeriesRow {
  readonly id: string
  readonly siteId: string
  /** 1 = Monday to 7 = Sunday. */
  readonly weekday: number
  readonly starts: string
  readonly ends: string
  /** 1: every week, 2: every other week. */
  readonly everyWeeks: number
  readonly keyholderId: string | null
  /** False: it stops with its last entered session. */
  readonly goesOn: boolean
}

/** A member's answer to one session. */
export interface Answer {
  readonly coming: boolean
  /** null: from its start. */
  readonly from: Instant | null
  /** null: to its end. */
  readonly to: Instant | null
}

/** A stretch of a weekday on the wall clock; weekday 1 = Monday to 7 = Sunday. */
export interface WeeklyHours { readonly siteId: string; readonly weekday: number; readonly from: string; readonly to: string }
/** Own hours at home, on dates from `fromOn` to `untilOn` inclusive (null: for good). */
export interface OwnHours extends WeeklyHours { readonly fromOn: string; readonly untilOn: string | null }

export interface Attendee {
  readonly id: string
  /** May open up: wherever this member is, the others' presence counts. */
  readonly isKeyholder: boolean
  readonly usual: readonly WeeklyHours[]
  readonly ownHours: readonly OwnHours[]
  /** By session id; a session without an entry is unanswered. */
  readonly answers: ReadonlyMap<string, Answer>
}

/** One stretch of presence of one person: the shape of a person's presence in the planner's question. */
export interface PresenceRow extends Interval {
  readonly siteId: string
  /** null: own hours, or a session that is only assumed. */
  readonly sessionId: string | null
  /** Assumed beyond the last entered session. */
  readonly projected: boolean
}

/** A session as instants; id null: assumed from a rhythm. */
export interface Opening extends Interval {
  readonly id: string | null
  readonly siteId: string
  readonly date: string
  readonly keyholderId: string | null
  readonly projected: boolean
}

/**
 * When one member is expected at a session: an answer wins; unanswered, their usual hours of that day count, cut to the session.
 * @param answer null: not answered
 * @param usual null: usual attendance doesn't count (a club setting), or the member has none
 * @returns sorted, disjoint stretches within the session; empty when the answer is no or its times miss the session
 */
export function expectedPresence(session: Interval, answer: Answer | null, usual: readonly Interval[] | null): Interval[] {
  if (answer === null) return usual === null ? [] : intersect([session], union(usual))
  if (!answer.coming) return []
  return intersect([session], union([{ start: answer.from ?? session.start, end: answer.to ?? session.end }]))
}

/** Hours of a date on the wall clock as instants, one interval a row, empty ones (skipped by the clocks) left out. */
export function hoursOn(zone: OffsetTable, date: string, rows: readonly { readonly from: string; readonly to: string }[]): Interval[] {
  return rows
    .map(({ from, to }) => ({ start: localToInstant(zone, { date, time: from }), end: localToInstant(zone, { date, time: to }) }))
    .filter(({ start, end }) => start < end)
}

/** The entered sessions that take place, as instants, by start then id. */
export function openings(zone: OffsetTable, sessions: readonly SessionRow[]): Opening[] {
  return sessions
    .filter((s) => !s.cancelled)
    .flatMap((s) => hoursOn(zone, s.date, [{ from: s.starts, to: s.ends }]).map((hours) => ({
      ...hours, id: s.id, siteId: s.siteId, date: s.date, keyholderId: s.keyholderId, projected: false,
    })))
    .sort(byStart)
}

/**
 * The sessions assumed to follow: every series that goes on keeps its weekday, local times, site and keyholder after its last
 * entered session (a cancelled one too), every `everyWeeks` weeks, on dates after `after` and at most `weeks` weeks beyond the later
 * of `after` and that session. Local times stay across clock changes. A series without an entered session has no rhythm yet.
 * @param after 'YYYY-MM-DD', usually today: earlier dates are over
 */
export function projectRhythm(
  zone: OffsetTable, series: readonly SeriesRow[], sessions: readonly SessionRow[], after: string, weeks = 104,
): Opening[] {
  const assumed: Opening[] = []
  for (const rhythm of series) {
    const entered = sessions.filter((s) => s.seriesId === rhythm.id).map((s) => s.date)
    if (!rhythm.goesOn || entered.length === 0) continue
    const last = entered.reduce((a, b) => (a > b ? a : b))
    // A session moved by up to three days still stands for the rhythm's day nearest to it.
    const anchor = dayOf(last) + ((rhythm.weekday - weekdayOf(last) + 10) % 7) - 3
    const until = Math.max(dayOf(last), dayOf(after)) + weeks * 7
    const step = Math.max(1, rhythm.everyWeeks) * 7
    for (let day = anchor + step; day <= until; day += step) {
      if (day <= dayOf(after)) continue
      const date = dateOf(day)
      for (const hours of hoursOn(zone, date, [{ from: rhythm.starts, to: rhythm.ends }])) {
        assumed.push({ ...hours, id: null, siteId: rhythm.siteId, date, keyholderId: rhythm.keyholderId, projected: true })
      }
    }
  }
  return assumed.sort(byStart)
}

export interface AttendanceQuestion {
  readonly zone: OffsetTable
  /** Presence that ends before it is left out; the dates of own hours begin here. */
  readonly from: Instant
  /** Presence that starts at or after it is left out. */
  readonly until: Instant
  readonly sessions: readonly SessionRow[]
  readonly series: readonly SeriesRow[]
  readonly members: readonly Attendee[]
  /** Unanswered entered sessions count as usual attendance. Assumed sessions always do: nobody could answer them yet. */
  readonly countUsual: boolean
  /** How far rhythms are assumed to go on, in weeks. */
  readonly weeks: number
}

/**
 * Who is where and when, for every member: sessions as answered or usual, then the weekly rhythms assumed to go on, both only
 * while a keyholder is there; and own hours at home, which need no keyholder and give way to sessions. A named keyholder who
 * hasn't answered is expected for the whole session (they took the duty); any other present member who may open up counts as well.
 * Own hours beyond the last entered session of the club count as projected, like everything that far ahead.
 * @returns presence by member id, each sorted by start
 */
export function presenceOfMembers(question: AttendanceQuestion): Map<string, PresenceRow[]> {
  const { zone, from, until } = question
  const today = localDate(zone, from)
  const all = [...openings(zone, question.sessions), ...projectRhythm(zone, question.series, question.sessions, today, question.weeks)]
    .filter((o) => o.end > from && o.start < until)
  const lastEntered = question.sessions.reduce((last, s) => (s.date > last ? s.date : last), today)
  const presence = new Map<string, PresenceRow[]>(question.members.map((m) => [m.id, []]))
  for (const opening of all) {
    const expected = question.members.map((m) => [m, expectedAt(question, opening, m)] as const)
    const open = union(...expected.filter(([m]) => m.isKeyholder || m.id === opening.keyholderId).map(([, hours]) => hours))
    const { siteId, id: sessionId, projected } = opening
    for (const [member, hours] of expected) {
      const rows = hours.map((h) => ({ ...h, siteId, sessionId, projected }))
      presence.get(member.id)!.push(...presenceUnderKeyholder(rows, open))
    }
  }
  for (const member of question.members) {
    const rows = presence.get(member.id)!
    rows.push(...ownPresence(question, member, union(rows), lastEntered))
    rows.sort(byStart)
  }
  return presence
}

function expectedAt(question: AttendanceQuestion, opening: Opening, member: Attendee): Interval[] {
  const answer = opening.id === null ? null : member.answers.get(opening.id) ?? null
  if (answer === null && opening.keyholderId === member.id) return [{ start: opening.start, end: opening.end }]
  const counts = opening.projected || question.countUsual
  const weekday = weekdayOf(opening.date)
  const rows = member.usual.filter((u) => u.siteId === opening.siteId && u.weekday === weekday)
  return expectedPresence(opening, answer, counts ? hoursOn(question.zone, opening.date, rows) : null)
}

function ownPresence(question: AttendanceQuestion, member: Attendee, atSessions: readonly Interval[], lastEntered: string): PresenceRow[] {
  const { zone, from, until } = question
  const first = dayOf(localDate(zone, from))
  const last = Math.min(dayOf(localDate(zone, until)), first + question.weeks * 7)
  const rows: PresenceRow[] = []
  let taken = atSessions
  // Hours that overlap are counted once, in an order that doesn't depend on the caller's.
  for (const own of [...member.ownHours].sort((a, b) => compare(key(a), key(b)))) {
    const hours: Interval[] = []
    for (let day = first + ((own.weekday - weekdayOfDay(first) + 7) % 7); day <= last; day += 7) {
      const date = dateOf(day)
      if (date >= own.fromOn && (own.untilOn === null || date <= own.untilOn)) hours.push(...hoursOn(zone, date, [own]))
    }
    for (const free of subtract(hours, taken)) {
      if (free.end <= from || free.start >= until) continue
      const { date } = instantToLocal(zone, free.start)
      rows.push({ ...free, siteId: own.siteId, sessionId: null, projected: date > lastEntered })
    }
    taken = union(taken, hours)
  }
  return rows
}

const key = (own: OwnHours): string => [own.siteId, own.weekday, own.from, own.to, own.fromOn].join(' ')
const localDate = (zone: OffsetTable, t: Instant): string => instantToLocal(zone, t).date

const byStart = (a: Opening | PresenceRow, b: Opening | PresenceRow): number =>
  a.start - b.start || a.end - b.end || compare(a.siteId, b.siteId)
const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)
