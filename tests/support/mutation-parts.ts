/** What mutations are put together from: a piece, a task, a link or a need of a plan, changed. */
import type { NeedOutcome, Piece, Plan } from '../../src/core/schedule/answer.ts'
import type { ConditionGate } from '../../src/core/cure/types.ts'
import type { Doing, Link, Material, Place, Presence, Problem, Resource, TaskSpec, Work } from '../../src/core/schedule/problem.ts'
import { instant, minutes, type Instant } from '../../src/core/units/index.ts'
import type { Dice } from './dice.ts'

export interface Broken { readonly problem: Problem; readonly plan: Plan }
export type Mutation = (d: Dice, problem: Problem, plan: Plan) => Broken | null

export const by = (t: number, n: number): Instant => instant(t + n)
export const oneOf = <T>(d: Dice, list: readonly T[]): T | null => (list.length === 0 ? null : d.pick(list))
export const withPiece = (plan: Plan, piece: Piece, over: Partial<Piece>): Plan => (
  { ...plan, pieces: plan.pieces.map((p) => (p === piece ? { ...p, ...over } : p)) }
)
export const withTask = (problem: Problem, id: string, over: Partial<TaskSpec>): Problem => (
  { ...problem, tasks: problem.tasks.map((t) => (t.id === id ? { ...t, ...over } : t)) }
)
export const withResource = (problem: Problem, id: string, over: Partial<Resource>): Problem =>
  ({ ...problem, resources: problem.resources.map((r) => (r.id === id ? { ...r, ...over } : r)) })
export const withPlace = (problem: Problem, id: string | null, over: (q: Place) => Partial<Place>): Problem =>
  ({ ...problem, places: problem.places.map((q) => (q.id === id ? { ...q, ...over(q) } : q)) })
export const withGate = (problem: Problem, productId: string, gate: Partial<ConditionGate>): Problem =>
  ({ ...problem, products: problem.products.map((q) => (q.id === productId ? { ...q, gate: { ...q.gate, ...gate } } : q)) })
export const withMaterial = (problem: Problem, id: string, over: (m: Material) => Partial<Material>): Problem =>
  ({ ...problem, materials: problem.materials.map((m) => (m.id === id ? { ...m, ...over(m) } : m)) })
export const withNeed = (plan: Plan, need: NeedOutcome, over: Partial<NeedOutcome>): Plan => (
  { ...plan, needs: plan.needs.map((n) => (n === need ? { ...n, ...over } : n)) }
)
/** Nothing that is ordered comes while it is planned. */
export const never = (problem: Problem) => minutes(problem.horizon - problem.now + 1)
export const onlyPlan = (problem: Problem, plan: Plan): Broken => ({ problem, plan })
export const doingOf = (problem: Problem, id: string): Doing =>
  problem.tasks.find((t) => t.id === id) ?? problem.links.flatMap((l) => (l.kind === 'window' && l.wash?.id === id ? [l.wash] : []))[0]!
export const free = (plan: Plan): Piece[] => plan.pieces.filter((p) => p.fixed === null && p.people.length > 0)
export const of = (plan: Plan, taskId: string): Piece[] => plan.pieces.filter((p) => p.taskId === taskId)
export const taskOf = (problem: Problem, piece: Piece): TaskSpec | undefined => problem.tasks.find((t) => t.id === piece.taskId)

export const isFilm = (problem: Problem, p: Piece): boolean => {
  const product = taskOf(problem, p)?.productId
  return product !== undefined && product !== null && product !== 'glue'
}

/** A break of one piece, drawn among those that fit. */
export const piece = (fits: (p: Piece, problem: Problem, plan: Plan) => boolean, change: (p: Piece, problem: Problem, plan: Plan, d: Dice) =>
  Partial<Piece>): Mutation =>
  (d, problem, plan) => {
    const p = oneOf(d, free(plan).filter((q) => fits(q, problem, plan)))
    return p && onlyPlan(problem, withPiece(plan, p, change(p, problem, plan, d)))
  }
