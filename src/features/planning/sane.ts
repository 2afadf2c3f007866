import type { Doing, Link, Place, Problem, Supply, TaskSpec } from '../../core/schedule/problem.ts'
import type { ProblemRefusal, Unplanned } from '../../core/schedule/index.ts'
import { celsius, instant, minutes } from '../../core/units/index.ts'

const NOWHERE = 'nowhere'

/**
 * A tool out of use or a place given up must not stop the whole plan: a task that still asks for one is told by the planner like any
 * other that can't be had. Unknown tools count 0; a task that has no place left gets one that is never open; material that the stores don't
 * know (any more) is not waited for.
 */
export function sane(problem: Problem): Problem {
  const places = new Set(problem.places.map((p) => p.id))
  const tools = new Set(problem.resources.map((r) => r.id))
  const people = new Set(problem.people.map((p) => p.id))
  const items = new Set(problem.materials.map((m) => m.id))
  const missing = new Set<string>()
  let isLost = false
  const mend = <D extends Doing>(d: D): D => {
    for (const r of d.resources) if (!tools.has(r.resourceId)) missing.add(r.resourceId)
    const known = d.places.filter((id) => places.has(id))
    if (known.length === d.places.length && (known.length > 0 || d.work.kind === 'unattended')) return d
    if (known.length > 0 || d.work.kind === 'unattended') return { ...d, places: known }
    isLost = true
    return { ...d, places: [NOWHERE] }
  }
  const stocked = (t: TaskSpec): TaskSpec =>
    t.materials.every((m) => items.has(m.materialId)) ? t : { ...t, materials: t.materials.filter((m) => items.has(m.materialId)) }
  const tasks = problem.tasks.map((t) => coatSomewhere(mend(stocked(t)), places))
  const links = problem.links.map((l): Link => (l.kind === 'window' && l.wash ? { ...l, wash: mend(l.wash) } : l))
  for (const h of problem.holds) if (!tools.has(h.resourceId)) missing.add(h.resourceId)
  const builds = problem.builds.map((b) => (b.team.every((id) => people.has(id)) ? b : { ...b, team: b.team.filter((id) => people.has(id)) }))
  const none = [...missing].map((id) => ({ id, siteId: null, capacity: [{ from: instant(problem.now), count: 0 }] }))
  const materials = problem.materials.map((m) => ({ ...m, supplies: together(m.supplies) }))
  return { ...problem, tasks, links, builds, materials, resources: [...problem.resources, ...none], places: isLost ? [...problem.places, nowhere(problem)] : problem.places }
}

/** Two deliveries of the same hour are one supply. */
function together(supplies: readonly Supply[]): Supply[] {
  const sums = new Map<string, Supply>()
  for (const s of supplies) {
    const key = `${s.fit} ${s.at}`
    sums.set(key, { ...s, amount: s.amount + (sums.get(key)?.amount ?? 0) })
  }
  return [...sums.values()]
}

/** A coat that cures in a place that is given up cures on in the first of its task's places. */
function coatSomewhere(t: TaskSpec, places: ReadonlySet<string>): TaskSpec {
  const coat = t.finished?.coat
  const other = t.places[0]
  if (!t.finished || !coat || places.has(coat.placeId) || other === undefined) return t
  return { ...t, finished: { ...t.finished, coat: { ...coat, placeId: other } } }
}

function nowhere({ now, horizon }: Problem): Place {
  const from = instant(now - 1_000_000)
  return {
    id: NOWHERE, siteId: NOWHERE, closures: [{ start: from, end: instant(horizon + 1) }], settle: minutes(0), lastDust: null, surfaceOffset: celsius(0),
    climate: [{ from, value: { air: celsius(15), dewPoint: celsius(5) } }],
  }
}

/**
 * The question without the builds that make it impossible (a circle of links and the like), and what that leaves unplanned; null when
 * no build can be named.
 */
export function without(problem: Problem, refusals: readonly ProblemRefusal[]): { problem: Problem; unplanned: Unplanned[] } | null {
  const linkBuild = new Map(problem.links.map((l) => [l.id, l.to]))
  const taskBuild = new Map(problem.tasks.map((t) => [t.id, t.buildId]))
  const washTo = new Map(problem.links.flatMap((l) => (l.kind === 'window' && l.wash ? [[l.wash.id, l.to] as const] : [])))
  const buildOf = (id: string) => taskBuild.get(id) ?? taskBuild.get(linkBuild.get(id) ?? washTo.get(id) ?? '') ?? problem.holds.find((h) => h.id === id)?.buildId
  const out = new Set<string>()
  const reasons = new Map<string, Unplanned>()
  for (const refusal of refusals) {
    const ids = namedIn(refusal)
    const builds = ids.map(buildOf).filter((b) => b !== undefined)
    if (builds.length === 0) return null
    for (const b of builds) out.add(b)
    if ('taskIds' in refusal) for (const taskId of refusal.taskIds) reasons.set(taskId, { taskId, reason: { kind: 'circle', taskIds: refusal.taskIds } })
  }
  const isOut = (id: string) => out.has(buildOf(id) ?? '')
  const first = [...reasons.keys()][0]
  const unplanned = problem.tasks.filter((t) => out.has(t.buildId) && t.finished === null).map((t): Unplanned =>
    reasons.get(t.id) ?? { taskId: t.id, reason: first !== undefined && first !== t.id ? { kind: 'before', taskId: first } : { kind: 'place' } })
  return {
    unplanned,
    problem: {
      ...problem,
      builds: problem.builds.map((b) => (out.has(b.id) ? { ...b, paused: true, launchTaskId: null } : b)),
      tasks: problem.tasks.filter((t) => !out.has(t.buildId)),
      links: problem.links.filter((l) => !isOut(l.from) && !isOut(l.to)),
      holds: problem.holds.filter((h) => !out.has(h.buildId)),
      fixed: problem.fixed.filter((f) => !isOut(f.taskId)),
      previous: problem.previous.filter((p) => !isOut(p.taskId)),
    },
  }
}

function namedIn(refusal: ProblemRefusal): string[] {
  switch (refusal.kind) {
    case 'circle':
    case 'lag-circle':
      return [...refusal.taskIds]
    case 'divisible-coat':
    case 'no-place':
      return [refusal.taskId]
    case 'not-a-coat':
      return [refusal.taskId, refusal.owner]
    case 'unknown-id':
      return [refusal.owner]
    case 'bad-number':
    case 'bad-interval':
      return [refusal.owner]
    case 'duplicate-id':
      return [refusal.id]
    case 'duplicate-supply':
      return [refusal.materialId]
  }
}
