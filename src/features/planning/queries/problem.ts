import type { FixedPiece, Material, PreviousPiece, Problem, Wash } from '../../../core/schedule/problem.ts'
import { addDays, instantToLocal, type OffsetTable } from '../../../core/calendar/index.ts'
import { instant, minutes, type Instant } from '../../../core/units/index.ts'
import type { Tx } from '../../../platform/database.ts'
import { loadBuildsForPlanning, type BuildsForPlanning } from '../../builds/public.ts'
import { loadPeople } from '../../members/public.ts'
import { loadPlaces, loadPresence, loadResources, loadZone } from '../../sessions/public.ts'
import { loadCureProducts, loadMaterials } from '../../stores/public.ts'
import { fixedPieces, type BegunSession } from '../fixed.ts'
import { earliestByFacts } from '../facts.ts'
import type { StoredDropped, StoredPlan } from '../model.ts'
import { DAY, dateColumn, isoDate, localAt, nowInstant, toDate, toInstant } from '../times.ts'
import { currentPlan, openRequests } from './plans.ts'

/** How far ahead it plans, in weeks: as far as the weekly rhythm is assumed to go on. */
export const HORIZON_WEEKS = 104
/** Coats older than this no longer hold anything up. */
const OLDEST_COAT = 120 * DAY
/** A session nobody closed out stays as it was agreed for this long; then what wasn't logged counts as not done. */
export const OPEN_FOR = DAY

export type Loaded = {
  readonly problem: Problem
  /** The same question with the begun sessions open again, for suggestions; null: no session is on. */
  readonly loose: Problem | null
  /** Agreed pieces that facts have overtaken. */
  readonly dropped: readonly StoredDropped[]
  readonly begun: readonly BegunSession[]
  readonly previous: StoredPlan | null
  readonly builds: BuildsForPlanning
  readonly lastWork: ReadonlyMap<string, number>
  /** Site of each place. */
  readonly siteOf: ReadonlyMap<string, string>
  /** The requests that this answers. */
  readonly requests: readonly { readonly id: bigint; readonly cause: string }[]
  readonly schedules: number
}

/** All that the planner must know, as it stands in this transaction. */
export async function loadProblem(tx: Tx, at: Date): Promise<Loaded> {
  const now = nowInstant(at)
  const club = await tx.club.findUniqueOrThrow({ where: { id: 1 }, select: { missedWindowDays: true, planSchedules: true } })
  const requests = await openRequests(tx)
  const from = await reachBack(tx, now)
  const horizon = instant(now + HORIZON_WEEKS * 7 * DAY)
  const w = { now, from, until: horizon }
  const zone = await loadZone(tx, from, instant(horizon + 8 * DAY))
  // Nobody under age is planned: the grown-ups in the shed decide what they do, with whom.
  const people = (await loadPeople(tx)).filter((p) => !p.isMinor)
  const presence = await loadPresence(tx, w)
  const { places } = await loadPlaces(tx, w)
  const resources = await loadResources(tx, w)
  const products = await loadCureProducts(tx)
  const materials = byEndOfDay(await loadMaterials(tx, now, at), zone, now)
  const builds = await loadBuildsForPlanning(tx, w)
  const previous = await currentPlan(tx)
  const begun = await begunSessions(tx, zone, now)
  const lastWork = await lastWorked(tx, toDate(now - 8 * DAY))

  const question = {
    now, previous: previous?.pieces ?? [], tasks: builds.tasks, lastWork, pins: builds.pins,
    siteOf: new Map(places.map((p) => [p.id, p.siteId])), washWork: washWork(builds),
  }
  const shared = {
    now, horizon, zone, resources, materials, products,
    people: people.map((p) => ({ id: p.id, helpsAnyone: p.helpsAnyone, competences: p.competences, presence: presence.get(p.id) ?? [] })),
    places: places.map((p) => ({ ...p, lastDust: builds.lastDust.get(p.id) ?? null })),
    builds: builds.builds, tasks: builds.tasks, links: builds.links, holds: builds.holds,
    previous: previousPieces(previous, builds),
    missedWindowCost: minutes(club.missedWindowDays * DAY),
  }
  const known = (piece: FixedPiece) => piece.people.every((id) => people.some((p) => p.id === id))
  const earliest = earliestByFacts({ ...shared, fixed: [] })
  const kept = fixedPieces({ ...question, sessions: begun, earliest })
  const fixed = kept.fixed.filter(known)
  const isOn = begun.some((s) => s.end > now)
  const loosened = isOn ? fixed.filter((f) => f.why !== 'frozen' || f.start < now) : []
  return {
    problem: { ...shared, fixed },
    loose: isOn && loosened.length < fixed.length ? { ...shared, fixed: loosened } : null,
    dropped: kept.dropped,
    begun, previous, builds, lastWork, siteOf: question.siteOf,
    requests,
    schedules: club.planSchedules,
  }
}

