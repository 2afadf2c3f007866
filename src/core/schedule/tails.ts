/** How much still comes after each job until its build's launch, in elapsed minutes: what urgency is measured by. Estimates, not bounds. */
import type { Job, Model } from './model.ts'
import { NEVER } from './model.ts'
import { openTimes } from './open-times.ts'

export interface Tails {
  /** Elapsed minutes the job itself takes. */
  readonly length: Float64Array
  /** From its finish to the launch. */
  readonly tail: Float64Array
  /** From now to its start, everything to itself. */
  readonly head: Float64Array
}

export function tailsOf(model: Model): Tails {
  const n = model.jobs.length
  const stretch = model.builds.map((b) => stretchOf(model, b.eligible))
  const length = Float64Array.from(model.jobs, (j) => (j.done ? 0 : lengthOf(j) * (j.kind === 'unattended' ? 1 : stretch[j.build]!)))
  const arcs: { from: number; to: number; wait: number }[] = []
  for (const l of model.links) {
    const a = model.jobs[l.from]!
    if (a.done || model.jobs[l.to]!.done) continue
    const wait = l.kind === 'finish' ? l.lag : l.kind === 'lag' ? (l.min === null ? NEVER : l.edge === 'start' ? l.min - length[l.from]! : l.min)
      : l.kind === 'stage' ? cureWait(model, a, l.stage) : cureWait(model, a, 'opens')
    if (wait !== NEVER) arcs.push({ from: l.from, to: l.to, wait })
  }
  const tail = new Float64Array(n)
  const head = Float64Array.from(model.jobs, (j) => Math.max(j.release, j.waits?.at ?? 0))
  for (let round = 0; round < n; round++) {
    let moved = false
    for (const a of arcs) {
      const t = a.wait + length[a.to]! + tail[a.to]!
      if (t > tail[a.from]! + 1e-9) { tail[a.from] = t; moved = true }
      const h = head[a.from]! + length[a.from]! + a.wait
      if (h > head[a.to]! + 1e-9) { head[a.to] = h; moved = true }
    }
    if (!moved) break
  }
  for (const j of model.jobs) {
    const link = j.washOf >= 0 ? model.links[j.washOf]! : null
    if (!link) continue
    tail[j.index] = length[link.to]! + tail[link.to]!
    head[j.index] = head[link.to]!
  }
  return { length, tail, head }
}

function lengthOf(j: Job): number {
  if (j.kind === 'unattended') return j.work
  const worked = j.kind === 'shared' ? Math.ceil(j.work / Math.max(1, Math.min(j.handsTo, j.eligible.length))) : j.work
  return j.setUp + Math.max(1, worked) + j.clearUp
}

function cureWait(model: Model, a: Job, stage: Parameters<Model['stageAt']>[2]): number {
  const o = a.options[0]
  const reference = model.problem.products[a.product]?.stages[stage] ?? 0
  if (!o || o.place < 0) return reference
  const t = model.stageAt(a.product, o.place, stage, 0, 60)
  return t === NEVER ? reference * 2 : Math.max(0, t - 60)
}

/** Elapsed minutes per minute in which anybody of the build is there. */
function stretchOf(model: Model, eligible: readonly number[]): number {
  const times = openTimes(eligible.flatMap((p) => {
    const { start, end } = model.people[p]!.rows
    return Array.from(start, (s, i) => ({ start: Math.max(0, s), end: Math.min(end[i]!, model.horizon) }))
  }))
  let sum = 0
  for (let i = 0; i < times.start.length; i++) sum += times.end[i]! - times.start[i]!
  const last = times.end[times.end.length - 1] ?? 0
  return sum === 0 ? 1 : Math.max(1, last / sum)
}