export const always = (): boolean => true
export const earlier = (p: Piece, start: number): Partial<Piece> => ({ start: instant(start), end: by(p.end, start - p.start) })

/** A break of the first piece behind a link of one kind whose `from` is planned. */
export const behind = (kind: Link['kind'], change: (first: Piece, link: Link, problem: Problem, plan: Plan) => Partial<Piece> | null): Mutation =>
  (d, problem, plan) => {
    for (const link of d.shuffled(problem.links.filter((l) => l.kind === kind))) {
      const first = of(plan, link.to)[0]
      if (!first || first.fixed !== null || of(plan, link.from).length === 0) continue
      const over = change(first, link, problem, plan)
      if (over) return onlyPlan(problem, withPiece(plan, first, over))
    }
    return null
  }
export const finish = (plan: Plan, taskId: string): number => Math.max(...of(plan, taskId).map((p) => p.end))


/** A break of a planned task's need, drawn among those that allow it. */
export function needed(change: (n: NeedOutcome, first: Piece, problem: Problem, plan: Plan) => Broken | null): Mutation {
  return (d, problem, plan) => {
    for (const n of d.shuffled(plan.needs)) {
      const pieces = of(plan, n.taskId)
      if (pieces.length === 0 || pieces.some((p) => p.fixed !== null)) continue
      const broken = change(n, pieces[0]!, problem, plan)
      if (broken) return broken
    }
    return null
  }
}
export function minutesWorked(p: Piece, problem: Problem): number {
  const { setUp, clearUp } = doingOf(problem, p.taskId)
  return p.end - p.start - setUp - clearUp
}
export const lagLink = (problem: Problem, plan: Plan): Link | undefined =>
  problem.links.find((l) => l.kind === 'lag' && l.edge === 'finish' && of(plan, l.from).length > 0 && of(plan, l.to)[0]?.fixed === null)
export const fewest = (work: Work): number => (work.kind === 'shared' ? work.handsFrom : work.kind === 'together' ? work.hands : 0)
/** The presence of the first person that the piece lies in. */
export function rowOf(problem: Problem, p: Piece): Presence {
  return problem.people.find((q) => q.id === p.people[0])!.presence.find((r) => r.start <= p.start && r.end >= p.end)!
}
export function linkOf(problem: Problem, id: string): Link {
  return problem.links.find((l) => l.id === id)!
}
export function metCoat(change: (p: Piece, told: Plan['met'][number], setUp: number, clearUp: number) => Partial<Piece> | null): Mutation {
  return (d, problem, plan) => {
    for (const told of d.shuffled(plan.met)) {
      const p = of(plan, linkOf(problem, told.linkId).to)[0]
      if (!p || p.fixed !== null) continue
      const { setUp, clearUp } = doingOf(problem, p.taskId)
      const over = change(p, told, setUp, clearUp)
      if (over) return onlyPlan(problem, withPiece(plan, p, over))
    }
    return null
  }
}
export function washed(change: (washId: string, problem: Problem, plan: Plan, link: Link) => Broken | null): Mutation {
  return (d, problem, plan) => {
    for (const told of d.shuffled(plan.missed)) {
      const link = linkOf(problem, told.linkId)
      const isOld = of(plan, link.from).length === 0
      if (isOld || of(plan, told.washTaskId).length === 0 || of(plan, link.to).length === 0) continue
      const broken = change(told.washTaskId, problem, plan, link)
      if (broken) return broken
    }
    return null
  }
}
export function outcome(change: (b: Plan['builds'][number]) => Partial<Plan['builds'][number]> | null): Mutation {
  return (d, problem, plan) => {
    for (const b of d.shuffled(plan.builds)) {
      const over = change(b)
      if (over) return onlyPlan(problem, { ...plan, builds: plan.builds.map((q) => (q === b ? { ...q, ...over } : q)) })
    }
    return null
  }
}
