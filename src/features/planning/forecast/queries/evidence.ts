import type { AttendanceEvidence, Craft, PaceEvidence } from '../../../../core/forecast/types.ts'
import { addDays, type OffsetTable } from '../../../../core/calendar/index.ts'
import { ruleOver } from '../../../../core/cure/index.ts'
import type { Problem } from '../../../../core/schedule/problem.ts'
import { instant } from '../../../../core/units/index.ts'
import type { Reader } from '../../../../platform/database.ts'
import { craftOf, craftSelect, loggedByTask } from '../../../builds/public.ts'
import { loadZone } from '../../../sessions/public.ts'
import { DAY, isoDate, localAt, toDate, toInstant } from '../../times.ts'
import { mondayOf } from '../../weeks.ts'
import { attendanceEvidence, paceEvidence, temperatureSd, type Estimated, type PastWeek, type Worked } from '../evidence.ts'

/** A task of any build, as far as a forecast asks about it. */
export type TaskFacts = Estimated & { readonly id: string; readonly name: string; readonly phase: string; readonly worked: Worked; /** It mends a snag. */ readonly mends: boolean }

export type Evidence = {
  readonly tasks: ReadonlyMap<string, TaskFacts>
  readonly pace: readonly PaceEvidence[]
  readonly finished: readonly { readonly craft: Craft; readonly reworked: boolean }[]
  /** Past weeks of each build that is under construction, oldest first. */
  readonly attendance: ReadonlyMap<string, readonly AttendanceEvidence[]>
  readonly temperatureSd: number
}

/** Somebody is ticked when somebody gets around to it: within this long of the beginning counts as from the beginning. */
const TICK_GRACE = 60
const READINGS_BACK = 400 * DAY
/** Fewer readings than this in a month say nothing of its level. */
const LEAST_READINGS = 3

/** All that the club's record says of pace, attendance, repairs and temperature, up to `now`. `problem`: for the work left as the planner has it. */
export async function loadEvidence(db: Reader, problem: Pick<Problem, 'now' | 'tasks'>): Promise<Evidence> {
  const now = problem.now
  const tasks = await taskFacts(db, problem.tasks)
  const pace = [...tasks.values()].flatMap((t) => paceEvidence(t, t.worked) ?? [])
  const snags = await db.snag.findMany({ where: { taskId: { not: null }, reworkTaskId: { not: null } }, select: { taskId: true } })
  const reworked = new Set(snags.map((s) => s.taskId))
  const finished = [...tasks.values()].filter((t) => t.isFinished && !t.mends && t.kind !== 'unattended').map((t) => ({ craft: t.craft, reworked: reworked.has(t.id) }))
  return {
    tasks, finished,
    pace: [...pace, ...(await washEvidence(db))],
    attendance: await attendanceOfBuilds(db, now),
    temperatureSd: temperatureSd(await monthsOff(db, now)),
  }
}

async function taskFacts(db: Reader, specs: Problem['tasks']): Promise<Map<string, TaskFacts>> {
  const rows = await db.task.findMany({
    select: {
      id: true, buildId: true, ...craftSelect, workLowMin: true, workLikelyMin: true, workHighMin: true, finishedAt: true, statedLeftMin: true,
      phase: { select: { name: true } }, steps: { select: { weight: true, tickedAt: true } }, reworkOf: { select: { id: true } },
    },
    orderBy: { id: 'asc' },
  })
  const logged = await loggedByTask(db, [...new Set(rows.map((r) => r.buildId))])
  const leftOf = new Map(specs.map((t) => [t.id, t.finished !== null ? 0 : t.work.kind === 'shared' ? t.work.work : t.work.minutes]))
  return new Map(rows.map((r) => [r.id, {
    id: r.id, name: r.name, phase: r.phase.name, buildId: r.buildId, craft: craftOf(r), kind: r.kind, hands: Math.max(1, r.handsFrom),
    low: r.workLowMin, likely: r.workLikelyMin, high: r.workHighMin,
    isFinished: r.finishedAt !== null, isStated: r.statedLeftMin !== null, left: leftOf.get(r.id) ?? 0, mends: r.reworkOf !== null,
    steps: { of: sum(r.steps.map((s) => s.weight)), ticked: sum(r.steps.filter((s) => s.tickedAt !== null).map((s) => s.weight)) },
    worked: logged.get(r.id) ?? { personMin: 0, elapsedMin: 0 },
  }]))
}

