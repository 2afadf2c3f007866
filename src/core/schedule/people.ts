/** Who can do a piece: free people of a site, competences, a supervisor. */
import { lastFrom } from './open-times.ts'
import type { Job, Option } from './model.ts'
import type { State } from './state.ts'

export interface Choice { readonly people: readonly number[]; readonly supervisor: number }

/** People free at an instant, in order of preference, each with the end of their free stretch. */
export class Crowd {
  person = new Int32Array(16)
  until = new Int32Array(16)
  size = 0

  clear(): void { this.size = 0 }

  add(person: number, until: number): void {
    if (this.size === this.person.length) {
      const person = new Int32Array(this.size * 2)
      const until = new Int32Array(this.size * 2)
      person.set(this.person)
      until.set(this.until)
      this.person = person
      this.until = until
    }
    this.person[this.size] = person
    this.until[this.size++] = until
  }

  /** Whoever of the job's people is free in the option's place over [t, end) at least. */
  gather(st: State, job: Job, o: Option, t: number, end: number): number {
    this.size = 0
    const { eligible } = job
    for (let x = 0; x < eligible.length; x++) {
      const p = eligible[x]!
      const f = st.free[p]!
      const i = lastFrom(f.start, t)
      if (i < 0 || f.site[i] !== o.site || f.end[i]! < end) continue
      let until = f.end[i]!
      const watched = st.supervising[p]!
      for (let w = 0; w < watched.length; w++) {
        const s = watched[w]!
        if (s.place !== o.place && s.end > t && s.start < until) until = s.start
      }
      if (until >= end) this.add(p, until)
    }
    return this.size
  }

  /** The h-th longest stretch. */
  untilOf(h: number): number {
    const sorted = this.until.slice(0, this.size).sort()
    return sorted[this.size - h] ?? -1
  }

  /** Until when the competences asked could be covered at most, whoever else is needed. */
  coveredUntil(st: State, job: Job, o: Option, t: number): number {
    let all = Infinity
    for (const c of job.competences) {
      let best = -1
      for (let i = 0; i < this.size; i++) {
        const q = st.model.people[this.person[i]!]!
        best = Math.max(best, Math.min(this.until[i]!, q.fullUntil[c]!))
        const alone = Math.min(this.until[i]!, q.supervisedUntil[c]!)
        if (alone <= best) continue
        for (const s of job.supervisors) best = Math.max(best, Math.min(alone, st.model.people[s]!.fullUntil[c]!, supervisesUntil(st, s, o, t)))
      }
      all = Math.min(all, best)
    }
    return all
  }

  /** h people for [t, end) who cover the competences, with a supervisor where one is only held supervised; null: there are none. */
  choose(st: State, job: Job, o: Option, t: number, end: number, h: number): Choice | null {
    const free: number[] = []
    for (let i = 0; i < this.size; i++) if (this.until[i]! >= end) free.push(this.person[i]!)
    if (free.length < h) return null
    if (job.competences.length === 0) return { people: free.slice(0, h).sort(ascending), supervisor: -1 }
    return cover(st, job, o, t, end, h, free, 0, [])
  }
}

const ascending = (a: number, b: number): number => a - b

function cover(
  st: State, job: Job, o: Option, t: number, end: number, h: number, free: readonly number[], at: number, chosen: number[],
): Choice | null {
  const people = st.model.people
  if (at === job.competences.length) {
    const all = [...chosen]
    for (const p of free) {
      if (all.length === h) break
      if (!all.includes(p)) all.push(p)
    }
    if (all.length < h) return null
    const alone = job.competences.filter((c) => !all.some((p) => people[p]!.fullUntil[c]! >= end))
    if (alone.length === 0) return { people: all.sort(ascending), supervisor: -1 }
    for (const s of job.supervisors) {
      const able = alone.every((c) => people[s]!.fullUntil[c]! >= end)
      if (able && supervisesUntil(st, s, o, t) >= end) return { people: all.sort(ascending), supervisor: s }
    }
    return null
  }
  const c = job.competences[at]!
  for (const level of ['fullUntil', 'supervisedUntil'] as const) {
    if (chosen.some((p) => people[p]![level][c]! >= end)) {
      const r = cover(st, job, o, t, end, h, free, at + 1, chosen)
      if (r) return r
    }
    if (chosen.length >= h) continue
    for (const p of free) {
      if (chosen.includes(p) || people[p]![level][c]! < end) continue
      chosen.push(p)
      const r = cover(st, job, o, t, end, h, free, at + 1, chosen)
      chosen.pop()
      if (r) return r
    }
  }
  return null
}

/** Until when somebody present at t stays in this place without work elsewhere, or -1. */
export function supervisesUntil(st: State, p: number, o: Option, t: number): number {
  const rows = st.model.people[p]!.rows
  const i = lastFrom(rows.start, t)
  if (i < 0 || rows.site[i] !== o.site || rows.end[i]! <= t) return -1
  let until = rows.end[i]!
  for (const list of [st.work[p]!, st.supervising[p]!]) {
    for (const b of list) if (b.place !== o.place && b.end > t && b.start < until) until = b.start <= t ? -1 : b.start
    if (until < 0) return -1
  }
  return until
}

/** The next instant after t at which somebody more may be free for `least` minutes and h people may be in all, or -1. */
export function nextArrival(st: State, job: Job, o: Option, t: number, least: number, h: number): number {
  let next = NOBODY
  const { eligible, supervisors } = job
  // The h soonest that people can be there, in order; who is there now counts as t.
  let size = 0
  for (let x = 0; x < eligible.length; x++) {
    const p = eligible[x]!
    const { start, end, site } = st.free[p]!
    let i = lastFrom(start, t)
    let soonest = NOBODY
    if (i >= 0 && end[i]! > t + least && site[i] === o.site) soonest = t
    for (i++; i < start.length; i++) {
      const s = start[i]!
      if (s >= next && (soonest <= t || (size >= h && s >= soon[h - 1]!))) break
      if (site[i] !== o.site || end[i]! - s < least) continue
      if (s < next) next = s
      if (soonest > t) soonest = s
      break
    }
    if (soonest !== NOBODY && (size < h || soonest < soon[h - 1]!)) {
      let at = size < h ? size++ : h - 1
      for (; at > 0 && soon[at - 1]! > soonest; at--) soon[at] = soon[at - 1]!
      soon[at] = soonest
    }
    if (st.supervising[p]!.length > 0) next = firstEnd(st.supervising[p]!, t, next)
  }
  if (size < h) return -1
  for (let x = 0; x < supervisors.length; x++) {
    const p = supervisors[x]!
    const { start, site } = st.model.people[p]!.rows
    for (let i = lastFrom(start, t) + 1; i < start.length && start[i]! < next; i++) if (site[i] === o.site) next = start[i]!
    next = firstEnd(st.work[p]!, t, firstEnd(st.supervising[p]!, t, next))
  }
  if (next === NOBODY) return -1
  return Math.max(next, soon[h - 1]!)
}

const NOBODY = 0x7fffffff
const soon: number[] = []

/** The first end after t, if it is before `next`. */
function firstEnd(rows: readonly { readonly end: number }[], t: number, next: number): number {
  for (let i = 0; i < rows.length; i++) {
    const end = rows[i]!.end
    if (end > t && end < next) next = end
  }
  return next
}
