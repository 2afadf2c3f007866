/** Who is free in one run: stretches that came, less what she already takes of them. Nothing is allocated once it runs. */
import { FOREVER } from '../schedule/profile.ts'
import type { Compiled, LJob } from './compile.ts'
import type { Stretches } from './presence.ts'
import { normal, uniform } from './sample.ts'

/** Orders of the rows of a week, one of which a run takes: see `draw`. */
const ORDERS = 16

export class Crowd {
  private readonly c: Compiled
  private readonly s: Stretches
  /** Which rows come in this run; as far as `drawn`. */
  private readonly came: Uint8Array
  private readonly ranks: Uint16Array[]
  private drawn = -1
  private run = 0
  private level = 0
  private latent = 0
  private readonly weekKey: number
  private readonly turnKey: number
  /** Mean share of the weeks drawn so far. */
  shares = 0

  /** Taken parts of each stretch: a chain of nodes in order of start. */
  private readonly head: Int32Array
  private readonly touched: Int32Array
  private touchedSize = 0
  private nodeStart: Int32Array<ArrayBuffer> = new Int32Array(4096)
  private nodeEnd: Int32Array<ArrayBuffer> = new Int32Array(4096)
  private nodePlace: Int32Array<ArrayBuffer> = new Int32Array(4096)
  private nodeNext: Int32Array<ArrayBuffer> = new Int32Array(4096)
  private nodes = 0
  private readonly cursorAt: Float64Array
  private readonly cursor: Int32Array

  /** Gathered people: see `gather`. */
  readonly person: Int32Array
  readonly stretch: Int32Array
  readonly until: Int32Array
  size = 0
  /** Picked by `choose`, and who supervises (-1: nobody). */
  readonly picked: Int32Array
  readonly pickedStretch: Int32Array
  supervisor = -1
  private readonly rank: Int32Array
  private readonly wanted: Int32Array
  private stamp = 0

  /** Whom people of her own pieces watch. */
  private watchSize = 0
  private readonly watch: { person: number; start: number; end: number; place: number }[] = []
  private readonly watching: readonly (readonly { start: number; end: number; place: number }[])[]

  constructor(c: Compiled, seed: (name: string) => number) {
    this.c = c
    this.s = c.stretches
    const n = this.s.start.length
    const { rows } = this.s
    this.came = new Uint8Array(rows.week.length)
    this.head = new Int32Array(n).fill(-1)
    this.touched = new Int32Array(n)
    this.cursorAt = new Float64Array(this.s.longest.length)
    this.cursor = new Int32Array(this.s.longest.length)
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
    this.watching = c.people.map((p) => [...p.watching].sort((a, b) => a.start - b.start))
    this.weekKey = seed('week')
    this.turnKey = seed('turn')
    this.ranks = Array.from({ length: rows.from.length - 1 }, (_, w) => ordersOf(rows.from[w + 1]! - rows.from[w]!, w))
  }

  /** A new run. `level`: the build's own share of attendance, a normal number with its mean taken off. */
  reset(run: number, level: number): void {
    this.run = run
    this.level = level
    this.drawn = -1
    this.shares = 0
    for (let i = 0; i < this.touchedSize; i++) this.head[this.touched[i]!] = -1
    this.touchedSize = 0
    this.nodes = 0
    this.watchSize = 0
    this.cursorAt.fill(-FOREVER)
    for (let s = 0; s < this.cursor.length; s++) this.cursor[s] = this.s.from[s]!
  }

  /**
   * One week after another. Its share follows the week before; then just so many of its stretches come (drawn as by a wheel with equal steps: the
   * i-th in a random order comes when (i + a draw) / n is below the share). The same draw with a larger share: the same stretches and more.
   */
  private draw(week: number): void {
    const { attendance: a } = this.c
    const { rows } = this.s
    while (this.drawn < week) {
      const w = ++this.drawn
      const z = normal(uniform(this.weekKey ^ Math.imul(w + 1, 0x632be5ab), this.run))
      this.latent = w === 0 ? z : a.follows * this.latent + Math.sqrt(1 - a.follows * a.follows) * z
      const share = Math.min(1, Math.max(0, a.base + this.level + a.weekSd * this.latent))
      this.shares += share
      const from = rows.from[w]!
      const n = (rows.from[w + 1] ?? from) - from
      if (n === 0) continue
      const u = uniform(this.turnKey ^ Math.imul(w + 1, 0x632be5ab), this.run)
      const turn = Math.floor(u * ORDERS * n)
      const by = u * ORDERS * n - turn
      const order = (turn % ORDERS) * n
      const ranks = this.ranks[w]!
      const shift = Math.floor(turn / ORDERS)
      for (let i = 0; i < n; i++) {
        const at = ranks[order + i]! + shift
        this.came[from + i] = rows.sure[from + i] === 1 || ((at >= n ? at - n : at) + by) / n < share ? 1 : 0
      }
    }
  }