const sum = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0)

/** Washes that were done: estimated as the link says, with no three points of their own. */
async function washEvidence(db: Reader): Promise<PaceEvidence[]> {
  const links = await db.link.findMany({
    where: { washDoneAt: { not: null }, washMin: { gt: 0 }, washLoggedMin: { gt: 0 } }, select: { buildId: true, washMin: true, washLoggedMin: true }, orderBy: { id: 'asc' },
  })
  return links.map((l) => ({ buildId: l.buildId, craft: 'sanding', estimated: l.washMin!, worked: l.washLoggedMin, sd: 0 }))
}

/** Past weeks, each with what it began with and what came of it. */
async function attendanceOfBuilds(db: Reader, now: number): Promise<Map<string, AttendanceEvidence[]>> {
  const weeks = await db.buildWeek.findMany({
    where: { build: { state: { not: 'launched' } } }, select: { buildId: true, monday: true, availableMin: true, plannedMin: true }, orderBy: [{ buildId: 'asc' }, { monday: 'asc' }],
  })
  const first = weeks.map((w) => isoDate(w.monday)).sort()[0]
  if (first === undefined) return new Map()
  const start = toInstant(new Date(`${first}T00:00:00Z`)) - 2 * DAY
  const zone = await loadZone(db, instant(start), instant(now + 8 * DAY))
  const thisMonday = mondayOf(zone, now)
  const [ticks, logs, pauses, teams] = [
    await ticksSince(db, zone, start), await logsSince(db, start), await pausesSince(db, start),
    await db.buildMember.findMany({ select: { buildId: true, memberId: true }, orderBy: [{ buildId: 'asc' }, { memberId: 'asc' }] }),
  ]
  const out = new Map<string, AttendanceEvidence[]>()
  for (const buildId of new Set(weeks.map((w) => w.buildId))) {
    const team = new Set(teams.filter((t) => t.buildId === buildId).map((t) => t.memberId))
    const past = weeks.filter((w) => w.buildId === buildId && isoDate(w.monday) < thisMonday).map((w): PastWeek => {
      const monday = isoDate(w.monday)
      const [from, until] = [localAt(zone, monday, '00:00'), localAt(zone, addDays(monday, 7), '00:00')]
      const inWeek = (t: { start: number }) => t.start >= from && t.start < until
      const held = ticks.filter(inWeek)
      const hers = logs.filter((l) => inWeek(l) && l.buildId === buildId)
      // Hours in a session that somebody forgot to name are in the tick already.
      const isTicked = (l: (typeof logs)[number]) => held.some((t) => t.memberId === l.memberId && l.start >= t.start && l.start < t.end)
      const atHome = logs.filter((l) => inWeek(l) && l.sessionId === null && team.has(l.memberId) && !isTicked(l))
      return {
        available: w.availableMin, planned: w.plannedMin, sessions: new Set(held.map((t) => t.sessionId)).size, isTicked: held.some((t) => t.memberId !== null),
        came: sum(held.filter((t) => t.memberId !== null && team.has(t.memberId)).map((t) => t.minutes)) + sum(atHome.map((l) => l.elapsed)),
        logged: sum(hers.map((l) => l.elapsed)), isBroken: pauses.some((p) => p.buildId === buildId && p.at >= from && p.at < until),
      }
    })
    out.set(buildId, attendanceEvidence(past))
  }
  return out
}

type Tick = { readonly sessionId: string; readonly start: number; readonly end: number; /** Null: the session took place, and this row says only that. */ readonly memberId: string | null; readonly minutes: number }

