/**
 * Instants before which no plan can start or finish a job: the critical path through calendars with everything to itself
 * (nobody else's work takes people, places or things). Also finds what no plan can do at all.
 */
import type { CureStage } from '../cure/types.ts'
import { DONE, PLACED, State } from './state.ts'
import { LONG_AGO, NEVER, progress, type Job, type MLink, type Model } from './model.ts'
import { lastFrom, openTimes } from './open-times.ts'
import { piece, unattended, wholeWith } from './place.ts'
import { FOREVER } from './profile.ts'

/** No plan has it. */
export const IMPOSSIBLE = FOREVER

export interface Bounds {
  readonly start: Int32Array
  readonly finish: Int32Array
  /** Per build: no plan launches her before; null when paused or not plannable. */
  readonly launch: readonly (number | null)[]
}

/** `kept`: a state with the kept pieces placed, whose times are then given; without it any kept piece may still be dropped. */
export function boundsOf(model: Model, order: readonly number[], kept: State | null): Bounds {
  const n = model.jobs.length
  const st = alone(model)
  const start = new Int32Array(n).fill(LONG_AGO)
  const finish = new Int32Array(n).fill(LONG_AGO)
  // Whoever has a fixed piece may not have to wait for material.
  const exempt = new Set(model.fixed.map((f) => f.job))
  const least = Int32Array.from(model.jobs, (j) => (j.waits && !exempt.has(j.index) ? Math.max(j.release, j.waits.at) : j.release))
  const floor = new Int32Array(n).fill(LONG_AGO)
  const circle = new Set(model.impossible.flat())
  const rates = new Rates(model)
  const given = (k: number): boolean => model.jobs[k]!.done !== null || (kept !== null && (kept.status[k] === PLACED || kept.status[k] === DONE))
  for (const j of model.jobs) {
    if (!given(j.index)) continue
    start[j.index] = kept ? kept.start[j.index]! : j.done!.start
    finish[j.index] = kept ? kept.end[j.index]! : j.done!.end
  }
  const dirty = new Uint8Array(n).fill(1)
  for (let round = 0; round < 200; round++) {
    let moved = false
    for (const k of order) {
      const j = model.jobs[k]!
      if (!dirty[k] || given(k)) continue
      dirty[k] = 0
      const was = { s: start[k]!, f: finish[k]! }
      if (j.paused || circle.has(k) || least[k]! >= IMPOSSIBLE) start[k] = finish[k] = IMPOSSIBLE
      else {
        const t = times(st, j, Math.max(0, least[k]!), rates)
        start[k] = t.start
        finish[k] = t.start >= IMPOSSIBLE ? IMPOSSIBLE : Math.max(t.finish, floor[k]!)
        if (finish[k]! > model.horizon) start[k] = finish[k] = IMPOSSIBLE
      }
      if (start[k] !== was.s || finish[k] !== was.f) moved = true
    }
    for (const l of model.links) {
      if (model.jobs[l.to]!.done) continue
      const to = leastOf(model, l, start, finish)
      if (to > least[l.to]!) {
        least[l.to] = Math.min(to, IMPOSSIBLE)
        dirty[l.to] = 1
        moved = true
      }
      if (l.kind === 'lag' && l.max !== null && model.jobs[l.to]!.startedAt === null && !given(l.from) && start[l.to]! < IMPOSSIBLE) {
        const edge = start[l.to]! - l.max
        const from = model.jobs[l.from]!
        const s = l.edge === 'start' ? edge : from.kind === 'unattended' ? edge - from.work : LONG_AGO
        if (s > least[l.from]! && from.startedAt === null) { least[l.from] = s; dirty[l.from] = 1; moved = true }
        if (l.edge === 'finish' && edge > floor[l.from]!) { floor[l.from] = edge; dirty[l.from] = 1; moved = true }
      }
    }
    if (!moved) break
  }
  const launch = model.builds.map((b): number | null => {
    if (b.paused) return null
    const ends = b.launchJob >= 0 ? [finish[b.launchJob]!] : b.jobs.map((k) => finish[k]!)
    const t = ends.length === 0 ? IMPOSSIBLE : Math.max(...ends)
    return t >= IMPOSSIBLE ? null : t
  })
  return { start, finish, launch }
}

