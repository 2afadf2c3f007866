/** Who of the free does a piece: competences covered, somebody to supervise, the plan's own people first. */
import { FOREVER } from '../schedule/profile.ts'
import type { Compiled, LJob } from './compile.ts'
import { FreeTime } from './free-time.ts'

interface Watch { person: number; start: number; end: number; place: number }

export class Crowd extends FreeTime {
  /** Gathered people: see `gather`. */
  private readonly person: Int32Array
  private readonly stretch: Int32Array
  private readonly until: Int32Array
  private size = 0
  /** Picked by `choose`, and who supervises (-1: nobody). */
  readonly picked: Int32Array
  readonly pickedStretch: Int32Array
  supervisor = -1
  private readonly rank: Int32Array
  private readonly wanted: Int32Array
  private stamp = 0

  /** Whom people of her own pieces watch, and of others'. */
  private watchSize = 0
  private readonly watch: Watch[] = []
  private readonly watching: readonly (readonly Readonly<Watch>[])[]

  constructor(c: Compiled, seed: (name: string) => number) {
    super(c, seed)
    const n = this.s.start.length
    const people = c.people.length + 1
    this.person = new Int32Array(n + 1)
    this.stretch = new Int32Array(n + 1)
    this.until = new Int32Array(n + 1)
    this.picked = new Int32Array(n + 1)
    this.pickedStretch = new Int32Array(n + 1)
    this.rank = new Int32Array(people).fill(people)
    const build = c.model.builds.find((b) => b.id === c.buildId)!
    build.eligible.forEach((p, i) => { this.rank[p] = i })
    this.wanted = new Int32Array(people)
    this.watching = c.people.map((p, person) => p.watching.map((w) => ({ person, ...w })).sort((a, b) => a.start - b.start))
  }

  override reset(run: number, level: number): void {
    super.reset(run, level)
    this.watchSize = 0
  }

  /** Whoever is free at the site over [t, t + length), with the end of the free time. */
  gather(site: number, place: number, t: number, length: number): number {
    const { start, end, person, from } = this.s
    const to = from[site + 1]!
    this.size = 0
    for (let i = this.first(site, t); i < to && start[i]! <= t; i++) {
      if (end[i]! - length < t || this.roomOf(i) < length || this.gap(i, t, length) !== t) continue
      const p = person[i]!
      const until = this.freeOfWatch(p, place, t, this.gapEnd(i, t))
      if (until - t < length) continue
      this.person[this.size] = p
      this.stretch[this.size] = i
      this.until[this.size++] = until
    }
    return this.size
  }

  /** Who watches somebody in another place is not free. */
  private freeOfWatch(p: number, place: number, t: number, end: number): number {
    let until = end
    for (let w = 0; w < this.watchSize; w++) {
      const x = this.watch[w]!
      if (x.person === p && x.place !== place && x.end > t && x.start < until) until = Math.max(t, x.start)
    }
    const rows = this.watching[p]
    if (!rows || rows.length === 0) return until
    let lo = 0
    let hi = rows.length
    while (lo < hi) {
      const mid = (lo + hi) >> 1
      if (rows[mid]!.start < t - 1440) lo = mid + 1
      else hi = mid
    }
    for (let k = lo; k < rows.length && rows[k]!.start < until; k++) {
      const x = rows[k]!
      if (x.place !== place && x.end > t) until = Math.max(t, x.start)
    }
    return until
  }

  /** Of those gathered the h-th longest end. */
  untilOf(h: number): number {
    if (h === 1) {
      let most = -1
      for (let i = 0; i < this.size; i++) if (this.until[i]! > most) most = this.until[i]!
      return most
    }
    let bound = FOREVER
    for (let n = 0; n < h;) {
      let most = -1
      let many = 0
      for (let i = 0; i < this.size; i++) {
        const u = this.until[i]!
        if (u >= bound) continue
        if (u > most) { most = u; many = 1 } else if (u === most) many++
      }
      if (most < 0) return -1
      n += many
      bound = most
    }
    return bound
  }

  /** Names the people a step has in the plan: they go first. */
  prefer(people: Int32Array | null): void {
    this.stamp++
    if (people) for (let i = 0; i < people.length; i++) this.wanted[people[i]!] = this.stamp
  }

  private rankOf(p: number): number { return this.wanted[p] === this.stamp ? this.rank[p]! - 10_000 : this.rank[p]! }

  /** The most suitable of the gathered free until `end` at least for whom `able` holds: place in the rows, or -1. Those picked have until -1. */
  private best(end: number, competence: number, full: boolean): number {
    let found = -1
    let least = FOREVER
    for (let i = 0; i < this.size; i++) {
      if (this.until[i]! < end) continue
      const p = this.person[i]!
      if (competence >= 0 && !(this.holds(p, competence, full) >= end)) continue
      const r = this.rankOf(p)
      if (r < least) {
        least = r
        found = i
      }
    }
    return found
  }

  private holds(p: number, competence: number, full: boolean): number {
    const q = this.c.people[p]
    return q === undefined ? -1 : (full ? q.fullUntil : q.supervisedUntil)[competence]!
  }

