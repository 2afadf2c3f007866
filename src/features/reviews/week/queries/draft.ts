/** One week of a build as the books have it: what was meant, what was done, what slipped and why, what comes next. */
import type { PageClub } from '../../../../../views/shared/page-context.ts'
import type { Reader } from '../../../../platform/database.ts'
import { found } from '../../../../platform/errors.ts'
import { isoDate, localDate, toInstant } from '../../../../platform/times.ts'
import { craftOf, needRanges } from '../../../builds/public.ts'
import { forecastOf, meantWeek, nextPieces, type NextPiece as Piece } from '../../../planning/public.ts'
import type { NextPiece, ReviewFacts } from '../../model.ts'
import { craftHours, doneLines, meantLines, type Asked as MeantAsked } from '../facts/meant.ts'
import { forecastBrief } from '../facts/outlook.ts'
import { useLines } from '../facts/used.ts'
import { mondayOf, weekOf, type Week } from '../facts/weeks.ts'
import { movedWords, rangeWords, reviewWords } from '../../../../../views/reviews/review-words.ts'
import { headlineOf } from '../facts/words.ts'
import { logRows, photoRows, snagRows } from './log-rows.ts'
import { chargedRows, coatRows, entryRows, lastDay, linkRows, pauseRows, sessionRows, stepRows, taskRows, weighRow, workRows, type Asked, type Pause } from './rows.ts'
import { slipsOf } from './slips.ts'
import { standingOf } from './standing.ts'
import { together } from './together.ts'

/** Sunday's session is often closed out on Monday, and what is planned then is what comes next: so much later a plan may be. */
const GRACE_MS = 3 * 86_400_000

