/** Why a task is not in the plan: the fact that rules it out, or what took its place. */
import type { Minutes } from '../units/index.ts'
import type { UnplannedReason } from './answer.ts'
import { limitIn } from './bind.ts'
import { IMPOSSIBLE, type Bounds } from './bounds.ts'
import { earliest, lateMaterial, type Modes } from './links.ts'
import { lastOverlap, nextInside, nextStart, openTimes } from './open-times.ts'
import { FOREVER } from './profile.ts'
import type { Job, Model } from './model.ts'
import { FAILED, OPEN, type State } from './state.ts'

/** `known`: what the search found, if anything. */
export function reasonFor(st: State, modes: Modes, bounds: Bounds, job: Job, known: UnplannedReason | null): UnplannedReason {
  const { model } = st
  const circle = model.impossible.find((c) => c.includes(job.index))
  if (circle) return { kind: 'circle', taskIds: circle.map((k) => model.jobs[k]!.id) }
  const out = provablyOut(bounds, job.index)
  const fact = out ? factAgainst(st, job) : null
  if (known) return known.kind === 'window' || known.kind === 'lag' || known.kind === 'material' ? fact ?? known : known
  if (fact) return fact
  const need = earliest(st, job.index, modes)
  if ('fail' in need) return need.fail
  const held = heldAgainst(st, job)
  if (held) return held
  if (job.waits?.wanted && need.at === job.waits.at && st.released(job) === need.at) return lateMaterial(job.waits)
  return (out ? windowAgainst(st, job, need.at) : null) ?? { kind: 'horizon' }
}

/** What no order of work could change. */
function factAgainst(st: State, job: Job): UnplannedReason | null {
  const { model } = st
  for (const n of job.needs) {
    const r = model.resources[n.resource]!
    if (n.asked <= r.most) continue
    if (job.kind === 'unattended') return { kind: 'demand-exceeds-capacity', resourceId: r.id }
    return { kind: 'resource', resourceId: r.id, need: n.asked, most: r.most }
  }
  for (const h of job.opens) {
    const hold = model.holds[h]!
    const r = model.resources[hold.resource]!
    if (hold.amount > r.most) return { kind: 'resource', resourceId: r.id, need: hold.amount, most: r.most }
  }
  if (job.options.length === 0) {
    const bound = job.needs.find((n) => model.resources[n.resource]!.site >= 0)
    return bound ? { kind: 'resource', resourceId: model.resources[bound.resource]!.id, need: bound.asked, most: 0 } : { kind: 'place' }
  }
  if (job.kind === 'unattended') return null
  for (const c of job.competences) {
    const full = model.people.some((p) => p.fullUntil[c]! > 0)
    const held = job.eligible.some((p) => model.people[p]!.fullUntil[c]! > 0 || (full && model.people[p]!.supervisedUntil[c]! > 0))
    if (!held) return { kind: 'competence', competenceId: model.competences[c]! }
  }
  return presenceAgainst(model, job)
}

/** How many hands ever meet, and how long the longest stretch with enough of them is. */
function presenceAgainst(model: Model, job: Job): UnplannedReason | null {
  let most = 0
  let longest = 0
  let least = Infinity
  for (const site of new Set(job.options.map((o) => o.site))) {
    const rows = job.eligible.flatMap((p) => {
      const r = model.people[p]!.rows
      return Array.from(r.start, (s, i) => ({ start: Math.max(0, s), end: Math.min(model.horizon, r.end[i]!), site: r.site[i]! }))
    }).filter((r) => r.site === site && r.end > r.start)
    for (const a of rows) {
      const here = rows.filter((r) => r.start <= a.start && r.end > a.start)
      most = Math.max(most, here.length)
      const ends = here.map((r) => r.end).sort((x, y) => y - x)
      for (let h = job.handsFrom; h <= Math.min(job.handsTo, here.length); h++) {
        longest = Math.max(longest, ends[h - 1]! - a.start)
        least = Math.min(least, shortestPiece(job, h) - (ends[h - 1]! - a.start))
      }
    }
  }
  if (most < job.handsFrom) return { kind: 'hands', need: job.handsFrom, most }
  if (least > 0) {
    return { kind: 'no-stretch', need: shortestPiece(job, Math.min(job.handsTo, most)) as Minutes, longest: longest as Minutes }
  }
  return null
}

/** Minutes of the shortest piece that h hands can do of the job. */
function shortestPiece(job: Job, h: number): number {
  const worked = job.smallest > 0 ? Math.min(job.smallest, job.work) : job.kind === 'shared' ? Math.ceil(job.work / h) : job.work
  return job.setUp + worked + job.clearUp
}

function heldAgainst(st: State, job: Job): UnplannedReason | null {
  const { model } = st
  for (const h of model.holds) {
    const stays = st.held[h.index] === 1 && (st.status[h.to] === FAILED || st.status[h.to] === OPEN)
    if (!stays || job.opens.includes(h.index)) continue
    const mine = job.opens.map((x) => model.holds[x]!).filter((x) => x.resource === h.resource).map((x) => x.amount)
    const asks = [...job.needs.filter((n) => n.resource === h.resource).map((n) => n.asked), ...mine]
    if (asks.length === 0 || st.avail[h.resource]!.value(model.horizon) >= Math.max(...asks)) continue
    return { kind: 'held', resourceId: model.resources[h.resource]!.id, holdId: h.id }
  }
  return null
}

/** Gates that stay shut, or places that stay closed, whenever somebody is there from `from` on. */
function windowAgainst(st: State, job: Job, from: number): UnplannedReason | null {
  const { model } = st
  let gate: UnplannedReason | null = null
  for (const o of job.options) {
    if (o.place < 0) return null
    const place = model.places[o.place]!
    const times = job.kind === 'unattended' ? openTimes([{ start: from, end: model.horizon }]) : openTimes(job.eligible.flatMap((p) => {
      const r = model.people[p]!.rows
      return Array.from(r.start, (s, i) => ({ start: Math.max(from, s), end: r.site[i] === o.site ? Math.min(model.horizon, r.end[i]!) : 0 }))
    }))
    if (times.start.length === 0) continue
    const shut = Array.from(times.start).every((s, i) => {
      const end = times.end[i]!
      return nextStart(place.closed, s, FOREVER) === s && lastOverlap(place.closed, s, end) >= end
    })
    if (shut) continue
    const open = !o.gate || Array.from(times.start).some((s, i) => {
      const t = nextInside(o.gate!, s + job.setUp)
      return t >= 0 && t < times.end[i]!
    })
    if (open) return null
    gate ??= { kind: 'gate', limit: limitIn(st, job, o.place, times.start[0]! + job.setUp) ?? 'cold' }
  }
  return gate ?? (job.options.length > 0 ? { kind: 'place' } : null)
}

/** True when no plan has it. */
export const provablyOut = (bounds: Bounds, k: number): boolean => bounds.finish[k]! >= IMPOSSIBLE
