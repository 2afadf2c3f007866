/** Why a piece is not earlier: what stands against it a minute sooner, or in the last presence before it. */
import { gateAt } from '../cure/index.ts'
import type { Instant, Minutes } from '../units/index.ts'
import type { Binding } from './answer.ts'
import { brokenLink, isIn, leastStart, mode, MET, type Modes } from './links.ts'
import { lastFrom, lastOverlap, nextInside } from './open-times.ts'
import { NEVER, type Draft, type Job, type MLink, type Option } from './model.ts'
import { Crowd } from './people.ts'
import { FOREVER } from './profile.ts'
import { OPEN, PLACED, type Busy, type State } from './state.ts'

const crowd = new Crowd()
const instantOf = (t: number): Instant => t as Instant

export function bindingOf(st: State, modes: Modes, job: Job, n: number): Binding {
  const d = st.drafts[job.index]![n]!
  if (d.fixed >= 0) return { kind: 'fixed' }
  const before = n === 0 ? null : st.drafts[job.index]![n - 1]!
  const links = linkBinding(st, modes, job)
  const released = st.released(job)
  const free = Math.max(0, job.release, links.at, before ? before.end : 0)
  const floor = Math.max(free, released)
  const material: Binding | null = job.waits && floor > free
    ? { kind: 'material', materialId: job.waits.materialId, short: job.waits.short, at: instantOf(job.waits.at) } : null
  if (d.start <= floor) {
    if (before && before.end === floor && d.start === floor) return { kind: 'hands', need: d.people.length, taskId: job.id }
    if (links.binding && links.at === floor) return links.binding
    if (material) return material
    if (job.release === floor && job.release > 0) return { kind: 'release', at: instantOf(job.release) }
    return { kind: 'now' }
  }
  const option = job.options.find((o) => o.place === d.place)!
  // Without itself, so that only others stand in its way.
  const open = without(st, job, n)
  const now = against(open, modes, job, option, d, d.start - 1)
  if (now && now.kind !== 'nobody-here' && !(now.kind === 'hands' && now.taskId === null)) return now
  const earlier = lastPresence(open, job, option, floor, d.start)
  if (earlier) {
    const length = d.end - d.start
    const t = Math.max(floor, earlier.start, Math.min(earlier.end - length, d.start - 1))
    if (t + length > earlier.end) {
      // With the material there, the same stretch would have begun sooner.
      if (material && earlier.start < floor) return material
      if (job.smallest === 0) return { kind: 'stretch', minutes: length as Minutes }
    } else {
      const then = against(open, modes, job, option, d, t)
      if (then && then.kind !== 'nobody-here') return then
    }
  }
  // The coat before was put later for this one, so its window says nothing of how early this could have been.
  const since = links.binding?.kind === 'window' && links.binding.heldBack ? Math.max(0, job.release) : free
  if (now && material && !earlier && lastPresence(open, job, option, since, d.start)) return material
  return now ?? { kind: 'choice' }
}

/** The link that asks for the latest start. */
export function linkBinding(st: State, modes: Modes, job: Job): { at: number; binding: Binding | null; from: number } {
  const { model } = st
  let best: { at: number; binding: Binding | null; from: number } = { at: -1e9, binding: null, from: -1 }
  const offer = (at: number, from: number, binding: () => Binding): void => { if (at > best.at) best = { at, from, binding: binding() } }
  const id = (k: number): string => model.jobs[k]!.id
  if (job.washOf >= 0) {
    const link = model.links[job.washOf]!
    const t = st.stage(link.from, 'sandable')
    if (t !== NEVER) offer(t, link.from, () => ({ kind: 'cure', linkId: link.id, taskId: id(link.from), stage: 'sandable', at: instantOf(t) }))
  }
  for (const l of job.into) {
    const link = model.links[l]!
    if (!isIn(st.status[link.from]!)) continue
    const need = leastStart(st, link, modes)
    if (need.kind !== 'at') continue
    if (link.kind === 'stage') {
      offer(need.at, link.from, () => ({ kind: 'cure', linkId: link.id, taskId: id(link.from), stage: link.stage, at: instantOf(need.at) }))
    } else if (link.kind === 'window' && mode(link, modes) === MET) {
      offer(need.at, link.from, () => {
        const closes = st.stage(link.from, 'closes')
        const opens = instantOf(need.at + job.setUp)
        const shuts = closes === NEVER ? null : instantOf(closes)
        return { kind: 'window', linkId: link.id, taskId: id(link.from), opens, closes: shuts, heldBack: wasHeldBack(st, modes, link) }
      })
    } else {
      const from = link.kind === 'window' && link.wash >= 0 ? link.wash : link.from
      offer(need.at, from, () => ({ kind: 'link', linkId: link.id, taskId: id(from), at: instantOf(need.at) }))
    }
  }
  return best
}

