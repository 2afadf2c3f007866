/** Where a piece may be: the earliest stretch in which place, things and people are free for it. */
import { lastOverlap, nextStart } from '../schedule/open-times.ts'
import { FOREVER } from '../schedule/profile.ts'
import type { LJob, LOption, LStep } from './compile.ts'
import { COLD, COMPETENCE, PEOPLE, PLACE, TOOL, type Found } from './found.ts'
import { Ground } from './ground.ts'
import { firstIn, latestIn } from './spans.ts'
import { nextOpen } from './weather.ts'

export abstract class Seeker extends Ground {
  /**
   * The earliest piece of a task from `est` on: of what can't be divided all of it, the earliest end; else the earliest start, and the most of
   * `target` (or of what is left, if that is less) that the stretch gives.
   */
  protected seek(j: LJob, est: number, left: number, target: number, s: LStep | null, out: Found): boolean {
    let found = false
    for (let i = 0; i < j.options.length; i++) {
      const o = j.options[i]!
      const f = i === 0 ? out : this.scratch
      f.clear()
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

  protected alone(j: LJob, o: LOption, est: number, left: number, f: Found): boolean {
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

  protected waits(f: Found, by: number): void {
    f.wait[this.blocked]! += by
    f.what = this.blockedWhat
  }

  /** One undivided piece: the hands of the plan, or others where that ends earlier. */
  protected whole(j: LJob, o: LOption, est: number, left: number, s: LStep | null, f: Found): boolean {
    const planned = s === null ? j.handsTo : Math.min(j.handsTo, Math.max(j.handsFrom, s.people.length))
    const most = this.mostHands(j, s, est)
    let limit = this.c.horizon
    let found = this.wholeWith(j, o, est, left, planned, limit, s, f)
    if (j.handsFrom === j.handsTo) return found
    if (found) limit = f.end - 1
    for (let h = most; h >= j.handsFrom; h--) {
      if (h === planned) continue
      this.trial.clear()
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
  protected mostHands(j: LJob, s: LStep | null, t: number): number {
    if (s === null || t >= s.end) return j.handsTo
    return Math.min(j.handsTo, Math.max(j.handsFrom, s.people.length) + this.c.moreHands)
  }

  protected wholeWith(j: LJob, o: LOption, est: number, left: number, h: number, limit: number, s: LStep | null, f: Found): boolean {
    const { crowd } = this
    const around = j.setUp + j.clearUp
    const hands = j.kind === 'shared' ? h : 1
    const length = around + Math.ceil(left / hands)
    // It may outlast the stretch, but a stretch has to have room for it as it was meant.
    const room = around + Math.ceil(Math.min(left, j.work) / hands)
    let t = est
    for (;;) {
      const there = crowd.earliest(o.site, t, room, h)
      if (there < 0 || there + length > limit) return false
      f.wait[PEOPLE]! += there - t
      t = there
      const later = o.isPlain ? -1 : this.until(j, o, t, t + room)
      if (later > t) {
        this.waits(f, later - t)
        t = later
        continue
      }
      if (crowd.gather(o.site, o.place, t, room) >= h && crowd.choose(j, o.site, o.place, t, t + room, h, s === null ? -1 : s.supervisor)) break
      // They are there, and may not do it, or somebody watches over others.
      const next = crowd.nextGap(o.site, t, 1, h)
      if (next < 0) return false
      f.wait[COMPETENCE]! += next - t
      t = next
    }
    this.fill(f, o, t, t + length, left, h)
    return true
  }

  protected fill(f: Found, o: LOption, start: number, end: number, did: number, h: number): void {
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

  protected part(j: LJob, o: LOption, est: number, left: number, target: number, s: LStep | null, f: Found): boolean {
    const { crowd } = this
    const around = j.setUp + j.clearUp
    const isShared = j.kind === 'shared'
    const most = j.handsTo
    const least = isShared ? Math.ceil(left / most) : left
    const shortest = around + Math.min(j.smallest, least)
    let t = est
    for (;;) {
      const there = crowd.earliest(o.site, t, shortest, j.handsFrom)
      if (there < 0 || there + shortest > this.c.horizon) return false
      f.wait[PEOPLE]! += there - t
      t = there
      const later = o.isPlain ? -1 : this.until(j, o, t, t + shortest)
      if (later > t) {
        this.waits(f, later - t)
        t = later
        continue
      }
      const here = crowd.gather(o.site, o.place, t, shortest)
      const clear = o.isPlain ? this.c.horizon : this.clearUntil(j, o, t)
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
      let next = crowd.nextGap(o.site, t, 1, j.handsFrom)
      if (clear > t && clear < this.c.horizon && (next < 0 || clear < next)) next = clear
      if (next < 0) return false
      f.wait[covered <= t ? COMPETENCE : PEOPLE]! += next - t
      t = next
    }
  }

  /** What completes the target beats what doesn't; then the earlier end with fewer hands, or the more done. */
  protected isBetter(isShared: boolean, w: number, h: number, otherW: number, otherH: number, target: number): boolean {
    const did = isShared ? w * h : w
    const other = isShared ? otherW * otherH : otherW
    if (did >= target !== other >= target) return did >= target
    if (did >= target) return w < otherW || (w === otherW && h < otherH)
    return did > other
  }

  /** At most t: [t, end) is free for a piece, people apart; else an instant before which none can start, with the cause in `blocked`. */
  protected until(j: LJob, o: LOption, t: number, end: number): number {
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

  protected opening(j: LJob, resource: number): number {
    let sum = 0
    for (let i = 0; i < j.opens.length; i++) {
      const h = j.opens[i]!
      if (this.held[h.index] === 0 && h.resource === resource) sum += h.amount
    }
    return sum
  }

  /** The end of dust or wet film that keeps a coat or dusty work from [t, end), or -1. */
  protected cleanFrom(j: LJob, place: number, settle: number, t: number, end: number): number {
    let later = -1
    const p = this.c.places[place]!
    if (j.sensitive) {
      const own = this.dust[place]!
      const known = p.dust.ends
      // Most often all dust has settled, and nobody needs to know when the film would be dust-free.
      if (own.last > t - settle || (known.length > 0 && known[known.length - 1]! > t - settle)) {
        const dry = this.stageAt(j, place, 'dustFree', t + j.setUp, end - j.clearUp)
        later = Math.max(later, latestIn(p.dust, t - settle, dry, settle), own.latest(j.index, t - settle, dry, settle))
      }
    }
    if (j.dusty) later = Math.max(later, latestIn(p.wet, t, end + settle, 0), this.wet[place]!.latest(j.index, t, end + settle, 0))
    return later
  }

  /** How long a piece that may start at t can go on, people apart. */
  protected clearUntil(j: LJob, o: LOption, t: number): number {
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
}
