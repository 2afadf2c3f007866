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
import { FOREVER } from '../schedule/profile.ts'
import type { LJob, LStep } from './compile.ts'
import { CURE, DATE, WORK } from './found.ts'
import { DONE, FAILED, OFF, OPEN, PLACED } from './ground.ts'
import { Linker } from './links.ts'

export class Run extends Linker {
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

  private step(s: LStep): void {
    const { jobs } = this.c
    const k = s.job
    const j = jobs[k]!
    if (this.status[k] !== OPEN) return
    this.metAt = -1
    let est: number
    if (this.begun[k] === 0) {
      if (j.washOf !== null && this.washSpared(j, j.washOf)) {
        this.status[k] = OFF
        return
      }
      est = this.linkStart(j)
      this.crowd.prefer(s.people)
      if (this.windowsMissed(j, s, est)) est = this.linkStart(j)
      if (est >= FOREVER) {
        this.status[k] = FAILED
        return
      }
    } else est = this.goOn(k)
    this.pieces(j, s, est, s.isLast)
  }

  protected pieces(j: LJob, s: LStep | null, from: number, all: boolean): void {
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
      else if (this.begun[k] === 1 && target < this.left[k]! && Math.ceil(j.kind === 'shared' ? target / j.handsFrom : target) < j.smallest) break
      if (this.metAt === est && this.begun[k] === 0) this.a.copy(this.t1)
      else if (!this.seek(j, est, this.left[k]!, target, s, this.a)) {
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
    f.clear()
    this.why = DATE
    this.after = -1
    this.commit(j, f, Math.min(f.start, Math.max(0, f.start)))
    return true
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
      this.take(h.resource, this.end[k]!, FOREVER, -h.amount)
    }
  }
}
