/** A plan in the making: who and what is still free, what is placed. Every change can be taken back, last first. */
import { FOREVER, type Profile } from './profile.ts'
import { lastFrom } from './open-times.ts'
import { LONG_AGO, NEVER, type Draft, type Job, type Model } from './model.ts'
import type { CureStage } from '../cure/types.ts'

/** Not yet looked at; in the plan; finished by fact; can't be planned; a wash that isn't needed. */
export const OPEN = 0
export const PLACED = 1
export const DONE = 2
export const FAILED = 3
export const OFF = 4

/** A person's free stretches, each within one presence row. */
export interface Free { readonly start: Int32Array; readonly end: Int32Array; readonly site: Int32Array }
export interface Busy { readonly start: number; readonly end: number; readonly place: number }
/** A wet film [start, dust-free), or dusty work [start, end). Job -1: a fact without a task. */
export interface Stretch { readonly start: number; readonly end: number; readonly job: number }

export class State {
  readonly model: Model
  readonly free: Free[]
  readonly work: (readonly Busy[])[]
  readonly supervising: (readonly Busy[])[]
  readonly avail: Profile[]
  readonly wet: Stretch[][]
  readonly dust: Stretch[][]
  readonly status: Uint8Array
  readonly start: Int32Array
  readonly end: Int32Array
  readonly drafts: (readonly Draft[])[]
  /** Per hold: 0 not begun, 1 open to the horizon, 2 closed. */
  readonly held: Uint8Array
  private readonly trail: (() => void)[] = []
  /** Jobs placed or taken back so far. */
  assignments = 0

  constructor(model: Model, from?: State) {
    this.model = model
    if (from) {
      this.free = [...from.free]
      this.work = [...from.work]
      this.supervising = [...from.supervising]
      this.avail = from.avail.map((a) => a.clone())
      this.wet = from.wet.map((w) => [...w])
      this.dust = from.dust.map((w) => [...w])
      this.status = from.status.slice()
      this.start = from.start.slice()
      this.end = from.end.slice()
      this.drafts = [...from.drafts]
      this.held = from.held.slice()
      return
    }
    this.free = model.people.map((q) => ({ start: q.rows.start, end: q.rows.end, site: q.rows.site }))
    this.work = model.people.map(() => [])
    this.supervising = model.people.map(() => [])
    this.avail = model.resources.map((r) => r.capacity.clone())
    this.wet = model.places.map(() => [])
    this.dust = model.places.map((q) => (q.lastDust > LONG_AGO ? [{ start: LONG_AGO, end: q.lastDust, job: -1 }] : []))
    this.status = new Uint8Array(model.jobs.length)
    this.start = new Int32Array(model.jobs.length)
    this.end = new Int32Array(model.jobs.length)
    this.drafts = model.jobs.map(() => [])
    this.held = new Uint8Array(model.holds.length)
    this.facts()
  }

  private facts(): void {
    const { model } = this
    for (const j of model.jobs) {
      if (j.done) {
        this.status[j.index] = DONE
        this.start[j.index] = j.done.start
        this.end[j.index] = j.done.end
        if (j.done.stages) {
          for (const n of j.needs) {
            if (n.until === null) continue
            const t = j.done.stages[n.until]
            this.avail[n.resource]!.take(j.done.start, t === NEVER ? FOREVER : t, n.amount)
          }
          if (j.sensitive && j.done.place >= 0) {
            const f = j.done.stages.dustFree
            this.wet[j.done.place]!.push({ start: j.done.start, end: f === NEVER ? FOREVER : f, job: j.index })
          }
        }
      } else if (j.paused) this.status[j.index] = FAILED
      else if (j.washOf >= 0) {
        const link = model.links[j.washOf]!
        if (link.kind === 'window' && (link.state !== 'missed' || model.jobs[link.to]!.done)) this.status[j.index] = OFF
      }
    }
    for (const h of model.holds) {
      const from = model.jobs[h.from]!
      const to = model.jobs[h.to]!
      if (!from.done && from.startedAt === null) continue
      this.held[h.index] = to.done ? 2 : 1
      this.avail[h.resource]!.take(LONG_AGO, to.done ? to.done.end : FOREVER, h.amount)
    }
  }

  mark(): number { return this.trail.length }

  undo(mark: number): void {
    while (this.trail.length > mark) this.trail.pop()!()
  }

  setStatus(job: number, status: number): void {
    const before = this.status[job]!
    this.status[job] = status
    this.trail.push(() => { this.status[job] = before })
  }

  /** Takes what the pieces take. `done`: the job is complete with them and with those it had. */
  place(job: Job, added: readonly Draft[], done: boolean): void {
    const k = job.index
    this.assignments++
    const undo: (() => void)[] = []
    const before = this.drafts[k]!
    const all = before.length === 0 ? added : [...before, ...added].sort((a, b) => a.start - b.start)
    const was = { status: this.status[k]!, start: this.start[k]!, end: this.end[k]! }
    this.drafts[k] = all
    if (all.length > 0) {
      this.start[k] = all[0]!.start
      this.end[k] = all[all.length - 1]!.end
    }
    if (done) this.status[k] = PLACED
    for (const d of added) this.take(job, d, undo)
    if (before.length === 0) for (const h of job.opens) this.open(h, undo)
    if (done) for (const h of job.closes) this.close(h, undo)
    this.trail.push(() => {
      for (let i = undo.length - 1; i >= 0; i--) undo[i]!()
      this.drafts[k] = before
      this.status[k] = was.status
      this.start[k] = was.start
      this.end[k] = was.end
      this.assignments++
    })
  }

