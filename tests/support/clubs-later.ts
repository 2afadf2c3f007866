/** The club some time on: what was planned before is done, half done or under way, and some of the rest is fixed by a person. */
import { offsetAt } from '../../src/core/calendar/zone.ts'
import type { Piece, Plan } from '../../src/core/schedule/answer.ts'
import type { FixedPiece, Problem, TaskSpec, Wash, Work } from '../../src/core/schedule/problem.ts'
import { instant, minutes, type Instant } from '../../src/core/units/index.ts'
import { storesLater } from './clubs-materials.ts'
import type { Dice } from './dice.ts'

/**
 * A problem that follows from a plan: now is inside or after one of its first pieces; all that ended before is logged as done where and
 * when it was planned, a piece that is going on is kept under way, and some coming pieces are pinned as they stand.
 * @param isIll some people miss a day of the coming week; false: the rest of the plan is still possible as it is
 */
export function later(d: Dice, problem: Problem, plan: Plan, isIll: boolean): Problem {
  const order = [...plan.pieces].sort((a, b) => a.start - b.start || a.end - b.end)
  const turn = order[Math.min(order.length - 1, d.between(0, Math.max(8, Math.floor(order.length / 4))))]
  if (!turn) return problem
  const now = instant(Math.max(problem.now, d.chance(0.6) ? turn.start + Math.floor((turn.end - turn.start) / 2) : turn.end))
  const of = (taskId: string): Piece[] => order.filter((p) => p.taskId === taskId)
  const tasks = problem.tasks.map((task): TaskSpec => {
    const pieces = of(task.id)
    const over = pieces.filter((p) => p.end <= now)
    if (task.finished || over.length === 0) return task
    if (over.length === pieces.length) {
      return { ...task, finished: { start: pieces[0]!.start, end: pieces.at(-1)!.end, coat: coatOf(task, pieces[0]!) } }
    }
    return { ...task, startedAt: task.startedAt ?? over[0]!.start, work: workLeft(task, over) }
  })
  const missed = new Set(plan.missed.map((m) => m.linkId))
  const links = problem.links.map((link) => {
    if (link.kind !== 'window' || link.wash === null || !missed.has(link.id)) return link
    return { ...link, wash: washLater(link.wash, of(link.wash.id), now) }
  })
  const coming = order.filter((p) => p.end > now)
  const pinned = coming.filter((p) => p.start > now && (p.fixed !== null || (p.people.length > 0 && p.start < now + 3 * 1440 && d.chance(0.15))))
  const underWay = coming.filter((p) => p.start <= now)
  const fix = (p: Piece, why: FixedPiece['why']): FixedPiece => (
    { taskId: p.taskId, start: p.start, end: p.end, people: p.people, supervisor: p.supervisor, placeId: p.placeId, why }
  )
  const begun = new Set(order.filter((p) => p.start < now).map((p) => p.taskId))
  return {
    ...problem, now, links, ...storesLater(problem, plan, tasks, (t) => begun.has(t.id) || t.finished !== null),
    fixed: [...underWay.map((p) => fix(p, 'under-way')), ...pinned.map((p) => fix(p, p.fixed ?? d.pick(['pinned', 'frozen'])))],
    previous: order.filter((p) => p.end > now).map(({ taskId, start, end, people, placeId }) => ({ taskId, start, end, people, placeId })),
    places: problem.places.map((place) => {
      const dusty = order.filter((p) => p.placeId === place.id && p.end <= now && isDusty(problem, p.taskId)).map((p) => p.end)
      return { ...place, lastDust: dusty.length === 0 ? place.lastDust : instant(Math.max(...dusty, place.lastDust ?? -Infinity)) }
    }),
    // Somebody falls ill: their presence of one of the coming days is gone.
    people: problem.people.map((p) => {
      const ill = isIll && d.chance(0.2) ? dayOf(problem, now) + d.between(1, 7) : null
      return { ...p, presence: p.presence.filter((r) => dayOf(problem, r.start) !== ill) }
    }),
  }
}

const dayOf = (problem: Problem, t: Instant): number => Math.floor((t + offsetAt(problem.zone, t)) / 1440)
const isDusty = (problem: Problem, taskId: string): boolean =>
  problem.tasks.some((t) => t.id === taskId && t.dusty) || problem.links.some((l) => l.kind === 'window' && l.wash?.id === taskId && l.wash.dusty)

function coatOf(task: TaskSpec, piece: Piece): NonNullable<TaskSpec['finished']>['coat'] {
  if (task.productId === null || piece.placeId === null) return null
  return { start: instant(piece.start + task.setUp), end: instant(piece.end - task.clearUp), placeId: piece.placeId, overrides: [] }
}

function workLeft(doing: TaskSpec | Wash, over: readonly Piece[]): Work {
  const { work, setUp, clearUp } = doing
  if (work.kind === 'unattended') return work
  const done = over.reduce((sum, p) => sum + (p.end - p.start - setUp - clearUp) * (work.kind === 'shared' ? p.people.length : 1), 0)
  return work.kind === 'shared' ? { ...work, work: minutes(Math.max(1, work.work - done)) } : {
    ...work, minutes: minutes(Math.max(1, work.minutes - done)),
  }
}

function washLater(wash: Wash, pieces: readonly Piece[], now: Instant): Wash {
  const over = pieces.filter((p) => p.end <= now)
  if (typeof wash.state === 'object' || over.length === 0) return wash
  if (over.length === pieces.length) return { ...wash, state: { finished: over.at(-1)!.end } }
  return { ...wash, state: 'missed', work: workLeft(wash, over) }
}