/** Facts only: holds may be given back any time, so they count for nothing. */
function alone(model: Model): State {
  const st = new State(model)
  for (const h of model.holds) {
    const from = model.jobs[h.from]!
    const to = model.jobs[h.to]!
    if (from.done || from.startedAt !== null) st.avail[h.resource]!.take(LONG_AGO, to.done ? to.done.end : FOREVER, -h.amount)
    st.held[h.index] = 2
  }
  return st
}

function times(st: State, job: Job, from: number, rates: Rates): { start: number; finish: number } {
  const fixed = st.model.fixed.filter((f) => f.job === job.index)
  const t = freely(st, job, from, job.work, rates)
  if (fixed.length === 0) return t
  // Whether kept or dropped: neither start nor finish can be before these.
  const left = job.work - fixed.reduce((sum, f) => sum + progress(job, f), 0)
  const first = Math.min(...fixed.map((f) => f.start))
  const last = Math.max(...fixed.map((f) => f.end))
  const rest = left > 0 ? freely(st, job, from, left, rates).finish : last
  return { start: Math.min(t.start, first), finish: Math.min(t.finish, rest) }
}

function freely(st: State, job: Job, from: number, work: number, rates: Rates): { start: number; finish: number } {
  let start = IMPOSSIBLE
  let finish = IMPOSSIBLE
  const horizon = st.model.horizon
  if (job.kind === 'unattended') {
    for (const o of job.options) {
      const d = unattended(st, job, o, from)
      if (d) { start = Math.min(start, d.start); finish = Math.min(finish, d.end) }
    }
  } else if (job.smallest === 0) {
    for (const o of job.options) {
      for (let h = Math.min(job.handsTo, o.most); h >= job.handsFrom; h--) {
        const d = wholeWith(st, job, o, from, horizon, h)
        if (d) { start = Math.min(start, d.start); finish = Math.min(finish, d.end) }
      }
    }
  } else {
    for (const o of job.options) {
      const d = piece(st, job, o, from, work, [], horizon)
      if (d) start = Math.min(start, d.start)
    }
    if (start < IMPOSSIBLE) finish = rates.finish(job, start + job.setUp, work)
    if (finish < IMPOSSIBLE) finish += job.clearUp
  }
  return finish >= IMPOSSIBLE ? { start: IMPOSSIBLE, finish: IMPOSSIBLE } : { start, finish }
}

function leastOf(model: Model, l: MLink, start: Int32Array, finish: Int32Array): number {
  const from = model.jobs[l.from]!
  const to = model.jobs[l.to]!
  if (!from.done && (from.paused || start[l.from]! >= IMPOSSIBLE)) return IMPOSSIBLE
  if (start[l.from] === LONG_AGO && !from.done) return LONG_AGO
  const stage = (s: CureStage): number => {
    if (from.done) return from.done.stages && from.done.stages[s] !== NEVER ? from.done.stages[s] : IMPOSSIBLE
    let best = IMPOSSIBLE
    for (const o of from.options) {
      const t = model.stageAt(from.product, o.place, s, start[l.from]! + from.setUp, finish[l.from]! - from.clearUp)
      if (t !== NEVER && t < best) best = t
    }
    return best
  }
  if (l.kind === 'finish') return finish[l.from]! + l.lag
  if (l.kind === 'lag') {
    if (l.min === null) return LONG_AGO
    return (l.edge === 'finish' ? finish[l.from]! : Math.min(start[l.from]!, from.startedAt ?? start[l.from]!)) + l.min
  }
  if (l.kind === 'stage') return stage(l.stage)
  if (l.state === 'washed') return l.washedAt
  let met = stage('opens')
  if (met < IMPOSSIBLE) met -= to.setUp
  if (from.done?.stages && from.done.stages.closes !== NEVER && from.done.stages.opens >= from.done.stages.closes) met = IMPOSSIBLE
  if (l.state === 'hard') return met
  const sandable = stage('sandable')
  const wash = model.jobs[l.wash]!
  const length = wash.setUp + (wash.kind === 'shared' ? Math.ceil(wash.work / wash.handsTo) : wash.work) + wash.clearUp
  const kept = model.fixed.some((f) => f.job === l.wash)
  const missed = sandable >= IMPOSSIBLE ? IMPOSSIBLE : kept ? sandable : sandable + length
  return l.state === 'missed' ? missed : Math.min(met, missed)
}