  private comes(row: number): boolean {
    const { rows } = this.s
    const week = rows.week[row]!
    if (week > this.drawn) this.draw(week)
    if (row < rows.count) return this.came[row] === 1
    if (rows.sure[row] === 1) return true
    const others = rows.with[row]
    if (!others) return true
    for (let i = 0; i < others.length; i++) if (this.came[others[i]!] === 1) return true
    return false
  }

  /** The mean share of the weeks up to t. */
  shareBy(t: number): number {
    const week = Math.min(this.s.rows.from.length - 2, Math.floor(Math.max(0, t) / 10080))
    if (week > this.drawn) this.draw(week)
    return this.drawn < 0 ? 0 : this.shares / (this.drawn + 1)
  }

  /** The first stretch of a site that can hold anything from t on. */
  private first(site: number, t: number): number {
    const { start, from, longest } = this.s
    const least = t - longest[site]!
    const to = from[site + 1]!
    if (t >= this.cursorAt[site]!) {
      let i = this.cursor[site]!
      let steps = 0
      while (i < to && start[i]! < least && steps < 40) { i++; steps++ }
      if (i >= to || start[i]! >= least) {
        this.cursorAt[site] = t
        this.cursor[site] = i
        return i
      }
    }
    let lo = from[site]!
    let hi = to
    while (lo < hi) {
      const mid = (lo + hi) >> 1
      if (start[mid]! < least) lo = mid + 1
      else hi = mid
    }
    this.cursorAt[site] = t
    this.cursor[site] = lo
    return lo
  }

  /** First instant from t on at which the stretch has `length` free minutes, or -1. */
  private gap(i: number, t: number, length: number): number {
    let s = Math.max(t, this.s.start[i]!)
    for (let node = this.head[i]!; node >= 0; node = this.nodeNext[node]!) {
      if (this.nodeEnd[node]! <= s) continue
      if (this.nodeStart[node]! - s >= length) return s
      s = this.nodeEnd[node]!
    }
    return this.s.end[i]! - s >= length ? s : -1
  }

  private gapEnd(i: number, t: number): number {
    for (let node = this.head[i]!; node >= 0; node = this.nodeNext[node]!) if (this.nodeStart[node]! >= t) return this.nodeStart[node]!
    return this.s.end[i]!
  }

  /** First instant from t on at which h people are free at the site for `length` minutes, or -1. */
  earliest(site: number, t: number, length: number, h: number): number {
    const { start, end, row, from } = this.s
    const to = from[site + 1]!
    let best = FOREVER
    for (let i = this.first(site, t); i < to && start[i]! < best; i++) {
      if (end[i]! - length < t || !this.comes(row[i]!)) continue
      const g = this.gap(i, t, length)
      if (g >= 0 && g < best) {
        best = g
        if (best === t) break
      }
    }
    if (best === FOREVER) return -1
    while (h > 1 && this.count(site, best, length) < h) {
      best = this.nextGap(site, best, length)
      if (best < 0) return -1
    }
    return best
  }

  private count(site: number, t: number, length: number): number {
    const { start, end, row, from } = this.s
    const to = from[site + 1]!
    let n = 0
    for (let i = this.first(site, t); i < to && start[i]! <= t; i++) {
      if (end[i]! - length >= t && this.comes(row[i]!) && this.gap(i, t, length) === t) n++
    }
    return n
  }

  /** The next instant after t at which somebody's free time of `length` begins, or -1. */
  nextGap(site: number, t: number, length: number): number {
    const { start, end, row, from } = this.s
    const to = from[site + 1]!
    let best = FOREVER
    for (let i = this.first(site, t); i < to && start[i]! < best; i++) {
      if (end[i]! - length <= t || !this.comes(row[i]!)) continue
      let g = this.gap(i, t, length)
      if (g === t) g = this.gap(i, this.gapEnd(i, t), length)
      if (g > t && g < best) best = g
    }
    return best === FOREVER ? -1 : best
  }

