import type { Reader } from '../../../../platform/database.ts'
import { dateColumn, isoDate, toInstant } from '../../../../platform/times.ts'
import { addDays } from '../../../../core/calendar/index.ts'
import type { Review, ReviewFacts, ReviewStateWord } from '../../model.ts'
import { readEdits, shownBy } from '../facts/edits.ts'
import { isMonday, mondayOf, thisMonday, weekOf, type Week } from '../facts/weeks.ts'
import { draftReview } from './draft.ts'
import { pauseRows, type Pause } from './rows.ts'
import { together } from './together.ts'

/** The review of the week that begins on `monday`: signed as it was signed, else drafted from the books as of `now`; null: not a week of hers yet. */
export async function reviewOf(db: Reader, buildId: string, monday: string, now: Date): Promise<Review | null> {
  const week = await weekOfBuild(db, buildId, monday)
  if (week === null || now < week.from) return null
  const row = await db.weekReview.findUnique({ where: { buildId_monday: { buildId, monday: dateColumn(monday) } } })
  const edits = readEdits(row?.edits)
  // Written by signReview from this very type.
  const facts = row?.state === 'signed' ? await withPhotos(db, row.facts as unknown as ReviewFacts) : await draftReview(db, buildId, monday, now)
  const drafter = row && (await db.member.findUnique({ where: { id: row.draftedBy }, select: { name: true } }))
  return {
    buildId, no: row?.no ?? week.no, monday, isoWeek: week.isoWeek, state: row?.state ?? 'none', facts, edits, shown: shownBy(facts, edits),
    draftedBy: drafter?.name ?? null, signedBy: facts.signer, signedAt: row?.signedAt ? toInstant(row.signedAt) : null, version: row?.version ?? 0,
  }
}

/** Null: no such build, not a Monday, or before her first week. */
export async function weekOfBuild(db: Reader, buildId: string, monday: string): Promise<Week | null> {
  if (!isMonday(monday)) return null
  const [club, build] = await together(db, [
    () => db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } }),
    () => db.build.findUnique({ where: { id: buildId }, select: { startedOn: true } }),
  ])
  if (build === null) return null
  const week = weekOf(club.zone, isoDate(build.startedOn), monday)
  return week.no < 1 ? null : week
}

/** Photos that were taken out since, or are for guests no more, are told so. */
async function withPhotos(db: Reader, facts: ReviewFacts): Promise<ReviewFacts> {
  if (facts.photos.length === 0) return facts
  const there = new Map((await db.photo.findMany({ where: { id: { in: facts.photos.map((p) => p.id) } }, select: { id: true, forGuests: true } })).map((p) => [p.id, p.forGuests]))
  return { ...facts, photos: facts.photos.map((p) => (there.has(p.id) ? { ...p, forGuests: p.forGuests && there.get(p.id) === true } : { ...p, isGone: true, forGuests: false })) }
}

/** Oldest first. */
export async function signedReviews(db: Reader, buildId: string): Promise<{ monday: string; no: number; signedAt: number }[]> {
  const rows = await db.weekReview.findMany({ where: { buildId, state: 'signed' }, select: { monday: true, no: true, signedAt: true }, orderBy: { monday: 'asc' } })
  return rows.map((r) => ({ monday: isoDate(r.monday), no: r.no, signedAt: toInstant(r.signedAt!) }))
}

export type WeekLine = {
  monday: string
  sunday: string
  no: number
  isoWeek: string
  state: ReviewStateWord
  workedMin: number
  entries: number
  signedBy: string | null
  signedAt: number | null
  pause: { from: string; note: string } | null
  isNow: boolean
}
export type ReviewList = { build: { id: string; name: string; state: 'active' | 'paused' | 'launched' }; weeks: WeekLine[] }

/** All weeks since she was started, newest first; of a launched boat those until the last in which something was logged or reviewed. */
export async function reviewList(db: Reader, buildId: string, now: Date): Promise<ReviewList> {
  const [club, build, reviews, worked, written, pauses] = await together(db, [
    () => db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } }),
    () => db.build.findUniqueOrThrow({ where: { id: buildId }, select: { id: true, name: true, state: true, startedOn: true, pausedOn: true, pauseNote: true } }),
    () => db.weekReview.findMany({ where: { buildId }, select: { monday: true, state: true, signedAt: true, facts: true } }),
    () => workedByWeek(db, buildId), () => writtenByWeek(db, buildId), () => pauseRows(db, buildId),
  ])
  const byMonday = new Map(reviews.map((r) => [isoDate(r.monday), r]))
  const first = mondayOf(isoDate(build.startedOn))
  const today = thisMonday(club.zone, now)
  const last = build.state === 'launched' ? [first, ...worked.keys(), ...byMonday.keys()].reduce((a, b) => (a > b ? a : b)) : today
  const all: readonly Pause[] = build.state === 'paused' && build.pausedOn && !pauses.some((p) => p.until === null) ? [...pauses, { from: build.pausedOn, until: null, note: build.pauseNote }] : pauses
  const weeks: WeekLine[] = []
  for (let monday = first; monday <= last; monday = addDays(monday, 7)) {
    const week = weekOf(club.zone, isoDate(build.startedOn), monday)
    const row = byMonday.get(monday)
    const pause = all.findLast((p) => p.from < week.until && (p.until === null || p.until > week.from))
    weeks.push({
      monday, sunday: week.sunday, no: week.no, isoWeek: week.isoWeek, state: row?.state ?? 'none', workedMin: worked.get(monday) ?? 0, entries: written.get(monday) ?? 0,
      signedBy: (row?.facts as ReviewFacts | null | undefined)?.signer ?? null, signedAt: row?.signedAt ? toInstant(row.signedAt) : null,
      pause: pause ? { from: isoDate(pause.from), note: pause.note } : null, isNow: monday === today,
    })
  }
  const { startedOn: _s, pausedOn: _p, pauseNote: _n, ...head } = build
  return { build: head, weeks: weeks.reverse() }
}

/** Minutes of all hands by local Monday. */
async function workedByWeek(db: Reader, buildId: string): Promise<Map<string, number>> {
  const rows = await db.$queryRaw<{ monday: string; minutes: number }[]>`
    select to_char(date_trunc('week', w.started_at at time zone c.zone), 'YYYY-MM-DD') as monday, sum(w.elapsed_min * (select count(*) from work_log_person p where p.work_log_id = w.id))::int as minutes
    from work_log w cross join club c
    where w.build_id = ${buildId}::uuid and w.reverses_id is null and not exists (select 1 from work_log r where r.reverses_id = w.id)
    group by 1`
  return new Map(rows.map((r) => [r.monday, r.minutes]))
}

/** Entries of the log by local Monday. */
async function writtenByWeek(db: Reader, buildId: string): Promise<Map<string, number>> {
  const rows = await db.$queryRaw<{ monday: string; n: number }[]>`
    select to_char(date_trunc('week', e.at at time zone c.zone), 'YYYY-MM-DD') as monday, count(*)::int as n
    from log_entry e cross join club c where e.build_id = ${buildId}::uuid and e.withdrawn_at is null group by 1`
  return new Map(rows.map((r) => [r.monday, r.n]))
}
