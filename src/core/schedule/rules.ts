/** Priority rules: per rule a key per job, the least first. */
import { IMPOSSIBLE, type Bounds } from './bounds.ts'
import type { Model } from './model.ts'
import type { Tails } from './tails.ts'

/** The previous plan's order (when there is one) first; then latest start, builds one after another, longest tail. */
export function startKeys(model: Model, tails: Tails, bounds: Bounds): Float64Array[] {
  const n = model.jobs.length
  const out: Float64Array[] = []
  const longest = model.builds.map((b) => Math.max(0, ...b.jobs.map((k) => tails.head[k]! + tails.length[k]! + tails.tail[k]!)))
  const all = Math.max(1, ...longest)
  const latest = Float64Array.from(model.jobs, (j) => {
    const b = model.builds[j.build]!
    const due = b.target !== null ? Math.min(b.target, all) : all
    return due - tails.tail[j.index]! - tails.length[j.index]!
  })
  if (model.problem.previous.length > 0) out.push(previousKeys(model, tails, latest))
  out.push(latest)
  // Builds by lateness to be expected, then by weight over length (the weighted shortest first).
  const rank = model.builds.map((_, i) => i).sort((a, b) => urgency(model, longest, a) - urgency(model, longest, b) || a - b)
  const place = new Map(rank.map((b, i) => [b, i]))
  out.push(Float64Array.from(model.jobs, (j) => place.get(j.build)! * 1e7 + tails.head[j.index]! - tails.tail[j.index]!))
  const weight = (b: number): number => model.builds[b]!.priority / (longest[b]! + 1)
  const heavy = model.builds.map((_, i) => i).sort((a, b) => weight(b) - weight(a) || a - b)
  const heavyPlace = new Map(heavy.map((b, i) => [b, i]))
  out.push(Float64Array.from(model.jobs, (j) => heavyPlace.get(j.build)! * 1e7 - tails.tail[j.index]! - tails.length[j.index]!))
  out.push(Float64Array.from(model.jobs, (j) => -tails.tail[j.index]! - tails.length[j.index]!))
  out.push(Float64Array.from({ length: n }, (_, k) => (bounds.start[k]! >= IMPOSSIBLE ? 1e9 : bounds.start[k]!)))
  return out
}

function urgency(model: Model, longest: readonly number[], b: number): number {
  const { target, priority } = model.builds[b]!
  return target === null ? 1e8 + longest[b]! / priority : target - longest[b]!
}

/** Starts of the previous plan; a new task comes where its predecessors stand. */
function previousKeys(model: Model, tails: Tails, latest: Float64Array): Float64Array {
  const index = new Map(model.jobs.map((j) => [j.id, j.index]))
  const key = new Float64Array(model.jobs.length).fill(NaN)
  for (const p of model.problem.previous) {
    const k = index.get(p.taskId)
    if (k !== undefined && !(key[k]! <= p.start)) key[k] = p.start
  }
  const order = model.jobs.map((j) => j.index).sort((a, b) => tails.head[a]! - tails.head[b]! || a - b)
  for (const k of order) {
    if (!Number.isNaN(key[k]!)) continue
    const before = model.jobs[k]!.into.map((l) => key[model.links[l]!.from]!).filter((x) => !Number.isNaN(x))
    key[k] = before.length > 0 ? Math.max(...before) + 0.5 : Math.min(latest[k]!, 0)
  }
  return key
}