/** The state as if this piece were not there; shares what it doesn't change. */
function without(st: State, job: Job, n: number): State {
  const d = st.drafts[job.index]![n]!
  const open = Object.create(st) as { -readonly [K in keyof State]: State[K] }
  const back = (r: number, from: number, to: number, amount: number): void => {
    if (open.avail === st.avail) open.avail = [...st.avail]
    const copy = open.avail[r]!.clone()
    copy.take(from, to, -amount)
    open.avail[r] = copy
  }
  if (d.end > d.start) for (const need of job.needs) back(need.resource, d.start, st.neededUntil(job, need.until, d), need.amount)
  if (n > 0) return open as State
  for (const h of job.opens) {
    const { resource, amount, to } = st.model.holds[h]!
    if (st.held[h] !== 0) back(resource, d.start, st.held[h] === 2 ? st.end[to]! : FOREVER, amount)
  }
  return open as State
}

/** What stands against the piece at t, or null. */
function against(st: State, modes: Modes, job: Job, o: Option, d: Draft, t: number): Binding | null {
  const { model } = st
  const end = t + d.end - d.start
  const place = model.places[o.place]
  if (place) {
    const shut = lastOverlap(place.closed, t, end)
    if (shut >= 0) return { kind: 'place', placeId: place.id, until: instantOf(shut) }
  }
  const back = heldBack(st, modes, job, d, t)
  if (back) return back
  const hands = job.kind === 'unattended' ? null : handsAgainst(st, job, o, d, t, end)
  if (hands) return hands
  const begins = t + job.setUp
  if (place && o.gate && nextInside(o.gate, begins) !== begins) {
    return { kind: 'gate', placeId: place.id, limit: limitIn(st, job, o.place, begins) ?? 'cold' }
  }
  if (place && job.sensitive) {
    const f = model.stageAt(job.product, o.place, 'dustFree', t + job.setUp, end - job.clearUp)
    const dry = f === NEVER ? Infinity : f
    const dust = st.dust[o.place]!.filter((x) => x.job !== job.index && x.start < dry && x.end + place.settle > t)
    if (dust.length > 0) return { kind: 'dust', placeId: place.id, taskId: taskOf(st, last(dust).job), settling: true }
  }
  if (place && job.dusty) {
    const wet = st.wet[o.place]!.filter((x) => x.job !== job.index && t < x.end && end + place.settle > x.start)
    if (wet.length > 0) return { kind: 'dust', placeId: place.id, taskId: taskOf(st, last(wet).job), settling: false }
  }
  if (end > t) {
    for (const n of job.needs) {
      const to = st.neededUntil(job, n.until, { start: t, end, place: o.place })
      const until = st.avail[n.resource]!.conflict(t, to, n.asked)
      if (until >= 0) return thingBinding(st, n.resource, t, to, job.index, until)
    }
  }
  for (const h of job.opens) {
    const hold = model.holds[h]!
    const to = st.status[hold.to] === PLACED ? st.end[hold.to]! : model.horizon
    const until = st.avail[hold.resource]!.conflict(t, to, hold.amount)
    if (until >= 0) return thingBinding(st, hold.resource, t, to, job.index, until)
  }
  return null
}

const last = <T extends { readonly end: number }>(rows: readonly T[]): T => rows.reduce((a, b) => (b.end > a.end ? b : a))
const taskOf = (st: State, k: number): string | null => (k < 0 ? null : st.model.jobs[k]!.id)

/** A coat that waits so that the next one meets its window, or a start kept back by a maximum lag. */
function heldBack(st: State, modes: Modes, job: Job, d: Draft, t: number): Binding | null {
  const { model } = st
  for (const l of job.outOf) {
    const link = model.links[l]!
    if (st.status[link.to] !== PLACED) continue
    if (link.kind === 'window' && mode(link, modes) === MET) {
      const closes = model.stageAt(job.product, d.place, 'closes', t + job.setUp, t + d.end - d.start - job.clearUp)
      if (closes !== NEVER && closes < st.end[link.to]! - model.jobs[link.to]!.clearUp) {
        const opens = st.stage(job.index, 'opens')
        const shuts = st.stage(job.index, 'closes')
        const closes = shuts === NEVER ? null : instantOf(shuts)
        return { kind: 'window', linkId: link.id, taskId: job.id, opens: instantOf(opens), closes, heldBack: true }
      }
    }
    if (link.kind === 'lag' && link.max !== null && !brokenLink(st, link, modes)) {
      const edge = link.edge === 'start' ? t : t + d.end - d.start
      if (st.start[link.to]! - edge > link.max) return { kind: 'link', linkId: link.id, taskId: model.jobs[link.to]!.id, at: instantOf(d.start) }
    }
  }
  return null
}

/** The coat before, a minute sooner, would close too early for the next. */
function wasHeldBack(st: State, modes: Modes, link: MLink): boolean {
  const job = st.model.jobs[link.from]!
  const d = st.drafts[link.from]![0]
  if (!d || d.fixed >= 0) return false
  const back = heldBack(st, modes, job, d, d.start - 1)
  return back !== null && 'linkId' in back && back.linkId === link.id
}

