/** Counted things: what pieces, cure stages and holds take, against what is there. */
import type { Piece } from '../answer.ts'
import type { Hold, Resource } from '../problem.ts'
import { finishOf, grouped, isHistory, type Context, type Job } from './context.ts'

/** `fact`: taken whatever the plan does; facts that overdraw are no fault of the plan. */
interface Use {
  readonly resourceId: string
  readonly start: number
  readonly end: number
  readonly amount: number
  readonly fact: boolean
  readonly what: string
  readonly piece: Piece | null
}

export function checkResources(c: Context): void {
  const bound = new Map(c.problem.resources.map((r) => [r.id, r.siteId]))
  const uses: Use[] = []
  for (const job of c.jobs.values()) {
    for (const need of job.doing.resources) {
      if (need.amount === 0) continue
      for (const piece of job.pieces) {
        const site = bound.get(need.resourceId) ?? null
        if (site !== null && c.siteOf(piece) !== site) {
          c.fault('resource-site', piece, `${piece.id} needs ${need.resourceId}, which stays at ${site}, but is elsewhere.`)
        }
        const end = heldUntil(c, job, need.until, piece.end)
        if (piece.end > piece.start) {
          uses.push({ resourceId: need.resourceId, start: piece.start, end, amount: need.amount, fact: false, what: piece.id, piece })
        }
      }
      const coat = job.task?.finished?.coat
      if (coat && need.until !== null) {
        uses.push(
          {
            resourceId: need.resourceId, start: coat.start, end: heldUntil(c, job, need.until, coat.end), amount: need.amount, fact: true,
            what: job.id, piece: null,
          }
        )
      }
    }
  }
  for (const hold of c.problem.holds) {
    const use = holdUse(c, hold)
    if (use) uses.push(use)
  }
  const byResource = grouped(uses, (u) => u.resourceId)
  for (const resource of c.problem.resources) sweep(c, resource, byResource.get(resource.id) ?? [])
}

function heldUntil(c: Context, job: Job, until: Parameters<Context['stage']>[1] | null, end: number): number {
  if (until === null) return end
  const stage = c.stage(job, until)
  // A stage that never comes keeps it to the end of the planned time.
  return Math.max(end, stage === null ? c.problem.horizon : stage ?? end)
}

function holdUse(c: Context, hold: Hold): Use | null {
  const from = c.jobs.get(hold.fromTask)!
  const to = c.jobs.get(hold.toTask)!
  if (hold.amount === 0 || to.done) return null
  const first = from.paused ? undefined : from.pieces[0]
  // Under way counts as started.
  const since = from.done?.start ?? from.task?.startedAt ?? (first && isHistory(c.problem, first) ? first.start : null)
  const start = since ?? first?.start ?? null
  if (start === null) return null
  const end = (to.paused ? null : finishOf(to)) ?? c.problem.horizon
  if (end <= start) return null
  return {
    resourceId: hold.resourceId, start, end, amount: hold.amount, fact: since !== null, what: `hold ${hold.id}`,
    piece: since === null ? from.pieces[0]! : null,
  }
}

function sweep(c: Context, resource: Resource, uses: readonly Use[]): void {
  const { now } = c.problem
  const changes: { readonly at: number; readonly capacity: number | null; readonly use: Use | null; readonly sign: number }[] = []
  for (const { from, count } of resource.capacity) changes.push({ at: from, capacity: count, use: null, sign: 0 })
  for (const use of uses) {
    if (use.end <= Math.max(use.start, now)) continue
    changes.push({ at: use.start, capacity: null, use, sign: 1 }, { at: use.end, capacity: null, use, sign: -1 })
  }
  changes.sort((a, b) => a.at - b.at)
  // Nothing is there before the first count.
  let capacity = 0
  let byFacts = 0
  let byPlan = 0
  const active = new Set<Use>()
  for (let i = 0; i < changes.length; i++) {
    const { at, capacity: count, use, sign } = changes[i]!
    if (count !== null) capacity = count
    if (use) {
      if (use.fact) byFacts += sign * use.amount
      else byPlan += sign * use.amount
      if (sign > 0) active.add(use)
      else active.delete(use)
    }
    const until = changes[i + 1]?.at ?? Infinity
    if (until <= Math.max(at, now) || byPlan <= Math.max(0, capacity - byFacts)) continue
    const takers = [...active].filter((u) => !u.fact)
    const piece = takers.at(-1)?.piece ?? null
    c.fault(
      'resource', piece,
      `${resource.id} is taken ${byPlan + byFacts} times from ${c.when(Math.max(at, now))} on, by ${[...active].map((u) =>
        u.what).join(', ')}; there are ${capacity}.`,
    )
  }
}
