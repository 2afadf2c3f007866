/** What stands and what is taken while a run goes on: the ground on which its pieces are looked for and put down. */
import type { CureStage } from '../cure/types.ts'
import { NEVER } from '../schedule/model.ts'
import { FOREVER, type Profile } from '../schedule/profile.ts'
import type { Compiled, LJob } from './compile.ts'
import { Crowd } from './crowd.ts'
import type { Draws } from './draws.ts'
import { COMPETENCE, DATE, Found, grow, newTrace, PEOPLE, type Trace } from './found.ts'
import { RunSpans } from './spans.ts'
import { BLOCK, reached } from './weather.ts'

/** States of a task in a run. OFF: a wash that this run does without. */
export const OPEN = 0, PLACED = 1, FAILED = 2, DONE = 3, OFF = 4

export abstract class Ground {
  readonly c: Compiled
  readonly crowd: Crowd
  readonly trace: Trace
  readonly start: Int32Array
  readonly end: Int32Array
  readonly status: Uint8Array
  /** Person-minutes done again and done in all. */
  reworked = 0
  worked = 0
  protected readonly draws: Draws
  protected readonly left: Float64Array
  protected readonly begun: Uint8Array
  protected readonly appStart: Int32Array
  protected readonly appEnd: Int32Array
  protected readonly appPlace: Int32Array
  protected readonly lastPiece: Int32Array
  protected readonly missed: Uint8Array
  protected readonly held: Uint8Array
  protected readonly profiles: (Profile | null)[]
  protected readonly base: readonly (Profile | null)[]
  /** Things of which this run took something. */
  protected readonly taken: Uint8Array
  protected readonly dust: RunSpans[]
  protected readonly wet: RunSpans[]
  protected readonly lastOf: Int32Array
  protected readonly a: Found
  protected readonly b: Found
  protected readonly t1: Found
  protected readonly t2: Found
  protected readonly scratch: Found
  protected readonly trial: Found
  protected readonly repairs: readonly (LJob | null)[]
  /** What kept a start back, for the trace. */
  protected why = DATE
  protected after = -1
  protected blocked = 0
  protected blockedWhat = -1
  protected isTracing = true
  /** The coat that is next has been found a place from here on, in `t1`: it meets its windows. */
  protected metAt = -1

  constructor(c: Compiled, draws: Draws) {
    this.c = c
    this.draws = draws
    this.crowd = new Crowd(c, (name) => draws.key(name))
    const n = c.jobs.length
    this.start = new Int32Array(n)
    this.end = new Int32Array(n)
    this.status = new Uint8Array(n)
    this.left = new Float64Array(n)
    this.begun = new Uint8Array(n)
    this.appStart = new Int32Array(n)
    this.appEnd = new Int32Array(n)
    this.appPlace = new Int32Array(n)
    this.lastPiece = new Int32Array(n)
    this.missed = new Uint8Array(c.model.links.length)
    this.held = new Uint8Array(c.model.holds.length)
    this.base = c.profiles
    this.taken = new Uint8Array(c.profiles.length)
    this.profiles = c.profiles.map((p) => p && p.clone())
    this.dust = c.places.map(() => new RunSpans())
    this.wet = c.places.map(() => new RunSpans())
    this.lastOf = new Int32Array(c.people.length + 1)
    const most = c.stretches.start.length + c.people.length + 1
    this.a = new Found(most)
    this.b = new Found(most)
    this.t1 = new Found(most)
    this.t2 = new Found(most)
    this.scratch = new Found(most)
    this.trial = new Found(most)
    this.repairs = c.jobs.map((j) => (j.rework > 0 ? { ...j, smallest: j.product >= 0 ? 0 : 1, opens: [], closes: [], release: 0 } : null))
    this.trace = newTrace()
  }

  protected reset(): void {
    const { jobs, holds } = this.c
    this.trace.size = 0
    this.reworked = 0
    this.worked = 0
    this.begun.fill(0)
    this.missed.fill(0)
    this.lastOf.fill(-1)
    this.lastPiece.fill(-1)
    for (let k = 0; k < jobs.length; k++) {
      const j = jobs[k]!
      if (j.done) {
        this.status[k] = DONE
        this.start[k] = j.done.start
        this.end[k] = j.done.end
      } else {
        this.status[k] = OPEN
        this.left[k] = this.draws.work(k)
      }
    }
    for (let r = 0; r < this.base.length; r++) {
      if (this.taken[r] === 1) this.profiles[r]!.copy(this.base[r]!)
    }
    this.taken.fill(0)
    for (let h = 0; h < holds.length; h++) this.held[holds[h]!.index] = holds[h]!.since === null ? 0 : 1
    for (let p = 0; p < this.dust.length; p++) {
      this.dust[p]!.clear()
      this.wet[p]!.clear()
    }
  }