/** An order of today counts as here when the day is over on which it is expected, as it will once it is written down. */
function byEndOfDay(materials: readonly Material[], zone: OffsetTable, now: Instant): Material[] {
  const { date } = instantToLocal(zone, now)
  return materials.map((m) => ({ ...m, leadTime: minutes(localAt(zone, addDays(date, Math.round(m.leadTime / DAY)), '24:00') - now) }))
}

/** Climate and presence reach back to the oldest coat that may still cure, and over the sessions that are open. */
async function reachBack(tx: Tx, now: Instant): Promise<Instant> {
  const oldest = await tx.coat.aggregate({ where: { startedAt: { gt: toDate(now - OLDEST_COAT) }, task: { build: { state: { not: 'launched' } } } }, _min: { startedAt: true } })
  const { startedAt } = oldest._min
  return instant(Math.min(now - 3 * DAY, startedAt ? toInstant(startedAt) : now))
}

/** Sessions that have begun, are not closed out and not given up for lost. */
export async function begunSessions(tx: Tx, zone: OffsetTable, now: Instant): Promise<BegunSession[]> {
  const { date } = instantToLocal(zone, now)
  const rows = await tx.session.findMany({
    where: { state: 'planned', closeOut: null, date: { gte: dateColumn(addDays(date, -3)), lte: dateColumn(date) } },
    select: { id: true, siteId: true, date: true, starts: true, ends: true },
    orderBy: [{ date: 'asc' }, { starts: 'asc' }, { id: 'asc' }],
  })
  return rows
    .map((s) => ({ id: s.id, siteId: s.siteId, start: localAt(zone, isoDate(s.date), s.starts), end: localAt(zone, isoDate(s.date), s.ends) }))
    .filter((s) => s.start <= now && now < s.end + OPEN_FOR)
}

/** End of the last stretch logged on each task, or on a wash (`wash:<linkId>`). */
async function lastWorked(tx: Tx, since: Date): Promise<Map<string, number>> {
  const rows = await tx.$queryRaw<{ id: string; end: Date }[]>`
    select case when w.link_id is null then w.task_id::text else 'wash:' || w.link_id end as id,
           max(w.started_at + make_interval(mins => w.elapsed_min)) as "end"
    from work_log w
    where w.started_at > ${since} and w.reverses_id is null and not exists (select 1 from work_log r where r.reverses_id = w.id)
    group by 1`
  return new Map(rows.map((r) => [r.id, toInstant(r.end)]))
}

export function washes({ links }: Pick<BuildsForPlanning, 'links'>): { wash: Wash; to: string; linkId: string }[] {
  return links.flatMap((l) => (l.kind === 'window' && l.wash ? [{ wash: l.wash, to: l.to, linkId: l.id }] : []))
}

const washWork = (builds: BuildsForPlanning) =>
  new Map(washes(builds).map(({ wash }) => [wash.id, { work: wash.work, setUp: wash.setUp, clearUp: wash.clearUp, open: typeof wash.state === 'string' }]))

/** Of the plan before, what is still about something. */
function previousPieces(previous: StoredPlan | null, builds: BuildsForPlanning): PreviousPiece[] {
  const known = new Set([...builds.tasks.map((t) => t.id), ...washes(builds).map((x) => x.wash.id)])
  return (previous?.pieces ?? []).filter((p) => known.has(p.taskId)).map((p) => ({
    taskId: p.taskId, start: instant(p.start), end: instant(p.end), people: p.people, placeId: p.placeId,
  }))
}