/** How fast a divisible job can go at most: the hands present at one of its sites, whoever else wants them. */
class Rates {
  private readonly model: Model
  private readonly known = new Map<string, Headcount>()
  constructor(model: Model) { this.model = model }

  /** When `work` is done at the earliest if it may go on from `from`. */
  finish(job: Job, from: number, work: number): number {
    const steps = [...new Set(job.options.map((o) => o.site))].map((s) => this.present(job, s))
    if (steps.length === 1) return this.along(job, steps[0]!, from, work)
    // Several sites: at any time the better of them.
    const cuts = [...new Set(steps.flatMap((s) => Array.from(s.at)))].filter((t) => t > from).sort((a, b) => a - b)
    let t = from
    let left = work
    for (const next of [...cuts, this.model.horizon]) {
      if (next <= t) continue
      const rate = Math.max(0, ...steps.map((s) => rateOf(job, countAt(s, t))))
      if (rate > 0 && left <= rate * (next - t)) return t + Math.ceil(left / rate)
      left -= rate * (next - t)
      t = next
    }
    return IMPOSSIBLE
  }

  private along(job: Job, s: Headcount, from: number, work: number): number {
    let left = work
    let t = from
    for (let i = Math.max(0, indexAt(s, from)); i < s.at.length; i++) {
      const end = i + 1 < s.at.length ? s.at[i + 1]! : this.model.horizon
      t = Math.max(from, s.at[i]!)
      if (end <= t) continue
      const rate = rateOf(job, s.count[i]!)
      if (rate > 0 && left <= rate * (end - t)) return t + Math.ceil(left / rate)
      left -= rate * (end - t)
    }
    return IMPOSSIBLE
  }

  private present(job: Job, site: number): Headcount {
    const key = `${job.build} ${site}`
    let steps = this.known.get(key)
    if (steps) return steps
    const change = new Map<number, number>()
    const add = (t: number, n: number): void => { change.set(t, (change.get(t) ?? 0) + n) }
    for (const p of job.eligible) {
      const rows = this.model.people[p]!.rows
      const here = openTimes(Array.from(rows.start, (s, i) => ({ start: s, end: rows.site[i] === site ? rows.end[i]! : s })))
      here.start.forEach((s, i) => { add(s, 1); add(here.end[i]!, -1) })
    }
    const at = Int32Array.from([...change.keys()].sort((a, b) => a - b))
    const count = new Int32Array(at.length)
    let n = 0
    at.forEach((t, i) => { n += change.get(t)!; count[i] = n })
    this.known.set(key, (steps = { at, count }))
    return steps
  }
}

interface Headcount { readonly at: Int32Array; readonly count: Int32Array }

const rateOf = (job: Job, n: number): number => (n < job.handsFrom ? 0 : job.kind === 'shared' ? Math.min(n, job.handsTo) : 1)
const indexAt = (s: Headcount, t: number): number => lastFrom(s.at, t)
const countAt = (s: Headcount, t: number): number => s.count[indexAt(s, t)] ?? 0