  private take(job: Job, d: Draft, undo: (() => void)[]): void {
    for (const p of d.people) {
      const free = this.free[p]!
      const work = this.work[p]!
      this.free[p] = cut(free, d.start, d.end)
      this.work[p] = [...work, { start: d.start, end: d.end, place: d.place }]
      undo.push(() => { this.free[p] = free; this.work[p] = work })
    }
    if (d.supervisor >= 0) {
      const s = d.supervisor
      const was = this.supervising[s]!
      this.supervising[s] = [...was, { start: d.start, end: d.end, place: d.place }]
      undo.push(() => { this.supervising[s] = was })
    }
    if (d.end > d.start) {
      for (const n of job.needs) {
        const to = this.neededUntil(job, n.until, d)
        const avail = this.avail[n.resource]!
        avail.take(d.start, to, n.amount)
        undo.push(() => avail.take(d.start, to, -n.amount))
      }
    }
    if (d.place < 0) return
    if (job.sensitive) {
      const f = this.model.stageAt(job.product, d.place, 'dustFree', d.start + job.setUp, d.end - job.clearUp)
      const wet = this.wet[d.place]!
      wet.push({ start: d.start, end: f === NEVER ? FOREVER : f, job: job.index })
      undo.push(() => wet.pop())
    }
    if (job.dusty) {
      const dust = this.dust[d.place]!
      dust.push({ start: d.start, end: d.end, job: job.index })
      undo.push(() => dust.pop())
    }
  }

  /** No piece may start before: its release, and its material unless a person fixed a piece of it. */
  released(job: Job): number {
    if (!job.waits || this.drafts[job.index]!.some((d) => d.fixed >= 0)) return job.release
    return Math.max(job.release, job.waits.at)
  }

  /** Until when a piece takes a resource. */
  neededUntil(job: Job, until: CureStage | null, d: { readonly start: number; readonly end: number; readonly place: number }): number {
    if (until === null) return d.end
    const t = job.product < 0 ? NEVER : this.model.stageAt(job.product, d.place, until, d.start + job.setUp, d.end - job.clearUp)
    return t === NEVER ? FOREVER : Math.max(d.end, t)
  }

  private open(h: number, undo: (() => void)[]): void {
    if (this.held[h] !== 0) return
    const { resource, amount, from, to } = this.model.holds[h]!
    const closed = this.status[to] === PLACED || this.status[to] === DONE
    const start = this.start[from]!
    const end = closed ? this.end[to]! : FOREVER
    const avail = this.avail[resource]!
    avail.take(start, end, amount)
    this.held[h] = closed ? 2 : 1
    undo.push(() => { avail.take(start, end, -amount); this.held[h] = 0 })
  }

  private close(h: number, undo: (() => void)[]): void {
    if (this.held[h] !== 1) return
    const { resource, amount, from, to } = this.model.holds[h]!
    const since = Math.max(this.end[to]!, this.status[from] === DONE ? LONG_AGO : this.start[from]!)
    const avail = this.avail[resource]!
    avail.take(since, FOREVER, -amount)
    this.held[h] = 2
    undo.push(() => { avail.take(since, FOREVER, amount); this.held[h] = 1 })
  }

  /** Instant of a cure stage of a placed or finished coat, or NEVER. */
  stage(k: number, stage: CureStage): number {
    const job = this.model.jobs[k]!
    if (job.done) return job.done.stages ? job.done.stages[stage] : NEVER
    const d = this.drafts[k]![0]
    if (!d || job.product < 0) return NEVER
    return this.model.stageAt(job.product, d.place, stage, d.start + job.setUp, d.end - job.clearUp)
  }
}

/** The free stretches without [from, to). */
function cut(f: Free, from: number, to: number): Free {
  const i = lastFrom(f.start, from)
  if (i < 0 || f.end[i]! < to || to <= from) return cutMany(f, from, to)
  const left = f.start[i]! < from ? 1 : 0
  const right = f.end[i]! > to ? 1 : 0
  const n = f.start.length - 1 + left + right
  const start = new Int32Array(n)
  const end = new Int32Array(n)
  const site = new Int32Array(n)
  const put = (src: Int32Array, dst: Int32Array): void => {
    dst.set(src.subarray(0, i))
    dst.set(src.subarray(i + 1), i + left + right)
  }
  put(f.start, start)
  put(f.end, end)
  put(f.site, site)
  let at = i
  if (left) { start[at] = f.start[i]!; end[at] = from; site[at++] = f.site[i]! }
  if (right) { start[at] = to; end[at] = f.end[i]!; site[at] = f.site[i]! }
  return { start, end, site }
}

/** For kept pieces that reach outside presence. */
function cutMany(f: Free, from: number, to: number): Free {
  const rows: [number, number, number][] = []
  for (let i = 0; i < f.start.length; i++) {
    const s = f.start[i]!
    const e = f.end[i]!
    if (e <= from || s >= to) rows.push([s, e, f.site[i]!])
    else {
      if (s < from) rows.push([s, from, f.site[i]!])
      if (e > to) rows.push([to, e, f.site[i]!])
    }
  }
  return { start: Int32Array.from(rows, (r) => r[0]), end: Int32Array.from(rows, (r) => r[1]), site: Int32Array.from(rows, (r) => r[2]) }
}
