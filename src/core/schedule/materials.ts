/**
 * Serving needs of material: who gets what of the supplies, and from when each need is covered. One pass in order of right to it;
 * see MATERIAL in problem.ts. Instants are minutes from now (a parsed question), amounts thousandths of the item's unit.
 */
import { instant } from '../units/index.ts'
import type { NeedOutcome } from './answer.ts'
import type { Model } from './model.ts'
import type { Problem, Supply, TaskSpec } from './problem.ts'

/** What keeps a job from starting before `at`: the need that is covered last. */
export interface Waits {
  readonly at: number
  readonly materialId: string
  /** Of it, taken as ordered now; 0: it is an order under way that comes last. */
  readonly short: number
  /** The plan that has all material free has the task. */
  readonly wanted: boolean
}

/** Tasks that still take something from the stores. */
export function takers(problem: Problem): TaskSpec[] {
  const paused = new Set(problem.builds.flatMap((b) => (b.paused ? [b.id] : [])))
  return problem.tasks.filter((t) => t.materials.length > 0 && t.finished === null && !paused.has(t.buildId))
}

/**
 * Every need with the instant from which it is covered, in order of task, material, structural first.
 * @param problem parsed: sorted by id, now = 0
 * @param wanted start of a task in the plan that has all material free; null: not in it
 */
export function serve(problem: Problem, wanted: (taskId: string) => number | null): NeedOutcome[] {
  const stock = new Map(problem.materials.map((m) => [m.id, { leadTime: m.leadTime, supplies: m.supplies.map((s) => ({ ...s })) }]))
  const tasks = takers(problem)
  const out = new Map<string, NeedOutcome[]>()
  for (const t of inOrder(problem, tasks, wanted)) {
    const start = wanted(t.id)
    out.set(t.id, t.materials.map((need): NeedOutcome => {
      const { supplies, leadTime } = stock.get(need.materialId)!
      const { short, last } = take(supplies, need.amount, need.structural)
      const covered = short > 0 ? Math.max(last, leadTime) : last
      return {
        ...need, taskId: t.id, wanted: start === null ? null : instant(start), covered: instant(covered), short,
        shortArrives: short > 0 ? instant(leadTime) : null,
      }
    }))
  }
  return tasks.flatMap((t) => out.get(t.id)!)
}

/** Fixed by a person first, then by priority; by start, what has none last; then by name. */
function inOrder(problem: Problem, tasks: readonly TaskSpec[], wanted: (taskId: string) => number | null): TaskSpec[] {
  const fixed = new Set(problem.fixed.map((f) => f.taskId))
  const priority = new Map(problem.builds.map((b) => [b.id, b.priority]))
  const rank = (t: TaskSpec): number => (fixed.has(t.id) ? Infinity : priority.get(t.buildId)!)
  const start = (t: TaskSpec): number => wanted(t.id) ?? Number.MAX_SAFE_INTEGER
  const text = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)
  return [...tasks].sort((a, b) => {
    const [p, q] = [rank(a), rank(b)]
    if (p !== q) return q > p ? 1 : -1
    return start(a) - start(b) || text(a.buildId, b.buildId) || text(a.id, b.id)
  })
}

/** Takes what there is, earliest first; what is not fit for structure goes before the rest where it will do. `last`: the latest arrival taken. */
function take(supplies: { readonly at: number; amount: number; readonly fit: Supply['fit'] }[], amount: number, structural: boolean) {
  let short = amount
  let last = -Infinity
  for (const fit of structural ? ['structure'] : ['any', 'structure']) {
    for (const s of supplies) {
      if (s.fit !== fit || s.amount === 0 || short === 0) continue
      const n = Math.min(s.amount, short)
      s.amount -= n
      short -= n
      last = Math.max(last, s.at)
    }
  }
  return { short, last }
}

/** The same model with jobs that wait for their material; null: nothing of the needs is still to come. */
export function waiting(model: Model, needs: readonly NeedOutcome[]): Model | null {
  const waits = new Map<string, Waits>()
  for (const n of needs) {
    if (n.covered <= 0 || n.covered <= (waits.get(n.taskId)?.at ?? 0)) continue
    waits.set(n.taskId, { at: n.covered, materialId: n.materialId, short: n.covered === n.shortArrives ? n.short : 0, wanted: n.wanted !== null })
  }
  if (waits.size === 0) return null
  return { ...model, jobs: model.jobs.map((j) => (j.washOf < 0 && waits.has(j.id) ? { ...j, waits: waits.get(j.id)! } : j)) }
}
