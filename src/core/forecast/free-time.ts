/** Free stretches of one run: those that come, less what she already takes of them. Nothing is allocated once it runs. */
import { FOREVER } from '../schedule/profile.ts'
import { Comers } from './comers.ts'
import type { Compiled } from './compile.ts'

const UNKNOWN = -1

export class FreeTime extends Comers {
  /** Taken parts of each stretch: a chain of nodes in order of start. */
  protected readonly head: Int32Array
  /** The longest free time in each stretch; 0: it doesn't come, or is full; UNKNOWN: not yet asked. */
  private readonly room: Int32Array
  /** Of one with no room: a later one, before which there is none with room either. */
  private readonly skip: Int32Array
  private readonly touched: Int32Array
  private touchedSize = 0
  protected nodeStart: Int32Array<ArrayBuffer> = new Int32Array(4096)
  protected nodeEnd: Int32Array<ArrayBuffer> = new Int32Array(4096)
  protected nodePlace: Int32Array<ArrayBuffer> = new Int32Array(4096)
  protected nodeNext: Int32Array<ArrayBuffer> = new Int32Array(4096)
  private nodes = 0
  private readonly cursorAt: Float64Array
  private readonly cursor: Int32Array

  constructor(c: Compiled, seed: (name: string) => number) {
    super(c, seed)
    const n = this.s.start.length
    this.head = new Int32Array(n).fill(-1)
    this.room = new Int32Array(n).fill(UNKNOWN)
    this.skip = Int32Array.from({ length: n }, (_, i) => i + 1)
    this.touched = new Int32Array(n)
    this.cursorAt = new Float64Array(this.s.longest.length)
    this.cursor = new Int32Array(this.s.longest.length)
  }

  override reset(run: number, level: number): void {
    super.reset(run, level)
    for (let k = 0; k < this.touchedSize; k++) {
      const i = this.touched[k]!
      this.head[i] = -1
      this.room[i] = UNKNOWN
      this.skip[i] = i + 1
    }
    this.touchedSize = 0
    this.nodes = 0
    this.cursorAt.fill(-FOREVER)
    for (let s = 0; s < this.cursor.length; s++) this.cursor[s] = this.s.from[s]!
  }

  /** The first stretch of a site that can hold anything from t on. */
  protected first(site: number, t: number): number {
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
  protected gap(i: number, t: number, length: number): number {
    let s = Math.max(t, this.s.start[i]!)
    for (let node = this.head[i]!; node >= 0; node = this.nodeNext[node]!) {
      if (this.nodeEnd[node]! <= s) continue
      if (this.nodeStart[node]! - s >= length) return s
      s = this.nodeEnd[node]!
    }
    return this.s.end[i]! - s >= length ? s : -1
  }

  protected gapEnd(i: number, t: number): number {
    for (let node = this.head[i]!; node >= 0; node = this.nodeNext[node]!) if (this.nodeStart[node]! >= t) return this.nodeStart[node]!
    return this.s.end[i]!
  }

  /** The longest free time of a stretch; 0: none. */
  protected roomOf(i: number): number {
    const known = this.room[i]!
    if (known !== UNKNOWN) return known
    this.touched[this.touchedSize++] = i
    return this.room[i] = this.comes(this.s.row[i]!) ? this.s.end[i]! - this.s.start[i]! : 0
  }

  /** The next stretch of the list after i, which has no room, that may have some. */
  protected beyond(i: number): number {
    const { skip, room } = this
    const n = room.length
    let j = skip[i]!
    while (j < n && room[j] === 0) j = skip[j]!
    for (let k = i; k !== j && skip[k] !== j;) {
      const next = skip[k]!
      skip[k] = j
      k = next
    }
    return j
  }

  /** First instant from t on at which h people are free at the site for `length` minutes, or -1. */
  earliest(site: number, t: number, length: number, h: number): number {
    const { start, end, from, many } = this.s
    const to = from[site + 1]!
    let best = FOREVER
    for (let i = this.first(site, t); i < to && start[i]! < best;) {
      const room = many[i]! < h ? -1 : this.roomOf(i)
      if (room === 0) { i = this.beyond(i); continue }
      if (room >= length && end[i]! - length >= t) {
        const g = this.gap(i, t, length)
        if (g >= 0 && g < best) {
          best = g
          if (best === t) break
        }
      }
      i++
    }
    if (best === FOREVER) return -1
    while (h > 1 && this.count(site, best, length) < h) {
      best = this.nextGap(site, best, length, h)
      if (best < 0) return -1
    }
    return best
  }

  private count(site: number, t: number, length: number): number {
    const { start, end, from } = this.s
    const to = from[site + 1]!
    let n = 0
    for (let i = this.first(site, t); i < to && start[i]! <= t; i++) {
      if (end[i]! - length >= t && this.roomOf(i) >= length && this.gap(i, t, length) === t) n++
    }
    return n
  }

  /** The next instant after t at which free time of `length` of somebody begins (where h may be), or -1. */
  nextGap(site: number, t: number, length: number, h: number): number {
    const { start, end, from, many } = this.s
    const to = from[site + 1]!
    let best = FOREVER
    for (let i = this.first(site, t); i < to && start[i]! < best;) {
      const room = many[i]! < h ? -1 : this.roomOf(i)
      if (room === 0) { i = this.beyond(i); continue }
      if (room >= length && end[i]! - length > t) {
        let g = this.gap(i, t, length)
        if (g === t) g = this.gap(i, this.gapEnd(i, t), length)
        if (g > t && g < best) best = g
      }
      i++
    }
    return best === FOREVER ? -1 : best
  }

  /** Takes [from, to) of a stretch. */
  take(i: number, from: number, to: number, place: number): void {
    if (to <= from) return
    if (this.nodes + 1 >= this.nodeStart.length) this.grow()
    this.roomOf(i)
    let before = -1
    let node = this.head[i]!
    while (node >= 0 && this.nodeStart[node]! < from) {
      before = node
      node = this.nodeNext[node]!
    }
    if (before >= 0 && this.nodeEnd[before]! === from && this.nodePlace[before] === place) {
      this.nodeEnd[before] = to
      this.measure(i)
      return
    }
    const n = this.nodes++
    this.nodeStart[n] = from
    this.nodeEnd[n] = to
    this.nodePlace[n] = place
    this.nodeNext[n] = node
    if (before >= 0) this.nodeNext[before] = n
    else this.head[i] = n
    this.measure(i)
  }

  private measure(i: number): void {
    let t = this.s.start[i]!
    let most = 0
    for (let node = this.head[i]!; node >= 0; node = this.nodeNext[node]!) {
      if (this.nodeStart[node]! - t > most) most = this.nodeStart[node]! - t
      if (this.nodeEnd[node]! > t) t = this.nodeEnd[node]!
    }
    if (this.s.end[i]! - t > most) most = this.s.end[i]! - t
    this.room[i] = most
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
