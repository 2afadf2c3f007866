/** What keeps a piece from a stretch of time apart from people: closures, gates, dust and wet films, things that are in use. */
import { FOREVER } from './profile.ts'
import { lastOverlap, nextInside, nextStart } from './open-times.ts'
import { NEVER, type Job, type Option } from './model.ts'
import { DONE, PLACED, type State } from './state.ts'

/** -1 when [t, end) is free for a piece of the job; else an instant before which no piece that lasts at least as long can start. */
export function blockedUntil(st: State, job: Job, o: Option, t: number, end: number): number {
  const { model } = st
  let later = -1
  if (o.place >= 0) {
    later = placeBlocked(st, job, o, t, end)
    if (later === FOREVER) return later
  }
  if (end > t) {
    const { needs } = job
    for (let i = 0; i < needs.length; i++) {
      const n = needs[i]!
      const to = n.until === null ? end : st.neededUntil(job, n.until, { start: t, end, place: o.place })
      later = Math.max(later, st.avail[n.resource]!.conflict(t, to, n.asked + (job.opens.length === 0 ? 0 : opening(st, job, n.resource))))
    }
  }
  for (let i = 0; i < job.opens.length; i++) {
    const h = job.opens[i]!
    const hold = model.holds[h]!
    if (st.held[h] !== 0) continue
    const itself = hold.to === job.index && job.smallest === 0
    const to = itself ? end : st.status[hold.to] === PLACED || st.status[hold.to] === DONE ? st.end[hold.to]! : FOREVER
    later = Math.max(later, st.avail[hold.resource]!.conflict(t, to, opening(st, job, hold.resource)))
  }
  return later
}

function placeBlocked(st: State, job: Job, o: Option, t: number, end: number): number {
  const { model } = st
  const place = model.places[o.place]!
  let later = place.closed.start.length === 0 ? -1 : lastOverlap(place.closed, t, end)
  if (o.gate) {
    const open = nextInside(o.gate, t + job.setUp)
    if (open < 0) return FOREVER
    if (open > t + job.setUp) later = Math.max(later, open - job.setUp)
  }
  if (job.sensitive && st.dust[o.place]!.length > 0) {
    const f = model.stageAt(job.product, o.place, 'dustFree', t + job.setUp, end - job.clearUp)
    const dry = f === NEVER ? FOREVER : f
    const rows = st.dust[o.place]!
    for (let i = 0; i < rows.length; i++) {
      const d = rows[i]!
      if (d.job !== job.index && d.start < dry && d.end + place.settle > t && d.end + place.settle > later) later = d.end + place.settle
    }
  }
  if (job.dusty) {
    const rows = st.wet[o.place]!
    for (let i = 0; i < rows.length; i++) {
      const w = rows[i]!
      if (w.job !== job.index && t < w.end && end + place.settle > w.start && w.end > later) later = w.end
    }
  }
  return later
}

/** What the job's holds on this resource take from its start on, as long as they haven't begun. */
function opening(st: State, job: Job, resource: number): number {
  let sum = 0
  for (const h of job.opens) if (st.held[h] === 0 && st.model.holds[h]!.resource === resource) sum += st.model.holds[h]!.amount
  return sum
}

/** How long a divisible piece that may start at t can go on, people apart. */
export function clearUntil(st: State, job: Job, o: Option, t: number): number {
  const { model } = st
  let end = model.horizon
  for (const n of job.needs) end = Math.min(end, st.avail[n.resource]!.shortFrom(t, n.asked + opening(st, job, n.resource)))
  if (o.place < 0) return end
  const place = model.places[o.place]!
  end = nextStart(place.closed, t, end)
  if (job.dusty) {
    for (const w of st.wet[o.place]!) if (w.job !== job.index && t < w.end) end = Math.min(end, w.start - place.settle)
  }
  return end
}
