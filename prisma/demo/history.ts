/**
 * The past of the example club, told by the service itself: each week it plans with what was known then, and what the plan meant is
 * booked as done, with the slips that a club has. Nothing of it is random: the same start gives the same story.
 */
import type { FastifyBaseLogger } from 'fastify'
import { addDays, localToInstant, weekdayOf, type OffsetTable } from '../../src/core/calendar/index.ts'
import type { Db, Tx } from '../../src/platform/database.ts'
import { transact } from '../../src/platform/database.ts'
import type { Ctx } from '../../src/platform/write.ts'
import { finishTask, logCoat, logWork, sayWash, stateLeft, tickStep } from '../../src/features/builds/public.ts'
import { closeSession } from '../../src/features/sessions/public.ts'
import { forecastHere, forecastNow, planOnce, solveHere } from '../../src/features/planning/public.ts'
import { must } from './must.ts'
import { PAST_WEEKS } from './scenario.ts'
import { agree, isNotDone, knowOfRouter, snagsIn, tellSnag } from './telling.ts'

export interface Past {
  readonly db: Db
  readonly zone: OffsetTable
  readonly zoneName: string
  readonly today: string
  readonly now: Date
  /** Who books what others did. */
  readonly scribe: { readonly id: string; readonly name: string }
  readonly log: FastifyBaseLogger
  /** Starts the builds of that week. */
  startBuilds(tx: Tx, ctx: Ctx, week: number): Promise<void>
  /** Member by key of the scenario. */
  memberOf(key: string): { id: string; name: string }
}

type Piece = { planId: bigint; pieceId: string; buildId: string; taskId: string; washLinkId: string | null; startsAt: Date; endsAt: Date; people: string[]; placeId: string | null }

const MINUTE = 60_000
/** The steps end the search, not the clock: the same start gives the same story on any machine. */
const UNHURRIED = 10 * MINUTE
export const STEPS = 60
/** Weeks in which half of what was meant came to nothing: a half-term, a frost. */
const THIN_WEEKS = new Set([-13, -6])
/** Launches are forecast from this week on, at the end of each week: the eight that are reviewed, and one before to compare with. */
const FORECAST_FROM = -10
/** Every so often a task turns out to be longer than thought. */
const LONGER_EVERY = 9

export async function tellPast(past: Past): Promise<void> {
  const { db, zone, today, now } = past
  const monday = addDays(today, 1 - weekdayOf(today))
  const at = (date: string, time: string): Date => new Date(localToInstant(zone, { date, time }) * MINUTE)
  const as = (key: string, moment: Date): Ctx => ({ ...context(past, moment), member: { ...past.memberOf(key), roles: ['officer', 'keyholder'] } })
  let count = 0
  for (let week = -PAST_WEEKS; week <= 0; week++) {
    const start = at(addDays(monday, 7 * week), '06:00')
    const end = week === 0 ? now : at(addDays(monday, 7 * week + 7), '05:00')
    if (start >= end) break
    await transact(db, async (tx) => {
      await past.startBuilds(tx, context(past, start), week)
      await knowOfRouter(tx, context(past, start), week, monday)
    }, { timeoutMs: 60_000 })
    await plan(past, start)
    await transact(db, (tx) => agree(tx, as, week, start), { timeoutMs: 30_000 })
    const pieces: Piece[] = []
    // What is found in the middle of a week is planned at once, and the rest of the week goes by that.
    let from = start
    for (const snag of [...snagsIn(week), null]) {
      const day = snag && addDays(monday, 7 * week + snag.at[1] - 1)
      const until = snag ? at(day!, snag.at[2]) : end
      for (const piece of await meant(db, from, until)) {
        count++
        pieces.push(piece)
        if ((THIN_WEEKS.has(week) && count % 2 === 0) || (await isNotDone(db, week, piece))) continue
        await transact(db, (tx) => book(tx, past, piece, count), { timeoutMs: 30_000 })
      }
      if (!snag) break
      await transact(db, (tx) => tellSnag(tx, as(snag.by, until), snag, day!), { timeoutMs: 30_000 })
      if (snag.rework) await plan(past, until)
      from = until
    }
    await closeOut(past, start, end, THIN_WEEKS.has(week) ? [] : pieces)
    const sunday = at(addDays(monday, 7 * week + 6), '20:00')
    await plan(past, sunday)
    if (week >= FORECAST_FROM) await forecastNow({ db, clock: { now: () => sunday }, log: past.log, forecaster: forecastHere, runs: { own: 400, catchUp: week === -1 ? 100 : 0, tried: 0 } })
  }
  // What the past asked for is answered by the plans it made; the service makes the one for today.
  await db.planRequest.deleteMany({ where: { planId: null } })
}

async function plan({ db, log }: Past, now: Date): Promise<void> {
  const clock = { now: () => now }
  await planOnce({ db, clock, log, solver: solveHere, timeMs: UNHURRIED })
}

const context = (past: Past, now: Date): Ctx => ({
  now, clubZone: past.zoneName, log: past.log, may: () => true,
  member: { id: past.scribe.id, name: past.scribe.name, roles: ['officer', 'keyholder'] },
})

/** The pieces of the newest plan that ended in this stretch, in order. */
async function meant(db: Db, start: Date, end: Date): Promise<Piece[]> {
  const plan = await db.plan.findFirst({ orderBy: { id: 'desc' }, select: { id: true } })
  if (!plan) return []
  return db.planPiece.findMany({
    where: { planId: plan.id, startsAt: { gte: start }, endsAt: { lte: end } },
    orderBy: [{ startsAt: 'asc' }, { pieceId: 'asc' }],
    select: { planId: true, pieceId: true, buildId: true, taskId: true, washLinkId: true, startsAt: true, endsAt: true, people: true, placeId: true },
  })
}