  /** Takes what a piece takes. */
  protected commit(j: LJob, f: Found, ready: number): void {
    const k = j.index
    const { crowd } = this
    if (this.begun[k] === 0) {
      this.start[k] = j.started ?? f.start
      this.begun[k] = 1
      for (let i = 0; i < j.opens.length; i++) {
        const h = j.opens[i]!
        if (this.held[h.index] !== 0) continue
        this.held[h.index] = 1
        this.take(h.resource, f.start, FOREVER, h.amount)
      }
    }
    this.end[k] = f.end
    this.appStart[k] = f.start + j.setUp
    this.appEnd[k] = f.end - j.clearUp
    this.appPlace[k] = f.place
    this.left[k] = this.left[k]! - f.did
    this.worked += j.kind === 'unattended' ? 0 : f.did / j.per
    for (let i = 0; i < f.n; i++) if (f.stretch[i]! >= 0) crowd.take(f.stretch[i]!, f.start, f.end, f.place)
    if (f.supervisor >= 0) crowd.addWatch(f.supervisor, f.start, f.end, f.place)
    if (f.end > f.start) {
      for (let i = 0; i < j.needs.length; i++) {
        const n = j.needs[i]!
        const to = n.until === null ? f.end : Math.max(f.end, this.stageAt(j, f.place, n.until, this.appStart[k]!, this.appEnd[k]!))
        this.take(n.resource, f.start, to, n.amount)
      }
    }
    if (f.place >= 0) {
      if (j.sensitive) this.wet[f.place]!.add(f.start, this.stageAt(j, f.place, 'dustFree', this.appStart[k]!, this.appEnd[k]!), k)
      if (j.dusty) this.dust[f.place]!.add(f.start, f.end, k)
    }
    if (this.isTracing) this.record(k, f, ready)
    this.lastPiece[k] = this.trace.size - 1
    for (let i = 0; i < f.n; i++) this.lastOf[f.people[i]!] = this.trace.size - 1
  }

  protected take(resource: number, from: number, to: number, amount: number): void {
    this.taken[resource] = 1
    this.profiles[resource]!.take(from, to, amount)
  }

  protected record(k: number, f: Found, ready: number): void {
    const t = this.trace
    if (t.size === t.job.length) grow(t)
    const i = t.size++
    t.job[i] = k
    t.start[i] = f.start
    t.end[i] = f.end
    let { after, why } = this
    let from = Math.min(ready, f.start)
    // Those who do it were at another of her tasks until later than it could have been: that is what it came after.
    for (let p = 0; p < f.n; p++) {
      const last = this.lastOf[f.people[p]!]!
      if (last >= 0 && last !== after && t.end[last]! > from && t.end[last]! <= f.start && f.wait[PEOPLE]! + f.wait[COMPETENCE]! > 0) {
        from = t.end[last]!
        after = last
        why = PEOPLE
      }
    }
    t.ready[i] = from
    t.why[i] = why
    t.after[i] = after
    t.what[i] = f.what
    let rest = f.start - from
    for (let cause = 8; cause >= 0; cause--) {
      if (cause === PEOPLE) continue
      const w = Math.min(rest, f.wait[cause]!)
      t.wait[i * 9 + cause] = w
      rest -= w
    }
    t.wait[i * 9 + PEOPLE] = rest
  }

  /** Instant of a stage of a coat that is on, or FOREVER. */
  protected stageOf(k: number, stage: CureStage): number {
    const j = this.c.jobs[k]!
    if (j.done) {
      const t = j.done.stages ? j.done.stages[stage] : j.done.end
      return t === NEVER ? FOREVER : t
    }
    return this.stageAt(j, this.appPlace[k]!, stage, this.appStart[k]!, this.appEnd[k]!)
  }

  protected stageAt(j: LJob, place: number, stage: CureStage, start: number, end: number): number {
    if (j.product < 0 || place < 0) return FOREVER
    if (this.c.isCured) return stage === 'closes' ? FOREVER : end
    return reached(this.draws.table(j.product, place, start), stage, start, end, this.c.horizon)
  }

  /** Mean level of temperature up to t, in deviations. */
  levelBy(t: number): number { return this.draws.levelBy(Math.floor(Math.max(0, t) / BLOCK)) }
}