  /** Until when, from t on, somebody gathered covers each competence asked (a supervisor present counted), at most. */
  coveredUntil(job: LJob, site: number, place: number, t: number): number {
    let all = FOREVER
    for (let k = 0; k < job.competences.length; k++) {
      const c = job.competences[k]!
      let best = -1
      for (let i = 0; i < this.size; i++) {
        const p = this.person[i]!
        const own = Math.min(this.until[i]!, this.holds(p, c, true))
        if (own > best) best = own
        const alone = Math.min(this.until[i]!, this.holds(p, c, false))
        if (alone <= best) continue
        for (const s of job.supervisors) {
          const both = Math.min(alone, this.c.people[s]!.fullUntil[c]!, this.supervises(s, site, place, t))
          if (both > best) best = both
        }
      }
      if (best < all) all = best
    }
    return all
  }

  /** Picks h of the gathered for [t, end): competences covered first, then by preference. */
  choose(job: LJob, site: number, place: number, t: number, end: number, h: number, planned: number): boolean {
    this.supervisor = -1
    let n = 0
    let isOk = true
    let alone = false
    for (let k = 0; isOk && k < job.competences.length; k++) {
      const c = job.competences[k]!
      if (this.pickedHolds(n, c, true, end)) continue
      let i = n < h ? this.best(end, c, true) : -1
      if (i >= 0 && this.rankOf(this.person[i]!) >= 0) {
        // Somebody of the plan under supervision goes before somebody else who may do it alone.
        const s = this.best(end, c, false)
        if (s >= 0 && this.rankOf(this.person[s]!) < 0 && this.supervisorFor(job, site, place, t, end, planned) >= 0) i = -1
      }
      if (i >= 0) { this.pick(i, n++); continue }
      alone = true
      if (this.pickedHolds(n, c, false, end)) continue
      i = n < h ? this.best(end, c, false) : -1
      if (i >= 0) this.pick(i, n++)
      else isOk = false
    }
    while (isOk && n < h) {
      const i = this.best(end, -1, true)
      if (i < 0) isOk = false
      else this.pick(i, n++)
    }
    if (isOk && alone) {
      this.supervisor = this.supervisorFor(job, site, place, t, end, planned)
      isOk = this.supervisor >= 0
    }
    for (let i = 0; i < this.size; i++) if (this.until[i]! < -1) this.until[i] = -this.until[i]! - 2
    return isOk
  }

  private pick(i: number, n: number): void {
    this.picked[n] = this.person[i]!
    this.pickedStretch[n] = this.stretch[i]!
    this.until[i] = -this.until[i]! - 2
  }

  private pickedHolds(n: number, c: number, full: boolean, end: number): boolean {
    for (let i = 0; i < n; i++) if (this.holds(this.picked[i]!, c, full) >= end) return true
    return false
  }

  /** Somebody who holds all of the competences in full and stays; the plan's own first. */
  private supervisorFor(job: LJob, site: number, place: number, t: number, end: number, planned: number): number {
    const able = (s: number): boolean => {
      for (const c of job.competences) if (this.c.people[s]!.fullUntil[c]! < end) return false
      return this.supervises(s, site, place, t) >= end
    }
    if (planned >= 0 && able(planned)) return planned
    for (const s of job.supervisors) if (able(s)) return s
    return -1
  }

  /** Until when somebody present at t stays at the site without work in another place, or -1. */
  private supervises(p: number, site: number, place: number, t: number): number {
    const q = this.c.people[p]!
    let lo = -1
    let hi = q.rowStart.length - 1
    while (lo < hi) {
      const mid = (lo + hi + 1) >> 1
      if (q.rowStart[mid]! <= t) lo = mid
      else hi = mid - 1
    }
    if (lo < 0 || q.rowSite[lo] !== site || q.rowEnd[lo]! <= t) return -1
    const row = this.s.rows.of[p]
    if (row && row[lo]! >= 0 && !this.comes(row[lo]!)) return -1
    let until = q.rowEnd[lo]!
    for (const b of q.work) {
      if (b.place !== place && b.end > t && b.start < until) until = b.start <= t ? -1 : b.start
      if (until < 0) return -1
    }
    until = this.freeOfWatch(p, place, t, until)
    if (until <= t) return -1
    const { start, end, person, from } = this.s
    for (let i = this.first(site, t); i < from[site + 1]! && start[i]! < until; i++) {
      if (person[i] !== p || end[i]! <= t) continue
      for (let node = this.head[i]!; node >= 0; node = this.nodeNext[node]!) {
        if (this.nodePlace[node] === place || this.nodeEnd[node]! <= t || this.nodeStart[node]! >= until) continue
        until = this.nodeStart[node]! <= t ? -1 : this.nodeStart[node]!
        if (until < 0) return -1
      }
    }
    return until
  }

  addWatch(person: number, start: number, end: number, place: number): void {
    const w = this.watch[this.watchSize]
    if (w) {
      w.person = person
      w.start = start
      w.end = end
      w.place = place
    } else this.watch.push({ person, start, end, place })
    this.watchSize++
  }
}
