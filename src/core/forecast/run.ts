/**
 * One simulated launch after another: the plan's order of work, with the work, the people, the months and the faults that this run draws.
 *
 * - The pieces of the plan are gone through in their order. Each takes place as early as its task may go on and people of her team are free, those whom
 *   the plan names first; a task's last piece takes whatever is left of it. So with nothing drawn it comes out as planned, or very near.
 * - Other builds keep their pieces, places, things and holds. A thing that she holds she keeps until she is done with it.
 * - Who began what can't be broken off (a coat, a glue-up) ends it, also when it takes longer than they meant to stay: a stretch must have room for
 *   the work as estimated.
 * - Window: met if the next coat can be ended in it; else a coat may be held back for it as long as that costs less than missing it; else wash work first.
 *   Where no wash is known, the coat before is held back for it, and if that fails the next one goes on all the same.
 * - Maximum lags hold a task back in the same way, but are not insisted upon.
 * - Done again: after a task's end, or when a coat can be sanded; what follows waits for it, and a coat cures anew from there.
 * - Pinned pieces are not before their time. Frozen ones and those under way take place.
 */
import type { CureStage } from '../cure/types.ts'
import { NEVER } from '../schedule/model.ts'
import { lastOverlap, nextStart } from '../schedule/open-times.ts'
import { FOREVER, type Profile } from '../schedule/profile.ts'
import type { Compiled, LJob, LLink, LOption, LStep, Spans } from './compile.ts'
import { Crowd } from './crowd.ts'
import type { Draws } from './draws.ts'
import { BLOCK, nextOpen, reached } from './weather.ts'

/** Causes by number: as in CAUSES. */
export const WORK = 0, PEOPLE = 1, CURE = 2, COLD = 3, TOOL = 4, DELIVERY = 5, COMPETENCE = 6, PLACE = 7, DATE = 8

const OPEN = 0, PLACED = 1, FAILED = 2, DONE = 3, OFF = 4

/** Where and when a piece could be. */
class Found {
  start = 0
  end = 0
  /** Work done, in the task's unit. */
  did = 0
  n = 0
  readonly people: Int32Array
  readonly stretch: Int32Array
  supervisor = -1
  place = -1
  site = -1
  /** Minutes that each cause kept it. */
  readonly wait = new Float64Array(9)
  /** The thing that kept it last. */
  what = -1

  constructor(most: number) {
    this.people = new Int32Array(most)
    this.stretch = new Int32Array(most)
  }

  copy(o: Found): void {
    this.start = o.start
    this.end = o.end
    this.did = o.did
    this.n = o.n
    for (let i = 0; i < o.n; i++) {
      this.people[i] = o.people[i]!
      this.stretch[i] = o.stretch[i]!
    }
    this.supervisor = o.supervisor
    this.place = o.place
    this.site = o.site
    this.wait.set(o.wait)
    this.what = o.what
  }
}

/** What a run leaves to be walked back: pieces with what each waited for. */
export interface Trace {
  size: number
  job: Int32Array
  start: Int32Array
  end: Int32Array
  /** From when it could have been, by what kind of cause not before, and the piece that kept it (-1: none). */
  ready: Int32Array
  why: Uint8Array
  after: Int32Array
  /** Minutes from ready to start by cause, nine a piece. */
  wait: Float32Array
  what: Int32Array
}

