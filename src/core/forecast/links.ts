/** What links ask of a task in a run: its earliest start, windows met or missed, a coat held back for the next. */
import { FOREVER } from '../schedule/profile.ts'
import type { LJob, LLink, LStep } from './compile.ts'
import { CURE, DATE, DELIVERY, WORK, type Found } from './found.ts'
import { DONE, FAILED, OFF, OPEN, PLACED } from './ground.ts'
import { Seeker } from './seek.ts'

export abstract class Linker extends Seeker {
  /** Places pieces of a task until what the step is for, or all of it, is done. */
  protected abstract pieces(j: LJob, s: LStep | null, from: number, all: boolean): void

  /** Where a task goes on after its last piece. */
  protected goOn(k: number): number {
    this.why = WORK
    this.after = this.lastPiece[k]!
    return this.end[k]!
  }

  protected isIn(k: number): boolean { return this.status[k] === PLACED || this.status[k] === DONE }

  /** Earliest start by links, release and material, with what it waits for; FOREVER: never. */
  protected linkStart(j: LJob): number {
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

  protected isMissed(link: LLink): boolean {
    return link.kind === 'window' && (link.state === 'missed' || link.state === 'washed' || this.missed[link.index] === 1)
  }

  protected leastStart(j: LJob, link: LLink): number {
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

  /** Missed windows of a coat that is next: their wash work is put in. @returns whether any is newly missed */
  protected windowsMissed(j: LJob, s: LStep, est: number): boolean {
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
    if (isNew) this.crowd.prefer(s.people)
    const canMeet = open < FOREVER && this.seek(j, open, this.left[j.index]!, this.left[j.index]!, s, this.t1) && this.t1.end - j.clearUp <= closes
    if (canMeet) {
      this.metAt = open
      return isNew
    }
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
  protected washNow(k: number): void {
    const j = this.c.jobs[k]!
    const est = this.begun[k] === 1 ? this.goOn(k) : this.linkStart(j)
    if (est >= FOREVER) this.status[k] = FAILED
    else this.pieces(j, null, est, true)
  }

  /** The plan has a wash that this run may do without: its window can be met as things stand. */
  protected washSpared(j: LJob, link: LLink): boolean {
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
  protected isSooner(wash: LJob, to: LJob, link: LLink, met: number): boolean {
    const [whole, coat] = [this.left[wash.index]!, this.left[to.index]!]
    const sandable = this.stageOf(link.from, 'sandable')
    return sandable < FOREVER && this.seek(wash, sandable, whole, whole, null, this.t2) && this.seek(to, this.t2.end, coat, coat, null, this.t2) && this.t2.end < met
  }

  /** Puts the first piece (in `a`) later where what follows asks for it: a window that would close too soon, a maximum lag. */
  protected holdBack(j: LJob, s: LStep | null, target: number): void {
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
  protected tooSoon(j: LJob, link: LLink, f: Found): number {
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
  protected isWorth(j: LJob, link: LLink): boolean {
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
}