function handsAgainst(st: State, job: Job, o: Option, d: Draft, t: number, end: number): Binding | null {
  const { model } = st
  const need = d.people.length
  let present = 0
  const able: number[] = []
  let busy: { readonly person: number; readonly span: Busy } | null = null
  let busyEnd = -Infinity
  for (const p of job.eligible) {
    const rows = model.people[p]!.rows
    const i = lastFrom(rows.start, t)
    if (i < 0 || rows.site[i] !== o.site || rows.end[i]! <= t) continue
    present++
    if (rows.end[i]! < end) continue
    const mine = d.people.includes(p)
    let free = true
    for (const list of [st.work[p]!, st.supervising[p]!]) {
      for (const x of list) {
        if (x.start >= end || x.end <= t || (mine && x.start === d.start && x.end === d.end)) continue
        if (list !== st.work[p] && x.place === o.place) continue
        free = false
        if (x.end <= busyEnd) continue
        busyEnd = x.end
        busy = { person: p, span: x }
      }
    }
    if (free) able.push(p)
  }
  if (present === 0) return { kind: 'nobody-here', until: instantOf(d.start) }
  if (able.length < need) return { kind: 'hands', need, taskId: busy && taskBusy(st, busy.person, busy.span) }
  if (job.competences.length === 0) return null
  crowd.clear()
  for (const p of able) crowd.add(p, end)
  if (crowd.choose(st, job, o, t, end, need)) return null
  const lacking = job.competences.find((c) => !able.some((p) => model.people[p]!.fullUntil[c]! >= end)) ?? job.competences[0]!
  return { kind: 'competence', competenceId: model.competences[lacking]! }
}

function taskBusy(st: State, p: number, b: { start: number; end: number; place: number }): string | null {
  for (const j of st.model.jobs) {
    for (const d of st.drafts[j.index]!) if (d.start === b.start && d.end === b.end && (d.people.includes(p) || d.supervisor === p)) return j.id
  }
  return null
}

function thingBinding(st: State, r: number, t: number, to: number, self: number, until: number): Binding {
  const { model } = st
  const back = until < model.horizon ? instantOf(until) : null
  return { kind: 'resource', resourceId: model.resources[r]!.id, taskId: userOf(st, r, t, to, self), until: back }
}

/** The task or hold that has the thing last within [t, to). */
function userOf(st: State, r: number, t: number, to: number, self: number): string | null {
  const { model } = st
  let end = -Infinity
  let who: string | null = null
  const offer = (from: number, until: number, id: string): void => { if (from < to && until > t && until > end) { end = until; who = id } }
  for (const j of model.jobs) {
    if (j.index === self) continue
    for (const n of j.needs) {
      if (n.resource !== r) continue
      for (const d of st.drafts[j.index]!) offer(d.start, st.neededUntil(j, n.until, d), j.id)
      if (j.done?.stages && n.until) offer(j.done.start, j.done.stages[n.until] === NEVER ? Infinity : j.done.stages[n.until], j.id)
    }
  }
  for (const h of model.holds) {
    if (h.resource !== r || st.held[h.index] === 0 || h.from === self) continue
    const since = model.jobs[h.from]!.done || st.status[h.from] === OPEN ? -Infinity : st.start[h.from]!
    offer(since, st.held[h.index] === 2 ? st.end[h.to]! : Infinity, h.id)
  }
  return who
}

/** Which limit shuts the job's gates in a place at an instant; null: none. */
export function limitIn(st: State, job: Job, placeIndex: number, t: number): 'cold' | 'hot' | 'humid' | 'dew' | null {
  const { problem } = st.model
  const place = problem.places[placeIndex]!
  let climate = place.climate[0]!.value
  for (const s of place.climate) if (s.from <= t) climate = s.value
  const task = job.washOf >= 0 ? washOf(st, job) : problem.tasks[job.index]!
  for (const gate of [task?.gate ?? null, job.product >= 0 ? problem.products[job.product]!.gate : null]) {
    const why = gate && gateAt(gate, climate, place.surfaceOffset)
    if (why) return why
  }
  return null
}

function washOf(st: State, job: Job): { readonly gate: Parameters<typeof gateAt>[0] | null } | null {
  const link = st.model.problem.links[job.washOf]!
  return link.kind === 'window' ? link.wash : null
}

/** The last stretch of anybody's presence in the option's place that reaches into [from, to). */
function lastPresence(st: State, job: Job, o: Option, from: number, to: number): { start: number; end: number } | null {
  let found: { start: number; end: number } | null = null
  for (const p of job.eligible) {
    const rows = st.model.people[p]!.rows
    for (let i = lastFrom(rows.start, to - 1); i >= 0 && rows.end[i]! > from; i--) {
      const start = rows.start[i]!
      const end = rows.end[i]!
      if (rows.site[i] !== o.site || end >= to) continue
      if (!found || end > found.end || (end === found.end && start < found.start)) found = { start, end }
      break
    }
  }
  return found
}