  /** Whoever is free at the site over [t, t + length), with the end of the free time. */
  gather(site: number, place: number, t: number, length: number): number {
    const { start, end, row, person, from } = this.s
    const to = from[site + 1]!
    this.size = 0
    for (let i = this.first(site, t); i < to && start[i]! <= t; i++) {
      if (end[i]! - length < t || !this.comes(row[i]!) || this.gap(i, t, length) !== t) continue
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
    const take = (i: number): void => {
      this.picked[n] = this.person[i]!
      this.pickedStretch[n++] = this.stretch[i]!
      this.until[i] = -this.until[i]! - 2
    }
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
      if (i >= 0) { take(i); continue }
      alone = true
      if (this.pickedHolds(n, c, false, end)) continue
      i = n < h ? this.best(end, c, false) : -1
      if (i >= 0) take(i)
      else isOk = false
    }
    while (isOk && n < h) {
      const i = this.best(end, -1, true)
      if (i < 0) isOk = false
      else take(i)
    }
    if (isOk && alone) {
      this.supervisor = this.supervisorFor(job, site, place, t, end, planned)
      isOk = this.supervisor >= 0
    }
    for (let i = 0; i < this.size; i++) if (this.until[i]! < -1) this.until[i] = -this.until[i]! - 2
    return isOk
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

  /** Takes [from, to) of a stretch. */
  take(i: number, from: number, to: number, place: number): void {
    if (to <= from) return
    if (this.nodes + 1 >= this.nodeStart.length) this.grow()
    if (this.head[i] === -1) this.touched[this.touchedSize++] = i
    let before = -1
    let node = this.head[i]!
    while (node >= 0 && this.nodeStart[node]! < from) {
      before = node
      node = this.nodeNext[node]!
    }
    if (before >= 0 && this.nodeEnd[before]! === from && this.nodePlace[before] === place) {
      this.nodeEnd[before] = to
      return
    }
    const n = this.nodes++
    this.nodeStart[n] = from
    this.nodeEnd[n] = to
    this.nodePlace[n] = place
    this.nodeNext[n] = node
    if (before >= 0) this.nodeNext[before] = n
    else this.head[i] = n
  }

  /** Takes [from, to) of a person wherever that lies within a stretch of the site that comes; a person may be said to be there without one. */
  takePerson(p: number, site: number, from: number, to: number, place: number): void {
    const { start, end, person, row, from: bySite } = this.s
    for (let i = this.first(site, from); i < bySite[site + 1]! && start[i]! < to; i++) {
      if (person[i] === p && end[i]! > from && this.comes(row[i]!)) this.take(i, Math.max(from, start[i]!), Math.min(to, end[i]!), place)
    }
  }

  /** Whether nothing speaks against somebody having [from, to): the stretches there come and are free. Without any stretch: a person said so. */
  isFree(p: number, site: number, from: number, to: number): boolean {
    const { start, end, person, row, from: bySite } = this.s
    for (let i = this.first(site, from); i < bySite[site + 1]! && start[i]! < to; i++) {
      if (person[i] !== p || end[i]! <= from) continue
      const s = Math.max(from, start[i]!)
      if (!this.comes(row[i]!) || this.gap(i, s, Math.min(to, end[i]!) - s) !== s) return false
    }
    return true
  }

  private grow(): void {
    const wider = (a: Int32Array<ArrayBuffer>): Int32Array<ArrayBuffer> => {
      const b = new Int32Array(a.length * 2)
      b.set(a)
      return b
    }
    this.nodeStart = wider(this.nodeStart)
    this.nodeEnd = wider(this.nodeEnd)
    this.nodePlace = wider(this.nodePlace)
    this.nodeNext = wider(this.nodeNext)
  }
}

/** Some random orders of n things one after another; the same for every seed, for a run turns and picks them anew. */
function ordersOf(n: number, week: number): Uint16Array {
  const out = new Uint16Array(n * ORDERS)
  for (let k = 0; k < ORDERS; k++) {
    for (let i = 0; i < n; i++) out[k * n + i] = i
    for (let i = n - 1; i > 0; i--) {
      const j = Math.floor(uniform(week * ORDERS + k + 1, i) * (i + 1))
      const swap = out[k * n + i]!
      out[k * n + i] = out[k * n + j]!
      out[k * n + j] = swap
    }
  }
  return out
}
