/** Rows of the club sheet, each of all builds at once. */
import type { Reader } from '../../../platform/database.ts'
import { dateColumn, isoDate, toDate, toInstant } from '../../../platform/times.ts'
import type { ReviewEdits, ReviewFacts } from '../model.ts'
import type { LaunchBrief, NextWork, SnagStop } from './model.ts'

type Ids = readonly string[]
const grouped = <R extends { buildId: string }>(rows: readonly R[]): Map<string, R[]> => {
  const by = new Map<string, R[]>()
  for (const row of rows) by.set(row.buildId, [...(by.get(row.buildId) ?? []), row])
  return by
}

/** What the week began with. */
export async function weeksOf(db: Reader, ids: Ids, monday: string): Promise<Map<string, { plannedMin: number; launch: number | null }>> {
  const rows = await db.buildWeek.findMany({ where: { buildId: { in: [...ids] }, monday: dateColumn(monday) }, select: { buildId: true, plannedMin: true, launchAt: true } })
  return new Map(rows.map((r) => [r.buildId, { plannedMin: r.plannedMin, launch: r.launchAt && toInstant(r.launchAt) }]))
}

/** Minutes logged in a stretch of time, what was reversed left out. */
export async function workedIn(db: Reader, ids: Ids, from: number, until: number): Promise<Map<string, number>> {
  const rows = await db.$queryRaw<{ buildId: string; minutes: number }[]>`
    select w.build_id::text as "buildId", sum(w.elapsed_min * p.n)::int as minutes
    from work_log w cross join lateral (select count(*) as n from work_log_person q where q.work_log_id = w.id) p
    where w.build_id = any(${[...ids]}::uuid[]) and w.started_at >= ${toDate(from)} and w.started_at < ${toDate(until)}
      and w.reverses_id is null and not exists (select 1 from work_log r where r.reverses_id = w.id)
    group by 1`
  return new Map(rows.map((r) => [r.buildId, r.minutes]))
}

/** Minutes that a plan has in a stretch of time. */
export async function plannedIn(db: Reader, planId: bigint, ids: Ids, from: number, until: number): Promise<Map<string, number>> {
  const rows = await db.$queryRaw<{ buildId: string; minutes: number }[]>`
    select build_id::text as "buildId", sum(extract(epoch from ends_at - starts_at) / 60 * cardinality(people))::int as minutes
    from plan_piece where plan_id = ${planId} and build_id = any(${[...ids]}::uuid[]) and starts_at >= ${toDate(from)} and starts_at < ${toDate(until)}
    group by 1`
  return new Map(rows.map((r) => [r.buildId, r.minutes]))
}

/** The last forecast of each that was made before a moment. */
export async function launchesOf(db: Reader, ids: Ids, until: number): Promise<Map<string, LaunchBrief>> {
  const rows = await db.$queryRaw<{ buildId: string; p50: Date | null; p80: Date | null; targetOn: Date | null; targetChance: number | null; moved: number | null }[]>`
    select b.id::text as "buildId", f.p50_at as p50, f.p80_at as p80, f.target_on as "targetOn", f.target_chance as "targetChance", (f.step->>'minutes')::float as moved
    from unnest(${[...ids]}::uuid[]) as b(id)
    cross join lateral (select * from forecast x where x.build_id = b.id and x.made_at < ${toDate(until)} order by x.made_at desc, x.plan_id desc limit 1) f`
  return new Map(rows.map((r) => [r.buildId, {
    p50: r.p50 && toInstant(r.p50), p80: r.p80 && toInstant(r.p80), targetOn: r.targetOn && isoDate(r.targetOn), targetChance: r.targetChance, movedMin: r.moved,
  }]))
}

const NEXT_SHOWN = 3

/** The next few tasks of each by the plan, each once, from a moment on. */
export async function nextOf(db: Reader, planId: bigint, ids: Ids, from: number): Promise<Map<string, NextWork[]>> {
  const rows = await db.$queryRaw<{ buildId: string; taskId: string; wash: boolean; name: string; start: Date; projected: boolean }[]>`
    select n.build_id::text as "buildId", n.task_id::text as "taskId", n.wash, t.name, n.starts_at as start, n.projected
    from (select p.*, row_number() over (partition by p.build_id order by p.starts_at, p.task_id) as place
      from (select build_id, task_id, wash_link_id is not null as wash, min(starts_at) as starts_at, bool_and(projected) as projected
        from plan_piece where plan_id = ${planId} and build_id = any(${[...ids]}::uuid[]) and ends_at > ${toDate(from)} group by 1, 2, 3) p) n
    join task t on t.id = n.task_id
    where n.place <= ${NEXT_SHOWN} and t.finished_at is null
    order by n.build_id, n.starts_at, n.task_id`
  return new Map(
    [...grouped(rows)].map(([id, mine]) => [id, mine.map((r) => ({ taskId: r.taskId, name: r.name, isWash: r.wash, start: toInstant(r.start), projected: r.projected }))]))
}

export type WeekSaid = { state: 'draft' | 'signed'; headline: string | null }

/** Reviews of a week, by build: a signed one says its first sentence. */
export async function reviewsOf(db: Reader, ids: Ids, monday: string): Promise<Map<string, WeekSaid>> {
  const rows = await db.weekReview.findMany({ where: { buildId: { in: [...ids] }, monday: dateColumn(monday) }, select: { buildId: true, state: true, facts: true, edits: true } })
  return new Map(rows.map((r) => {
    // Written by signReview from its own types.
    const [facts, edits] = [r.facts as unknown as Partial<ReviewFacts> | null, r.edits as unknown as Partial<ReviewEdits>]
    return [r.buildId, { state: r.state, headline: r.state === 'signed' ? edits.headline || facts?.headline || null : null }]
  }))
}

/** Snags that keep work from going on. */
export async function stoppingSnags(db: Reader, builds: ReadonlyMap<string, string>): Promise<SnagStop[]> {
  const rows = await db.snag.findMany({
    where: { buildId: { in: [...builds.keys()] }, closedOn: null, bad: { in: ['stop', 'before_next'] } },
    select: { id: true, buildId: true, no: true, what: true, whereAt: true, bad: true }, orderBy: [{ bad: 'desc' }, { foundOn: 'asc' }, { id: 'asc' }],
  })
  return rows.map(({ id, bad, ...s }) => ({ ...s, snagId: id, build: builds.get(s.buildId) ?? '', bad: bad === 'stop' ? 'stop' : 'before_next' }))
}