export class Run {
  readonly c: Compiled
  readonly crowd: Crowd
  readonly trace: Trace
  readonly start: Int32Array
  readonly end: Int32Array
  readonly status: Uint8Array
  /** Person-minutes done again and done in all. */
  reworked = 0
  worked = 0
  private readonly draws: Draws
  private readonly left: Float64Array
  private readonly begun: Uint8Array
  private readonly appStart: Int32Array
  private readonly appEnd: Int32Array
  private readonly appPlace: Int32Array
  private readonly lastPiece: Int32Array
  private readonly missed: Uint8Array
  private readonly held: Uint8Array
  private readonly profiles: (Profile | null)[]
  private readonly base: readonly (Profile | null)[]
  private readonly dust: RunSpans[]
  private readonly wet: RunSpans[]
  private readonly lastOf: Int32Array
  private readonly a: Found
  private readonly b: Found
  private readonly t1: Found
  private readonly t2: Found
  private readonly scratch: Found
  private readonly trial: Found
  private readonly repairs: readonly (LJob | null)[]
  /** What kept a start back, for the trace. */
  private why = DATE
  private after = -1
  private blocked = 0
  private blockedWhat = -1
  private isTracing = true

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
    this.trace = {
      size: 0, job: new Int32Array(1024), start: new Int32Array(1024), end: new Int32Array(1024), ready: new Int32Array(1024), why: new Uint8Array(1024),
      after: new Int32Array(1024), wait: new Float32Array(9 * 1024), what: new Int32Array(1024),
    }
  }

  /** Launch of one run in minutes from now, or Infinity. */
  go(run: number, isTracing = true): number {
    const { c } = this
    if (c.launchJob === null) return Infinity
    this.isTracing = isTracing
    this.draws.run(run)
    this.crowd.reset(run, this.draws.level)
    this.reset()
    const { steps } = c
    for (let i = 0; i < steps.length; i++) {
      this.step(steps[i]!)
      if (c.launchJob >= 0 && this.status[c.launchJob] !== OPEN) {
        // What comes after the launch says nothing about it.
        break
      }
    }
    return this.launch()
  }

  private launch(): number {
    const { jobs, launchJob } = this.c
    const isIn = (k: number): boolean => this.status[k] === PLACED || this.status[k] === DONE
    if (launchJob! >= 0) return isIn(launchJob!) ? this.end[launchJob!]! : Infinity
    let last = -Infinity
    for (let k = 0; k < jobs.length; k++) {
      if (jobs[k]!.washOf !== null) continue
      if (!isIn(k)) return Infinity
      if (this.end[k]! > last) last = this.end[k]!
    }
    return last === -Infinity ? Infinity : last
  }

  private reset(): void {
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
      const p = this.base[r]
      if (p) this.profiles[r]!.copy(p)
    }
    for (let h = 0; h < holds.length; h++) this.held[holds[h]!.index] = holds[h]!.since === null ? 0 : 1
    for (let p = 0; p < this.dust.length; p++) {
      this.dust[p]!.size = 0
      this.wet[p]!.size = 0
    }
  }

  private step(s: LStep): void {
    const { jobs } = this.c
    const k = s.job
    const j = jobs[k]!
    if (this.status[k] !== OPEN) return
    let est: number
    if (this.begun[k] === 0) {
      if (j.washOf !== null && this.washSpared(j, j.washOf)) {
        this.status[k] = OFF
        return
      }
      est = this.linkStart(j)
      if (this.windowsMissed(j, est)) est = this.linkStart(j)
      if (est >= FOREVER) {
        this.status[k] = FAILED
        return
      }
    } else est = this.goOn(k)
    this.pieces(j, s, est, s.isLast)
  }

  /** Where a task goes on after its last piece. */
  private goOn(k: number): number {
    this.why = WORK
    this.after = this.lastPiece[k]!
    return this.end[k]!
  }

  /** Pieces of a task until what the step is for, or all of it, is done. */
  private pieces(j: LJob, s: LStep | null, from: number, all: boolean): void {
    const k = j.index
    let target = all ? this.left[k]! : Math.min(this.left[k]!, s!.target)
    let est = from
    if (s !== null && s.fixed !== null && this.keep(j, s, est)) target -= s.target
    else if (s !== null && s.notBefore > est) {
      est = s.notBefore
      this.why = DATE
      this.after = -1
    }
    if (this.begun[k] === 1 && this.end[k]! > est) est = this.goOn(k)
    this.crowd.prefer(s === null ? null : s.people)
    const zero = j.kind === 'unattended' && this.begun[k] === 0
    while (this.left[k]! > 0 && (target > 0 || all) || (zero && this.begun[k] === 0)) {
      if (all) target = this.left[k]!
      // What is too little for a piece of its own goes to the next step.
      else if (this.begun[k] === 1 && target < Math.min(j.smallest, this.left[k]!)) break
      if (!this.seek(j, est, this.left[k]!, target, s, this.a)) {
        this.status[k] = FAILED
        return
      }
      if (this.begun[k] === 0 && j.outOf.length > 0) this.holdBack(j, s, target)
      const { did } = this.a
      this.commit(j, this.a, est)
      target -= did
      est = this.goOn(k)
    }
    if (this.left[k]! <= 0 && this.begun[k] === 1) this.finish(j)
  }

  /** A piece that a person fixed, just as it is; false: it can't be, so it is looked for from its start on. */
  private keep(j: LJob, s: LStep, est: number): boolean {
    const f = this.a
    if (s.fixed === 'pinned' && est > s.start) return false
    const n = s.people.length
    const around = j.setUp + j.clearUp
    const hands = j.kind === 'shared' ? n : 1
    const place = s.place
    const site = place < 0 ? -1 : this.c.places[place]!.site
    if (j.kind !== 'unattended' && n === 0) return false
    if (s.fixed === 'pinned' && site >= 0) {
      for (let i = 0; i < n; i++) if (!this.crowd.isFree(s.people[i]!, site, Math.max(0, s.start), s.end)) return false
    }
    const worked = s.end - s.start - around
    const need = Math.ceil(this.left[j.index]! / hands)
    const w = j.kind === 'unattended' ? this.left[j.index]! : j.smallest === 0 ? need : Math.min(worked, need)
    f.start = s.start
    f.end = Math.max(s.start + around + w, Math.min(s.end, 0))
    f.did = Math.min(this.left[j.index]!, w * hands)
    f.n = n
    for (let i = 0; i < n; i++) {
      f.people[i] = s.people[i]!
      f.stretch[i] = -1
      if (site >= 0) this.crowd.takePerson(s.people[i]!, site, f.start, f.end, place)
    }
    f.supervisor = s.supervisor
    f.place = place
    f.site = site
    f.wait.fill(0)
    this.why = DATE
    this.after = -1
    this.commit(j, f, Math.min(f.start, Math.max(0, f.start)))
    return true
  }

  /** Takes what a piece takes. */
  private commit(j: LJob, f: Found, ready: number): void {
    const k = j.index
    const { crowd } = this
    if (this.begun[k] === 0) {
      this.start[k] = j.started ?? f.start
      this.begun[k] = 1
      for (let i = 0; i < j.opens.length; i++) {
        const h = j.opens[i]!
        if (this.held[h.index] !== 0) continue
        this.held[h.index] = 1
        this.profiles[h.resource]!.take(f.start, FOREVER, h.amount)
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
        this.profiles[n.resource]!.take(f.start, to, n.amount)
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

  private record(k: number, f: Found, ready: number): void {
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

  private finish(j: LJob): void {
    const k = j.index
    this.status[k] = PLACED
    const again = this.draws.again(k)
    const repair = this.repairs[k]
    if (again > 0 && repair) {
      this.reworked += again / j.per
      const sandable = j.product < 0 ? this.end[k]! : this.stageOf(k, 'sandable')
      let est = sandable >= FOREVER ? this.end[k]! : Math.max(this.end[k]!, sandable)
      this.why = j.product < 0 ? WORK : CURE
      this.after = this.lastPiece[k]!
      this.left[k] = again
      this.crowd.prefer(null)
      while (this.left[k]! > 0 && this.seek(repair, est, this.left[k]!, this.left[k]!, null, this.a)) {
        this.commit(repair, this.a, est)
        est = this.goOn(k)
      }
      if (this.left[k]! > 0) this.status[k] = FAILED
    }
    for (let i = 0; i < j.closes.length; i++) {
      const h = j.closes[i]!
      if (this.held[h.index] !== 1) continue
      this.held[h.index] = 2
      this.profiles[h.resource]!.take(this.end[k]!, FOREVER, -h.amount)
    }
  }

  // Links

  private isIn(k: number): boolean { return this.status[k] === PLACED || this.status[k] === DONE }

  /** Earliest start by links, release and material, with what it waits for; FOREVER: never. */
  private linkStart(j: LJob): number {
    let est = Math.max(0, j.release)
    this.why = est > 0 && j.releaseIs === 'delivery' ? DELIVERY : DATE
    this.after = -1
    if (j.washOf !== null) {
      const { from } = j.washOf
      if (this.status[from] === FAILED) return FOREVER
      const at = this.stageOf(from, 'sandable')
      if (at > est) {
        est = at
        this.why = CURE
        this.after = this.lastPiece[from]!
      }
      return est
    }
    for (let i = 0; i < j.into.length; i++) {
      const link = j.into[i]!
      if (this.status[link.from] === FAILED) return FOREVER
      if (!this.isIn(link.from) && !(link.kind === 'lag' && link.edge === 'start' && this.begun[link.from] === 1)) continue
      const at = this.leastStart(j, link)
      if (at > est || (at === est && this.after < 0)) {
        est = at
        this.after = this.lastPiece[link.from]!
        this.why = WORK
        if (link.kind === 'stage') this.why = CURE
        else if (link.kind === 'window') {
          this.why = CURE
          if (this.isMissed(link) && link.wash >= 0 && this.status[link.wash] === PLACED) {
            this.after = this.lastPiece[link.wash]!
            this.why = WORK
          }
        } else if (link.kind === 'finish' && link.lag > 0) this.why = CURE
        else if (link.kind === 'lag' && at > this.end[link.from]!) this.why = DATE
      }
    }
    return est
  }

  private isMissed(link: LLink): boolean {
    return link.kind === 'window' && (link.state === 'missed' || link.state === 'washed' || this.missed[link.index] === 1)
  }

  private leastStart(j: LJob, link: LLink): number {
    const { from } = link
    switch (link.kind) {
      case 'finish': return this.end[from]! + link.lag
      case 'lag': return link.min === null ? -FOREVER : (link.edge === 'finish' ? this.end[from]! : this.start[from]!) + link.min
      case 'stage': return this.stageOf(from, link.stage)
      case 'window': {
        if (link.state === 'washed') return link.washedAt
        if (this.isMissed(link)) return this.status[link.wash] === FAILED ? FOREVER : this.status[link.wash] === PLACED ? this.end[link.wash]! : this.end[from]!
        const opens = this.stageOf(from, 'opens')
        return opens >= FOREVER ? opens : opens - j.setUp
      }
    }
  }

  /** Instant of a stage of a coat that is on, or FOREVER. */
  private stageOf(k: number, stage: CureStage): number {
    const j = this.c.jobs[k]!
    if (j.done) {
      const t = j.done.stages ? j.done.stages[stage] : j.done.end
      return t === NEVER ? FOREVER : t
    }
    return this.stageAt(j, this.appPlace[k]!, stage, this.appStart[k]!, this.appEnd[k]!)
  }

  private stageAt(j: LJob, place: number, stage: CureStage, start: number, end: number): number {
    if (j.product < 0 || place < 0) return FOREVER
    if (this.c.isCured) return stage === 'closes' ? FOREVER : end
    return reached(this.draws.table(j.product, place, start), stage, start, end, this.c.horizon)
  }

  /** Missed windows of a coat that is next: their wash work is put in. @returns whether any is newly missed */
  private windowsMissed(j: LJob, est: number): boolean {
    let isNew = false
    let closes = FOREVER
    let isTied = false
    for (let i = 0; i < j.into.length; i++) {
      const link = j.into[i]!
      if (link.kind !== 'window') continue
      if (link.state === 'missed') {
        if (this.status[link.wash] === OPEN) this.washNow(link.wash)
        isNew = true
      } else if (link.state === 'open' && this.missed[link.index] === 0 && this.isIn(link.from)) {
        isTied = true
        closes = Math.min(closes, this.stageOf(link.from, 'closes'))
      }
    }
    // linkStart was asked with all windows open: FOREVER then is a window that never opens.
    if (!isTied) return isNew
    const open = isNew ? this.linkStart(j) : est
    const canMeet = open < FOREVER && this.seek(j, open, this.left[j.index]!, this.left[j.index]!, null, this.t1) && this.t1.end - j.clearUp <= closes
    if (canMeet) return isNew
    for (let i = 0; i < j.into.length; i++) {
      const link = j.into[i]!
      if (link.kind !== 'window' || link.state !== 'open' || this.missed[link.index] === 1 || !this.isIn(link.from)) continue
      if (open < FOREVER && this.t1.end - j.clearUp <= this.stageOf(link.from, 'closes')) continue
      this.missed[link.index] = 1
      if (this.status[link.wash] === OFF) this.status[link.wash] = OPEN
      if (this.status[link.wash] === OPEN) this.washNow(link.wash)
      isNew = true
    }
    return isNew
  }

  /** All the wash work at once, from when the coat can be sanded. */
  private washNow(k: number): void {
    const j = this.c.jobs[k]!
    const est = this.begun[k] === 1 ? this.goOn(k) : this.linkStart(j)
    if (est >= FOREVER) this.status[k] = FAILED
    else this.pieces(j, null, est, true)
  }

  /** The plan has a wash that this run may do without: its window can be met as things stand. */
  private washSpared(j: LJob, link: LLink): boolean {
    if (link.kind !== 'window' || link.state !== 'open' || this.missed[link.index] === 1) return false
    const to = this.c.jobs[link.to]!
    if (this.status[link.to] !== OPEN) return true
    let isKnown = this.isIn(link.from)
    for (let i = 0; i < to.into.length; i++) if (!this.isIn(to.into[i]!.from)) isKnown = false
    if (isKnown) {
      const est = this.linkStart(to)
      const closes = this.stageOf(link.from, 'closes')
      const canMeet = est < FOREVER && this.seek(to, est, this.left[link.to]!, this.left[link.to]!, null, this.t1) && this.t1.end - to.clearUp <= closes
      if (canMeet && !(link.chosen && this.isSooner(j, to, link, this.t1.end))) return true
    }
    this.missed[link.index] = 1
    return false
  }

  /** Washing first ends the next coat sooner than meeting the window, which ends it at `met`. */
  private isSooner(wash: LJob, to: LJob, link: LLink, met: number): boolean {
    const [whole, coat] = [this.left[wash.index]!, this.left[to.index]!]
    const sandable = this.stageOf(link.from, 'sandable')
    return sandable < FOREVER && this.seek(wash, sandable, whole, whole, null, this.t2) && this.seek(to, this.t2.end, coat, coat, null, this.t2) && this.t2.end < met
  }

  /** Puts the first piece (in `a`) later where what follows asks for it: a window that would close too soon, a maximum lag. */
  private holdBack(j: LJob, s: LStep | null, target: number): void {
    for (let i = 0; i < j.outOf.length; i++) {
      const link = j.outOf[i]!
      if (this.status[link.to] !== OPEN) continue
      if (link.kind === 'lag' ? link.max === null || this.c.jobs[link.to]!.started !== null : link.kind !== 'window' || link.state !== 'open' && link.state !== 'hard' || link.chosen) continue
      this.b.copy(this.a)
      const tries = link.kind === 'window' && link.state === 'hard' ? 40 : 6
      for (let n = 0; n < tries; n++) {
        let over = this.tooSoon(j, link, this.b)
        if (over <= 0) {
          if (n > 0 && this.isWorth(j, link)) this.a.copy(this.b)
          break
        }
        // The plan knows a moment that does.
        if (n === 2 && link.kind === 'window' && link.met && this.b.start < j.plannedStart) over = Math.max(over, j.plannedStart - this.b.start)
        if (over >= FOREVER || !this.seek(j, this.b.start + over, this.left[j.index]!, target, s, this.t2)) break
        this.b.copy(this.t2)
      }
    }
  }

  /** By how much a first piece `f` would have to be later for this link; 0: it is well. */
  private tooSoon(j: LJob, link: LLink, f: Found): number {
    const to = this.c.jobs[link.to]!
    let est = Math.max(0, to.release)
    for (let i = 0; i < to.into.length; i++) {
      const l = to.into[i]!
      if (l.from === j.index) continue
      if (this.isIn(l.from)) est = Math.max(est, this.leastStart(to, l))
      // What isn't there yet is not before the plan had it.
      else est = Math.max(est, to.plannedStart)
    }
    if (est >= FOREVER) return 0
    const whole = this.left[link.to]!
    if (link.kind === 'lag') {
      const edge = link.edge === 'start' ? f.start : f.end
      if (!this.seek(to, Math.max(est, edge + (link.min ?? 0), f.end), whole, whole, null, this.t1)) return FOREVER
      return Math.max(0, this.t1.start - link.max! - edge)
    }
    const [start, end] = [f.start + j.setUp, f.end - j.clearUp]
    const opens = this.stageAt(j, f.place, 'opens', start, end)
    const closes = this.stageAt(j, f.place, 'closes', start, end)
    if (opens >= closes || opens >= FOREVER || !this.seek(to, Math.max(est, opens - to.setUp), whole, whole, null, this.t1)) return FOREVER
    return Math.max(0, this.t1.end - to.clearUp - closes)
  }

  /** Holding the coat back to `b` (next coat then as in `t1`) against missing the window. */
  private isWorth(j: LJob, link: LLink): boolean {
    if (link.kind !== 'window' || link.state === 'hard') return true
    if (link.met && j.isHeldBack && this.b.start <= j.plannedStart) return true
    const met = this.t1.end
    const to = this.c.jobs[link.to]!
    const wash = this.c.jobs[link.wash]!
    const sandable = this.stageAt(j, this.a.place, 'sandable', this.a.start + j.setUp, this.a.end - j.clearUp)
    if (sandable >= FOREVER || !this.seek(wash, sandable, this.left[link.wash]!, this.left[link.wash]!, null, this.t2)) return true
    const washed = this.t2.end
    if (!this.seek(to, washed, this.left[link.to]!, this.left[link.to]!, null, this.t2)) return true
    return met <= this.t2.end + this.c.missedCost
  }

  // Where a piece may be

  /**
   * The earliest piece of a task from `est` on: of what can't be divided all of it, the earliest end; else the earliest start, and the most of
   * `target` (or of what is left, if that is less) that the stretch gives.
   */
  private seek(j: LJob, est: number, left: number, target: number, s: LStep | null, out: Found): boolean {
    let found = false
    for (let i = 0; i < j.options.length; i++) {
      const o = j.options[i]!
      const f = i === 0 ? out : this.scratch
      f.wait.fill(0)
      f.what = -1
      const isIn = j.kind === 'unattended' ? this.alone(j, o, est, left, f) : j.smallest === 0 ? this.whole(j, o, est, left, s, f) : this.part(j, o, est, left, target, s, f)
      if (!isIn) continue
      if (i === 0) found = true
      else if (!found || (j.smallest === 0 ? f.end < out.end : f.start < out.start || (f.start === out.start && f.did > out.did))) {
        out.copy(f)
        found = true
      }
    }
    return found
  }

  private alone(j: LJob, o: LOption, est: number, left: number, f: Found): boolean {
    let t = est
    for (;;) {
      if (t + left > this.c.horizon) return false
      const later = this.until(j, o, t, t + left)
      if (later <= t) break
      this.waits(f, later - t)
      t = later
    }
    f.start = t
    f.end = t + left
    f.did = left
    f.n = 0
    f.supervisor = -1
    f.place = o.place
    f.site = o.site
    return true
  }

  private waits(f: Found, by: number): void {
    f.wait[this.blocked]! += by
    f.what = this.blockedWhat
  }

  /** One undivided piece: the hands of the plan, or others where that ends earlier. */
  private whole(j: LJob, o: LOption, est: number, left: number, s: LStep | null, f: Found): boolean {
    const planned = s === null ? j.handsTo : Math.min(j.handsTo, Math.max(j.handsFrom, s.people.length))
    const most = this.mostHands(j, s, est)
    let limit = this.c.horizon
    let found = this.wholeWith(j, o, est, left, planned, limit, s, f)
    if (j.handsFrom === j.handsTo) return found
    if (found) limit = f.end - 1
    for (let h = most; h >= j.handsFrom; h--) {
      if (h === planned) continue
      this.trial.wait.fill(0)
      this.trial.what = -1
      if (!this.wholeWith(j, o, est, left, h, limit, s, this.trial)) continue
      f.copy(this.trial)
      limit = f.end - 1
      found = true
    }
    return found
  }

  /**
   * As long as a piece is where the plan has it, the hands of the plan: the others are needed elsewhere then. Later, and for hands that the plan didn't
   * know of, whoever is there.
   */
  private mostHands(j: LJob, s: LStep | null, t: number): number {
    if (s === null || t >= s.end) return j.handsTo
    return Math.min(j.handsTo, Math.max(j.handsFrom, s.people.length) + this.c.moreHands)
  }

  private wholeWith(j: LJob, o: LOption, est: number, left: number, h: number, limit: number, s: LStep | null, f: Found): boolean {
    const { crowd } = this
    const around = j.setUp + j.clearUp
    const hands = j.kind === 'shared' ? h : 1
    const length = around + Math.ceil(left / hands)
    // It may outlast the stretch, but a stretch has to have room for it as it was meant.
    const room = around + Math.ceil(Math.min(left, j.work) / hands)
    let t = est
    for (;;) {
      if (t + length > limit) return false
      const later = this.until(j, o, t, t + room)
      if (later > t) {
        this.waits(f, later - t)
        t = later
        continue
      }
      let next = crowd.earliest(o.site, t, room, h)
      if (next < 0) return false
      if (next === t) {
        if (crowd.gather(o.site, o.place, t, room) >= h && crowd.choose(j, o.site, o.place, t, t + room, h, s === null ? -1 : s.supervisor)) break
        next = crowd.nextGap(o.site, t, 1)
        if (next < 0) return false
        f.wait[j.competences.length > 0 ? COMPETENCE : PEOPLE]! += next - t
      } else f.wait[PEOPLE]! += next - t
      t = next
    }
    this.fill(f, o, t, t + length, left, h)
    return true
  }

  private fill(f: Found, o: LOption, start: number, end: number, did: number, h: number): void {
    const { crowd } = this
    f.start = start
    f.end = end
    f.did = did
    f.n = h
    for (let i = 0; i < h; i++) {
      f.people[i] = crowd.picked[i]!
      f.stretch[i] = crowd.pickedStretch[i]!
    }
    f.supervisor = crowd.supervisor
    f.place = o.place
    f.site = o.site
  }

  private part(j: LJob, o: LOption, est: number, left: number, target: number, s: LStep | null, f: Found): boolean {
    const { crowd } = this
    const around = j.setUp + j.clearUp
    const isShared = j.kind === 'shared'
    const most = j.handsTo
    const least = isShared ? Math.ceil(left / most) : left
    const shortest = around + Math.min(j.smallest, least)
    let t = est
    for (;;) {
      if (t + shortest > this.c.horizon) return false
      const later = this.until(j, o, t, t + shortest)
      if (later > t) {
        this.waits(f, later - t)
        t = later
        continue
      }
      let next = crowd.earliest(o.site, t, shortest, j.handsFrom)
      if (next < 0) return false
      if (next > t) {
        f.wait[PEOPLE]! += next - t
        t = next
        continue
      }
      const here = crowd.gather(o.site, o.place, t, shortest)
      const clear = this.clearUntil(j, o, t)
      const covered = j.competences.length > 0 && here >= j.handsFrom ? crowd.coveredUntil(j, o.site, o.place, t) : FOREVER
      let bestW = 0
      let bestH = 0
      for (let h = Math.min(this.mostHands(j, s, t), here); h >= j.handsFrom; h--) {
        const end = Math.min(clear, covered, crowd.untilOf(h))
        const need = isShared ? Math.ceil(target / h) : target
        const w = Math.min(need, end - t - around)
        if (w < 1 || (w < j.smallest && (isShared ? w * h : w) < left)) continue
        if (bestH > 0 && !this.isBetter(isShared, w, h, bestW, bestH, target)) continue
        bestW = w
        bestH = h
      }
      if (bestH > 0 && crowd.choose(j, o.site, o.place, t, t + around + bestW, bestH, s === null ? -1 : s.supervisor)) {
        this.fill(f, o, t, t + around + bestW, Math.min(left, isShared ? bestW * bestH : bestW), bestH)
        return true
      }
      next = crowd.nextGap(o.site, t, 1)
      if (clear > t && clear < this.c.horizon && (next < 0 || clear < next)) next = clear
      if (next < 0) return false
      f.wait[covered <= t ? COMPETENCE : PEOPLE]! += next - t
      t = next
    }
  }

  /** What completes the target beats what doesn't; then the earlier end with fewer hands, or the more done. */
  private isBetter(isShared: boolean, w: number, h: number, otherW: number, otherH: number, target: number): boolean {
    const did = isShared ? w * h : w
    const other = isShared ? otherW * otherH : otherW
    if (did >= target !== other >= target) return did >= target
    if (did >= target) return w < otherW || (w === otherW && h < otherH)
    return did > other
  }

  /** At most t: [t, end) is free for a piece, people apart; else an instant before which none can start, with the cause in `blocked`. */
  private until(j: LJob, o: LOption, t: number, end: number): number {
    let later = -1
    if (o.place >= 0) {
      const place = this.c.places[o.place]!
      if (place.closed.start.length > 0) {
        later = lastOverlap(place.closed, t, end)
        this.blocked = PLACE
        this.blockedWhat = o.place
      }
      if (o.gates !== null) {
        const open = nextOpen(o.gates, this.draws.levels, t + j.setUp, this.c.horizon)
        if (open >= FOREVER) return FOREVER
        if (open > t + j.setUp && open - j.setUp > later) {
          later = open - j.setUp
          this.blocked = COLD
          this.blockedWhat = o.place
        }
      }
      if (j.sensitive || j.dusty) {
        const clean = this.cleanFrom(j, o.place, place.settle, t, end)
        if (clean > later && clean > t) {
          later = clean
          this.blocked = PLACE
          this.blockedWhat = o.place
        }
      }
    }
    if (end > t) {
      for (let i = 0; i < j.needs.length; i++) {
        const n = j.needs[i]!
        const to = n.until === null ? end : Math.max(end, this.stageAt(j, o.place, n.until, t + j.setUp, end - j.clearUp))
        const free = this.profiles[n.resource]!.conflict(t, to, n.asked + this.opening(j, n.resource))
        if (free > later) {
          later = free
          this.blocked = TOOL
          this.blockedWhat = n.resource
        }
      }
    }
    if (this.begun[j.index] === 0) {
      for (let i = 0; i < j.opens.length; i++) {
        const h = j.opens[i]!
        if (this.held[h.index] !== 0) continue
        const free = this.profiles[h.resource]!.conflict(t, Math.min(FOREVER, t + h.length), this.opening(j, h.resource))
        if (free > later) {
          later = free
          this.blocked = TOOL
          this.blockedWhat = h.resource
        }
      }
    }
    return later
  }

  private opening(j: LJob, resource: number): number {
    let sum = 0
    for (let i = 0; i < j.opens.length; i++) {
      const h = j.opens[i]!
      if (this.held[h.index] === 0 && h.resource === resource) sum += h.amount
    }
    return sum
  }

  /** The end of dust or wet film that keeps a coat or dusty work from [t, end), or -1. */
  private cleanFrom(j: LJob, place: number, settle: number, t: number, end: number): number {
    let later = -1
    const p = this.c.places[place]!
    if (j.sensitive) {
      const own = this.dust[place]!
      if (p.dust.start.length > 0 || own.size > 0) {
        const dry = this.stageAt(j, place, 'dustFree', t + j.setUp, end - j.clearUp)
        later = Math.max(later, latestIn(p.dust, t - settle, dry, settle), own.latest(j.index, t - settle, dry, settle))
      }
    }
    if (j.dusty) later = Math.max(later, latestIn(p.wet, t, end + settle, 0), this.wet[place]!.latest(j.index, t, end + settle, 0))
    return later
  }

  /** How long a piece that may start at t can go on, people apart. */
  private clearUntil(j: LJob, o: LOption, t: number): number {
    let end = this.c.horizon
    for (let i = 0; i < j.needs.length; i++) {
      const n = j.needs[i]!
      end = Math.min(end, this.profiles[n.resource]!.shortFrom(t, n.asked + this.opening(j, n.resource)))
    }
    if (o.place < 0) return end
    const place = this.c.places[o.place]!
    if (place.closed.start.length > 0) end = nextStart(place.closed, t, end)
    if (j.dusty) {
      end = Math.min(end, firstIn(place.wet, t, end + place.settle) - place.settle, this.wet[o.place]!.first(j.index, t, end + place.settle) - place.settle)
    }
    return end
  }

  /** Mean level of temperature up to t, in deviations. */
  levelBy(t: number): number { return this.draws.levelBy(Math.floor(Math.max(0, t) / BLOCK)) }
}

/** Dust or wet films of this run in one place. */
class RunSpans {
  size = 0
  private readonly start: number[] = []
  private readonly end: number[] = []
  private readonly job: number[] = []

  add(start: number, end: number, job: number): void {
    const i = this.size++
    this.start[i] = start
    this.end[i] = end
    this.job[i] = job
  }

  /** Latest end (+ settle) of those of other tasks that begin before `to` and end after `from`, or -1. */
  latest(job: number, from: number, to: number, settle: number): number {
    let later = -1
    for (let i = 0; i < this.size; i++) {
      if (this.start[i]! < to && this.end[i]! > from && this.job[i] !== job && this.end[i]! + settle > later) later = this.end[i]! + settle
    }
    return later
  }

  /** The first start, of those of other tasks that end after t, or `to`. */
  first(job: number, t: number, to: number): number {
    let first = to
    for (let i = 0; i < this.size; i++) if (this.end[i]! > t && this.job[i] !== job && this.start[i]! < first) first = this.start[i]!
    return first
  }
}

function before(rows: Spans, t: number): number {
  let lo = -1
  let hi = rows.start.length - 1
  while (lo < hi) {
    const mid = (lo + hi + 1) >> 1
    if (rows.start[mid]! < t) lo = mid
    else hi = mid - 1
  }
  return lo
}

function latestIn(rows: Spans, from: number, to: number, settle: number): number {
  let later = -1
  for (let i = before(rows, to); i >= 0 && rows.ends[i]! > from; i--) if (rows.end[i]! > from && rows.end[i]! + settle > later) later = rows.end[i]! + settle
  return later
}

function firstIn(rows: Spans, t: number, to: number): number {
  let first = to
  for (let i = before(rows, to); i >= 0 && rows.ends[i]! > t; i--) if (rows.end[i]! > t && rows.start[i]! < first) first = rows.start[i]!
  return first
}

function grow(t: Trace): void {
  const wider = <A extends Int32Array | Uint8Array | Float32Array>(a: A): A => {
    const b = new (a.constructor as new (n: number) => A)(a.length * 2)
    b.set(a)
    return b
  }
  t.job = wider(t.job)
  t.start = wider(t.start)
  t.end = wider(t.end)
  t.ready = wider(t.ready)
  t.why = wider(t.why)
  t.after = wider(t.after)
  t.wait = wider(t.wait)
  t.what = wider(t.what)
}