/** What stands in a review of this week at `now`. Of what happened after the week, or is not in the books at `now`, nothing is in it. */
export async function draftReview(db: Reader, buildId: string, monday: string, now: Date): Promise<ReviewFacts> {
  const [club, build] = await together(db, [
    () => db.club.findUniqueOrThrow({ where: { id: 1 }, select: { name: true, zone: true, locale: true, units: true, currency: true } }),
    () => db.build.findUnique({ where: { id: buildId }, select: { name: true, design: true, state: true, startedOn: true, pausedOn: true, pauseNote: true, massTargetG: true } }),
  ])
  const { startedOn, ...head } = found(build)
  const week = weekOf(club.zone, isoDate(startedOn), monday)
  const firstWeek = weekOf(club.zone, isoDate(startedOn), mondayOf(isoDate(startedOn)))
  const asOf = now < week.until ? now : week.until
  const asked: Asked = { buildId, week, asOf, now, zone: club.zone }
  const w = reviewWords({ ...club, units: club.units === 'imperial' ? 'imperial' : 'metric' } satisfies PageClub, week.sunday.slice(0, 4))
  // What is ahead, as it was seen at the week's end.
  const outlookAt = new Date(Math.min(now.getTime(), week.until.getTime() + GRACE_MS))
  const [meant, work, steps, coats, entries, charged, weighed, sessions, pauses, snags, log, photos, forecast, next, standing] = await together(db, [
    () => meantWeek(db, buildId, monday), () => workRows(db, asked), () => stepRows(db, asked), () => coatRows(db, asked), () => entryRows(db, asked), () => chargedRows(db, asked), () => weighRow(db, asked),
    () => sessionRows(db, asked), () => pauseRows(db, buildId), () => snagRows(db, asked), () => logRows(db, asked), () => photoRows(db, asked), () => forecastOf(db, buildId, outlookAt),
    () => nextPieces(db, buildId, week.until, outlookAt), () => standingOf(db, buildId, firstWeek.monday, asOf),
  ])
  const pieces = meant?.pieces ?? []
  const hasMeant = meant !== null && (pieces.length > 0 || meant.plannedMin === 0)
  const ids = [...new Set([...pieces.map((p) => p.taskId), ...work.map((x) => x.taskId), ...steps.map((s) => s.taskId), ...coats.map((c) => c.taskId), ...entries.flatMap((e) => e.taskId ?? [])])]
  const tasks = await taskRows(db, asked, ids)
  const [links, people, needs] = await together(db, [
    () => linkRows(db, asked, [...tasks.keys()]),
    () => peopleOf(db, next.flatMap((n) => n.people)),
    () => needRanges(db, [...tasks.keys()]),
  ])
  const nameOf = (id: string): string => people.get(id) ?? 'somebody who left'
  const facts: MeantAsked = {
    meant: pieces, work, steps, from: week.from, asOf,
    tasks: new Map([...tasks.values()].map((t) => [t.id, { id: t.id, name: t.name, craft: craftOf(t), finishedAt: t.finishedAt }])),
    coats: new Set(coats.map((c) => c.taskId)),
    washed: new Set(links.filter((l) => l.washDoneAt !== null && l.washDoneAt < asOf).map((l) => l.id)),
  }
  const [lines, done] = [meantLines(facts), doneLines(facts)]
  const pause = pauseIn(pauses, head, week, asOf, club.zone)
  const slips = await slipsOf(db, asked, w, { lines, pieces, done, tasks, links, needs, sessions, work, pause })
  const brief = forecast && forecastBrief(forecast, w)
  const isFinished = (id: string): boolean => {
    const at = tasks.get(id)?.finishedAt ?? null
    return at !== null && at < asOf
  }
  const missedBy = (taskId: string): boolean => links.some((l) => l.kind === 'window' && l.toId === taskId && l.missedAt !== null && l.missedAt < asOf)
  const hasWindow = (taskId: string): boolean => links.some((l) => l.kind === 'window' && l.toId === taskId)
  const isQuiet = done.length === 0 && entries.every((e) => !e.inWeek) && snags.lines.length === 0 && log.length === 0
  return {
    build: { name: head.name, design: head.design }, asOf: toInstant(asOf), isOver: asOf >= week.until,
    pause, isQuiet, hasMeant,
    headline: headlineOf({ isQuiet, pause, hasMeant, meant: lines, done, slips: slips.length, range: brief && rangeWords(brief, w), moved: movedWords(brief?.movedMin ?? null) }, w),
    meant: lines, done, hours: craftHours(lines, done), availableMin: meant?.availableMin ?? null, slips,
    coats: coats.map((c) => ({
      taskId: c.taskId, name: c.name, product: c.product, place: c.place, start: toInstant(c.startedAt), end: toInstant(c.endedAt),
      window: missedBy(c.taskId) ? 'missed' : hasWindow(c.taskId) ? 'met' : null,
    })),
    used: useLines(entries, (taskId, itemId) => needs.get(taskId)?.get(itemId) ?? null, isFinished),
    money: { week: charged.week, toDate: charged.toDate, budget: standing.budget, earned: standing.earnedCents },
    mass: {
      weighedG: weighed?.massG ?? null, weighedOn: weighed?.day ?? null, inWeek: weighed !== null && weighed.day >= monday && weighed.day <= lastDay(club.zone, week, asOf),
      likelyG: standing.massG, targetG: head.massTargetG,
    },
    earned: standing.totalMin > 0 ? { share: standing.share, earnedMin: standing.earnedMin, totalMin: standing.totalMin, weeksBehind: standing.weeksBehind } : null,
    snags: snags.lines, snagsOpen: snags.open, rework: snags.rework, forecast: brief, next: next.map((p) => nextLine(p, nameOf)), photos, log, signer: null,
  }
}

async function peopleOf(db: Reader, ids: readonly string[]): Promise<Map<string, string>> {
  const rows = await db.member.findMany({ where: { id: { in: [...new Set(ids)] } }, select: { id: true, name: true } })
  return new Map(rows.map((r) => [r.id, r.name]))
}

const nextLine = (p: Piece, nameOf: (id: string) => string): NextPiece => ({
  name: p.name, start: p.start, end: p.end, projected: p.projected, people: p.people.map(nameOf), weather: p.limits,
  stock: p.needs.map(({ item, unit, milli, cover }) => ({ item, unit, milli, cover })),
})

/** Her pause, as far as it lies in the week; one that nobody wrote down begins with the day in her row. */
function pauseIn(pauses: readonly Pause[], head: { state: string; pausedOn: Date | null; pauseNote: string }, week: Week, asOf: Date, zone: string): ReviewFacts['pause'] {
  const inWeek = pauses.findLast((p) => p.from < asOf && (p.until === null || p.until > week.from))
  if (inWeek) return { from: localDate(zone, inWeek.from), note: inWeek.note }
  const isUnwritten = head.state === 'paused' && head.pausedOn !== null && !pauses.some((p) => p.until === null)
  return isUnwritten && isoDate(head.pausedOn!) <= lastDay(zone, week, asOf) ? { from: isoDate(head.pausedOn!), note: head.pauseNote } : null
}
