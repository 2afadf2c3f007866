import { addDays, daysBetween, weekLabel } from '../../../core/calendar/index.ts'
import { instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { loadBuildsForPlanning } from '../../builds/public.ts'
import { loadPresence } from '../../sessions/public.ts'
import { launchSlot } from '../diff.ts'
import type { Slot } from '../model.ts'
import { DAY, isoDate, toInstant } from '../times.ts'
import { availableMinutes, mondayOf, personMinutes, workLeft } from '../weeks.ts'
import { currentPlan } from './plans.ts'
import { washes } from './problem.ts'
import { zoneAround } from './sessions.ts'

/** Minutes of one ISO week; null: not known (before there was a plan). */
export type WeekRow = {
  readonly monday: string
  /** '2026-W22' */
  readonly label: string
  readonly isPast: boolean
  readonly isNow: boolean
  readonly available: number | null
  readonly planned: number | null
  readonly logged: number
  /** Hands-on work left when the week begins (past), at its end (now and to come). */
  readonly left: number | null
  /** Launch as it was projected then, or now. */
  readonly launch: number | null
  readonly isLaunchWeek: boolean
}
export type BuildWeeks = {
  readonly build: { readonly id: string; readonly name: string; readonly state: string; readonly launchTarget: string | null }
  readonly rows: readonly WeekRow[]
  readonly launch: Slot | null
  readonly leftNow: number
  readonly hasPlan: boolean
}

const LONGEST = 104

export async function buildWeeks(db: Reader, buildId: string, now: Date): Promise<BuildWeeks> {
  const build = found(await db.build.findUnique({
    where: { id: buildId }, select: { id: true, name: true, state: true, launchTarget: true, startedOn: true, team: { select: { memberId: true } } },
  }))
  const at = toInstant(now)
  const zone = await zoneAround(db, now)
  const plan = await currentPlan(db, { buildId })
  const launch = plan && launchSlot(plan, buildId)
  const thisMonday = mondayOf(zone, at)
  const last = mondayOf(zone, Math.min(launch?.start ?? plan?.pieces.at(-1)?.start ?? at + 8 * 7 * DAY, at + LONGEST * 7 * DAY))
  const until = instant(at + (daysBetween(thisMonday, last) + 14) * DAY)
  const [presence, weeks, logged, all] = [
    await loadPresence(db, { now: at, from: instant(at - 7 * DAY), until }),
    await db.buildWeek.findMany({ where: { buildId }, orderBy: { monday: 'asc' } }),
    await loggedByWeek(db, buildId),
    await loadBuildsForPlanning(db, { now: at, from: at, until }),
  ]
  const tasks = all.tasks.filter((t) => t.buildId === buildId)
  const ids = new Set(tasks.map((t) => t.id))
  const leftNow = workLeft(tasks, washes(all).filter((x) => ids.has(x.to)).map((x) => x.wash))
  const ahead = (plan?.pieces ?? []).filter((p) => p.end > at)
  const planned = personMinutes(zone, ahead)
  const available = availableMinutes(zone, presence, build.team.map((m) => m.memberId))
  const kept = new Map(weeks.map((w) => [isoDate(w.monday), w]))

  const first = [isoDate(build.startedOn), ...logged.keys(), ...kept.keys(), thisMonday].reduce((a, b) => (a < b ? a : b))
  const rows: WeekRow[] = []
  let left = leftNow
  for (let monday = mondayOfDate(first); monday <= last && rows.length < 2 * LONGEST; monday = addDays(monday, 7)) {
    const then = kept.get(monday)
    const isPast = monday < thisMonday
    const plan = isPast ? (then?.plannedMin ?? null) : Math.max(planned.get(monday) ?? 0, monday === thisMonday ? (then?.plannedMin ?? 0) : 0)
    if (!isPast) left = Math.max(0, left - (planned.get(monday) ?? 0))
    rows.push({
      monday, label: weekLabel(monday), isPast, isNow: monday === thisMonday,
      available: isPast || (monday === thisMonday && then) ? (then?.availableMin ?? null) : (available.get(monday) ?? 0),
      planned: plan, logged: logged.get(monday) ?? 0,
      left: isPast ? (then?.leftMin ?? null) : left,
      launch: isPast ? (then?.launchAt ? toInstant(then.launchAt) : null) : monday === thisMonday ? (launch?.start ?? null) : null,
      isLaunchWeek: launch !== null && mondayOf(zone, launch.start) === monday,
    })
  }
  const { team: _team, startedOn: _started, ...shown } = build
  return { build: { ...shown, launchTarget: build.launchTarget ? isoDate(build.launchTarget) : null }, rows, launch, leftNow, hasPlan: plan !== null }
}

const mondayOfDate = (date: string): string => addDays(date, -((daysBetween('1970-01-05', date) % 7 + 7) % 7))

/** Person-minutes really logged, by local Monday; reversals take back what they reverse. */
async function loggedByWeek(db: Reader, buildId: string): Promise<Map<string, number>> {
  const rows = await db.$queryRaw<{ monday: string; minutes: number }[]>`
    select to_char(date_trunc('week', w.started_at at time zone c.zone), 'YYYY-MM-DD') as monday, sum(w.elapsed_min * p.n)::int as minutes
    from work_log w
    cross join club c
    cross join lateral (select count(*) as n from work_log_person q where q.work_log_id = w.id) p
    where w.build_id = ${buildId}::uuid and w.reverses_id is null and not exists (select 1 from work_log r where r.reverses_id = w.id)
    group by 1`
  return new Map(rows.map((r) => [r.monday, r.minutes]))
}
