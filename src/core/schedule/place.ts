/** The earliest way to do one job, everything already placed left as it is. */
import { blockedUntil, clearUntil } from './blocked.ts'
import { progress, type Draft, type Job, type Option } from './model.ts'
import { Crowd, nextArrival } from './people.ts'
import type { State } from './state.ts'

const crowd = new Crowd()

export interface Placement { readonly drafts: readonly Draft[]; readonly end: number }

/**
 * New pieces that complete the job, none before `est`, none after the horizon; earliest finish first, then fewest pieces.
 * Null: there is no way. A job whose kept pieces complete it gets none.
 */
export function placement(st: State, job: Job, est: number): Placement | null {
  const kept = st.drafts[job.index]!
  let left = job.work
  for (const d of kept) left -= progress(job, d)
  if (kept.length > 0 && left <= 0) return { drafts: [], end: kept[kept.length - 1]!.end }
  const from = Math.max(est, st.released(job), 0)
  if (job.kind === 'unattended') return best(job.options, (o) => one(unattended(st, job, o, from)))
  if (job.smallest === 0) {
    let bound = st.model.horizon
    return best(job.options, (o) => {
      const d = whole(st, job, o, from, bound)
      if (d) bound = Math.min(bound, d.end - 1)
      return one(d)
    })
  }
  const single = best(job.options, (o) => pieces(st, job, [o], from, left, kept))
  if (job.options.length < 2) return single
  const mixed = pieces(st, job, job.options, from, left, kept)
  return mixed && (!single || mixed.end < single.end) ? mixed : single
}

const one = (d: Draft | null): Placement | null => d && { drafts: [d], end: d.end }

function best(options: readonly Option[], way: (o: Option) => Placement | null): Placement | null {
  let found: Placement | null = null
  for (const o of options) {
    const p = way(o)
    if (p && (!found || p.end < found.end || (p.end === found.end && p.drafts.length < found.drafts.length))) found = p
  }
  return found
}

export function unattended(st: State, job: Job, o: Option, from: number): Draft | null {
  let t = from
  for (;;) {
    if (t + job.work > st.model.horizon) return null
    const later = blockedUntil(st, job, o, t, t + job.work)
    if (later <= t) return { start: t, end: t + job.work, people: [], supervisor: -1, place: o.place, fixed: -1 }
    t = later
  }
}

/** One undivided piece that ends by `bound`: the earliest finish, then the fewest hands. */
function whole(st: State, job: Job, o: Option, from: number, bound: number): Draft | null {
  let found: Draft | null = null
  let limit = bound
  for (let h = Math.min(job.handsTo, o.most); h >= job.handsFrom; h--) {
    const d = wholeWith(st, job, o, from, limit, h)
    if (!d) continue
    found = d
    limit = d.end - 1
  }
  return found
}

/** One undivided piece with h people, as early as it can be and ended by `limit`. */
export function wholeWith(st: State, job: Job, o: Option, from: number, limit: number, h: number): Draft | null {
  const length = job.setUp + (job.kind === 'shared' ? Math.ceil(job.work / h) : job.work) + job.clearUp
  for (let t = from; t >= 0 && t + length <= limit;) {
    const later = blockedUntil(st, job, o, t, t + length)
    if (later > t) {
      t = later
      continue
    }
    if (crowd.gather(st, job, o, t, t + length) >= h) {
      const who = crowd.choose(st, job, o, t, t + length, h)
      if (who) return { start: t, end: t + length, people: who.people, supervisor: who.supervisor, place: o.place, fixed: -1 }
    }
    t = nextArrival(st, job, o, t, length, h)
  }
  return null
}

/** Pieces one after another, each in whichever place lets it start first. */
function pieces(st: State, job: Job, options: readonly Option[], from: number, work: number, kept: readonly Draft[]): Placement | null {
  const drafts: Draft[] = []
  let left = work
  let t = from
  while (left > 0) {
    let next: Draft | null = null
    for (const o of options) {
      const d = piece(st, job, o, t, left, kept, next ? next.start : st.model.horizon)
      if (d && (!next || d.start < next.start || (d.start === next.start && progress(job, d) > progress(job, next)))) next = d
    }
    if (!next) return null
    drafts.push(next)
    left -= progress(job, next)
    t = next.end
  }
  const last = drafts[drafts.length - 1]!.end
  return { drafts, end: kept.length > 0 ? Math.max(last, kept[kept.length - 1]!.end) : last }
}

/** The next piece of a divisible job that starts by `latest`: as many minutes as the work needs and the stretch gives. */
export function piece(st: State, job: Job, o: Option, from: number, left: number, kept: readonly Draft[], latest: number): Draft | null {
  const around = job.setUp + job.clearUp
  const most = Math.min(job.handsTo, o.most)
  if (most < job.handsFrom) return null
  const minutes = (h: number): number => (job.kind === 'shared' ? Math.ceil(left / h) : left)
  for (let t = from; t >= 0 && t <= latest;) {
    // Only the last piece of all may be shorter than the smallest; a kept piece after this one would be the last.
    const before = kept.some((d) => d.start >= t)
    const shortest = around + (before ? job.smallest : Math.min(job.smallest, minutes(most)))
    if (t + shortest > st.model.horizon) return null
    const own = kept.find((d) => d.start < t + shortest && d.end > t)
    if (own) {
      t = own.end
      continue
    }
    const later = blockedUntil(st, job, o, t, t + shortest)
    if (later > t) {
      t = later
      continue
    }
    let clear = clearUntil(st, job, o, t)
    for (const d of kept) if (d.start >= t) clear = Math.min(clear, d.start)
    const here = crowd.gather(st, job, o, t, t + shortest)
    let found: Draft | null = null
    const covered = here >= job.handsFrom && job.competences.length > 0 ? crowd.coveredUntil(st, job, o, t) : Infinity
    for (let h = Math.min(most, here); h >= job.handsFrom; h--) {
      const end = Math.min(clear, covered, crowd.untilOf(h))
      const need = minutes(h)
      const w = Math.min(need, end - t - around)
      if (w < 1 || (w < job.smallest && (w < need || before))) continue
      const who = crowd.choose(st, job, o, t, t + around + w, h)
      if (!who) continue
      const d: Draft = { start: t, end: t + around + w, people: who.people, supervisor: who.supervisor, place: o.place, fixed: -1 }
      if (!found || better(job, d, found, left)) found = d
    }
    if (found) return found
    const arrival = nextArrival(st, job, o, t, shortest, job.handsFrom)
    t = clear > t && clear < st.model.horizon && (arrival < 0 || clear < arrival) ? clear : arrival
  }
  return null
}

/** A piece that completes the work beats one that doesn't; then the earlier end, or the more done. */
function better(job: Job, a: Draft, b: Draft, left: number): boolean {
  const done = progress(job, a)
  const other = progress(job, b)
  if (done >= left !== other >= left) return done >= left
  if (done >= left) return a.end < b.end || (a.end === b.end && a.people.length < b.people.length)
  return done > other
}