/** Who was ticked in sessions that took place, from when to when; a row without a member for each session. */
async function ticksSince(db: Reader, zone: OffsetTable, since: number): Promise<Tick[]> {
  const sessions = await db.session.findMany({
    where: { state: { not: 'cancelled' }, date: { gte: toDate(since) } },
    select: { id: true, date: true, starts: true, ends: true, attendance: { where: { cameAt: { not: null } }, select: { memberId: true, cameAt: true, leftAt: true }, orderBy: { memberId: 'asc' } } },
    orderBy: [{ date: 'asc' }, { starts: 'asc' }, { id: 'asc' }],
  })
  return sessions.flatMap((s) => {
    const [start, end] = [localAt(zone, isoDate(s.date), s.starts), localAt(zone, isoDate(s.date), s.ends)]
    const stretches = s.attendance.map((a): Tick => {
      const came = toInstant(a.cameAt!)
      const from = came <= start + TICK_GRACE ? start : came
      const to = Math.min(end, a.leftAt === null ? end : toInstant(a.leftAt))
      return { sessionId: s.id, start, end, memberId: a.memberId, minutes: Math.max(0, to - from) }
    })
    return [{ sessionId: s.id, start, end, memberId: null, minutes: 0 }, ...stretches]
  })
}

/** Every stretch logged by each of its people, less what was taken back. */
async function logsSince(db: Reader, since: number): Promise<{ buildId: string; sessionId: string | null; memberId: string; start: number; elapsed: number }[]> {
  const rows = await db.$queryRaw<{ buildId: string; sessionId: string | null; memberId: string; at: Date; elapsed: number }[]>`
    select w.build_id as "buildId", w.session_id as "sessionId", p.member_id as "memberId", w.started_at as at, w.elapsed_min as elapsed
    from work_log w join work_log_person p on p.work_log_id = w.id
    where w.started_at >= ${toDate(since)} and w.reverses_id is null and not exists (select 1 from work_log r where r.reverses_id = w.id)`
  return rows.map(({ at, ...r }) => ({ ...r, start: toInstant(at) }))
}

async function pausesSince(db: Reader, since: number): Promise<{ buildId: string | null; at: number }[]> {
  const rows = await db.auditRow.findMany({ where: { entity: 'build', what: { in: ['paused', 'resumed'] }, at: { gte: toDate(since) } }, select: { buildId: true, at: true } })
  return rows.map((r) => ({ buildId: r.buildId, at: toInstant(r.at) }))
}

/** By how much each month's readings of each unheated place lay above its climate, on average, °C. */
async function monthsOff(db: Reader, now: number): Promise<number[]> {
  const from = now - READINGS_BACK
  const places = await db.place.findMany({
    where: { heatTo: null }, orderBy: { id: 'asc' },
    select: { monthlyAir: true, monthlyDew: true, halfSwing: true, readings: { where: { at: { gte: toDate(from), lte: toDate(now) } }, select: { at: true, air: true }, orderBy: [{ at: 'asc' }, { id: 'asc' }] } },
  })
  const zone = await loadZone(db, instant(from - 2 * DAY), instant(now + 2 * DAY))
  return places.flatMap(({ readings, ...rule }) => {
    const model = ruleOver({ ...rule, heating: null }, zone)
    const months = new Map<string, number[]>()
    for (const r of readings) {
      const month = r.at.toISOString().slice(0, 7)
      months.set(month, [...(months.get(month) ?? []), r.air - model(toInstant(r.at)).air])
    }
    return [...months.values()].filter((off) => off.length >= LEAST_READINGS).map((off) => sum(off) / off.length)
  })
}

/** Hands-on minutes worked on a build in [from, until), on tasks and washes, set-up and clear-up not counted. */
export async function workedBetween(db: Reader, buildId: string, from: number, until: number): Promise<number> {
  const [row] = await db.$queryRaw<{ minutes: number | null }[]>`
    select sum(w.worked_min * p.n)::int as minutes
    from work_log w cross join lateral (select count(*) as n from work_log_person q where q.work_log_id = w.id) p
    where w.build_id = ${buildId}::uuid and w.started_at >= ${toDate(from)} and w.started_at < ${toDate(until)}
      and w.reverses_id is null and not exists (select 1 from work_log r where r.reverses_id = w.id)`
  return row?.minutes ?? 0
}