/** Books one piece as done, unless what it waits for was not done. */
async function book(tx: Tx, past: Past, piece: Piece, count: number): Promise<void> {
  const ctx = context(past, piece.endsAt)
  const task = await tx.task.findUniqueOrThrow({
    where: { id: piece.taskId },
    select: { id: true, listKey: true, kind: true, productId: true, setUpMin: true, clearUpMin: true, workLikelyMin: true, finishedAt: true, steps: { orderBy: { position: 'asc' }, select: { id: true } }, linksTo: { select: { id: true, kind: true, washDoneAt: true, from: { select: { finishedAt: true } } } } },
  })
  if (task.finishedAt !== null) return
  if (task.linksTo.some((l) => l.from.finishedAt === null)) return
  // A coat whose wash was meant and not done waits with it.
  const washes = await tx.planPiece.findMany({ where: { planId: piece.planId, washLinkId: { in: task.linksTo.filter((l) => l.washDoneAt === null).map((l) => l.id) } }, select: { startsAt: true } })
  if (piece.washLinkId === null && washes.some((w) => w.startsAt < piece.startsAt)) return
  const session = await tx.session.findFirst({ where: { date: new Date(`${localDate(past, piece.startsAt)}T00:00:00Z`), site: { places: { some: { id: piece.placeId ?? '' } } }, state: { not: 'cancelled' } }, select: { id: true } })
  const elapsedMin = Math.max(1, Math.round((piece.endsAt.getTime() - piece.startsAt.getTime()) / MINUTE))
  const base = { buildId: piece.buildId, taskId: piece.taskId }
  const sessionId = session?.id ?? null
  if (piece.people.length > 0) must(await logWork(tx, ctx, { ...base, startedAt: piece.startsAt, elapsedMin, people: piece.people, sessionId, linkId: piece.washLinkId }), 'its past')
  if (piece.washLinkId) {
    must(await sayWash(tx, ctx, { buildId: piece.buildId, linkId: piece.washLinkId, step: 'done' }), 'its past')
    return
  }
  if (task.productId) {
    const startedAt = new Date(piece.startsAt.getTime() + task.setUpMin * MINUTE)
    const endedAt = new Date(piece.endsAt.getTime() - task.clearUpMin * MINUTE)
    must(await logCoat(tx, ctx, { ...base, startedAt, endedAt, placeId: piece.placeId }), 'its past')
    await tick(tx, ctx, base, task.steps)
    return
  }
  const worked = await workedOn(tx, piece.taskId, task.kind === 'shared')
  // A mend takes what it takes.
  const longer = count % LONGER_EVERY === 0 && task.listKey !== null
  if (worked >= task.workLikelyMin && !longer) {
    await tick(tx, ctx, base, task.steps)
    must(await finishTask(tx, ctx, { ...base, at: piece.endsAt }), 'its past')
  } else {
    await tick(tx, ctx, base, task.steps.slice(0, Math.floor((task.steps.length * worked) / Math.max(worked, task.workLikelyMin))))
    if (longer) must(await stateLeft(tx, ctx, { ...base, leftMin: Math.max(30, Math.round(task.workLikelyMin * 0.3)) }), 'its past')
  }
}

async function tick(tx: Tx, ctx: Ctx, base: { buildId: string; taskId: string }, steps: readonly { id: string }[]): Promise<void> {
  for (const { id } of steps) must(await tickStep(tx, ctx, { ...base, stepId: id, ticked: true }), 'its past')
}

async function workedOn(tx: Tx, taskId: string, isShared: boolean): Promise<number> {
  const logs = await tx.workLog.findMany({ where: { taskId, linkId: null }, select: { workedMin: true, people: { select: { memberId: true } } } })
  return logs.reduce((sum, l) => sum + l.workedMin * (isShared ? l.people.length : 1), 0)
}

/** Who was here, and the last page of each session of that week: who worked, and who came for work that turned out to wait for something. */
async function closeOut(past: Past, start: Date, end: Date, pieces: readonly Piece[]): Promise<void> {
  const { db } = past
  const sessions = await db.session.findMany({
    where: { date: { gte: new Date(`${localDate(past, start)}T00:00:00Z`), lte: new Date(`${localDate(past, end)}T00:00:00Z`) }, state: 'planned' },
    orderBy: [{ date: 'asc' }, { starts: 'asc' }],
    select: { id: true, date: true, starts: true, ends: true, keyholderId: true, workLogs: { select: { people: { select: { memberId: true } } } } },
  })
  for (const s of sessions) {
    const local = (time: string): Date => new Date(localToInstant(past.zone, { date: s.date.toISOString().slice(0, 10), time }) * MINUTE)
    const ended = local(s.ends)
    if (ended >= end) continue
    const waited = pieces.filter((p) => p.startsAt >= local(s.starts) && p.endsAt <= ended).flatMap((p) => p.people)
    const came = new Set([...waited, ...s.workLogs.flatMap((l) => l.people.map((p) => p.memberId)), ...(s.keyholderId ? [s.keyholderId] : [])])
    await transact(db, async (tx) => {
      for (const memberId of came) {
        const here = { cameAt: local(s.starts), leftAt: ended }
        await tx.attendance.upsert({ where: { sessionId_memberId: { sessionId: s.id, memberId } }, create: { sessionId: s.id, memberId, answer: 'coming', ...here }, update: here })
      }
      must(await closeSession(tx, context(past, ended), { sessionId: s.id, shedLocked: true, wasteSafe: true, note: '' }), 'its past')
    })
  }
}

function localDate(past: Past, at: Date): string {
  return new Intl.DateTimeFormat('en-CA', { timeZone: past.zoneName, year: 'numeric', month: '2-digit', day: '2-digit' }).format(at)
}
