/** What links ask of a job, given what is placed: an earliest start, and which link a placement breaks. */
import { instant } from '../units/index.ts'
import type { Waits } from './materials.ts'
import { NEVER, type MLink, type Model } from './model.ts'
import { DONE, FAILED, OFF, PLACED, type State } from './state.ts'
import type { UnplannedReason } from './answer.ts'

/** How a window link is meant to be kept. */
export const MET = 0
export const MISSED = 1
/** For bounds only: the window neither closes nor needs a wash. */
export const IGNORED = 2

export type Window = MLink & { readonly kind: 'window' }

/** Modes of all links by index; only those of open window links are read. */
export type Modes = Uint8Array

export function mode(link: Window, modes: Modes): number {
  if (link.state === 'open') return modes[link.index]!
  return link.state === 'hard' ? (modes[link.index] === IGNORED ? IGNORED : MET) : MISSED
}

export const isIn = (status: number): boolean => status === PLACED || status === DONE

/** Earliest start of a job by the links from what is placed; or the reason why it can't be planned. */
export function earliest(st: State, k: number, modes: Modes): { readonly at: number } | { readonly fail: UnplannedReason } {
  const { model } = st
  const job = model.jobs[k]!
  let at = st.released(job)
  if (job.waits && at > model.horizon && at === job.waits.at) return { fail: lateMaterial(job.waits) }
  if (job.washOf >= 0) {
    const link = model.links[job.washOf] as Window
    const s = st.status[link.from]!
    if (s === FAILED) return { fail: { kind: 'before', taskId: model.jobs[link.from]!.id } }
    if (!isIn(s)) return { at }
    const sandable = st.stage(link.from, 'sandable')
    return sandable === NEVER ? { fail: { kind: 'stage', linkId: link.id, stage: 'sandable' } } : { at: Math.max(at, sandable) }
  }
  for (const l of job.into) {
    const link = model.links[l]!
    const s = st.status[link.from]!
    if (s === FAILED) return { fail: { kind: 'before', taskId: model.jobs[link.from]!.id } }
    if (!isIn(s)) continue
    const need = leastStart(st, link, modes)
    if (need.kind !== 'at') return { fail: need }
    if (need.at > at) at = need.at
  }
  return { at }
}

export const lateMaterial = (waits: Waits): UnplannedReason => ({ kind: 'material', materialId: waits.materialId, at: instant(waits.at) })

/** Least start(to) of one link whose `from` is placed or finished. */
export function leastStart(st: State, link: MLink, modes: Modes): { readonly kind: 'at'; readonly at: number } | UnplannedReason {
  const { model } = st
  const job = model.jobs[link.to]!
  switch (link.kind) {
    case 'finish': return { kind: 'at', at: st.end[link.from]! + link.lag }
    case 'lag': return { kind: 'at', at: link.min === null ? -1e9 : lagEdge(st, link) + link.min }
    case 'stage': {
      const t = st.stage(link.from, link.stage)
      return t === NEVER ? { kind: 'stage', linkId: link.id, stage: link.stage } : { kind: 'at', at: t }
    }
    case 'window': {
      const m = mode(link, modes)
      if (m === MISSED) {
        if (link.state === 'washed') return { kind: 'at', at: link.washedAt }
        const s = st.status[link.wash]!
        if (s === FAILED) return { kind: 'before', taskId: model.jobs[link.wash]!.id }
        return { kind: 'at', at: isIn(s) ? st.end[link.wash]! : -1e9 }
      }
      const t = st.stage(link.from, 'opens')
      if (t !== NEVER) return { kind: 'at', at: t - job.setUp }
      return m === IGNORED ? { kind: 'at', at: st.end[link.from]! } : { kind: 'window', linkId: link.id }
    }
  }
}

/** A started task's start is the fact. */
function lagEdge(st: State, link: MLink & { readonly kind: 'lag' }): number {
  if (link.edge === 'finish') return st.end[link.from]!
  return st.model.jobs[link.from]!.startedAt ?? st.start[link.from]!
}

export interface Broken {
  readonly link: MLink
  /** The job that must move, ... */
  readonly job: number
  /** ... to this start at least. */
  readonly to: number
  /** Broken along a path of links; `link` is only one of them. */
  readonly path?: true
}

/** The first link between k (just placed) and other placed jobs that is broken, and who would have to start later. */
export function broken(st: State, k: number, modes: Modes): Broken | null {
  const { model } = st
  const job = model.jobs[k]!
  if (job.washOf >= 0) {
    const link = model.links[job.washOf] as Window
    if (st.status[link.to] === PLACED && st.start[link.to]! < st.end[k]!) return { link, job: link.to, to: st.end[k]! }
    return null
  }
  for (const l of job.into) {
    const b = brokenLink(st, model.links[l]!, modes)
    if (b) return b
  }
  for (const l of job.outOf) {
    const b = brokenLink(st, model.links[l]!, modes)
    if (b) return b
  }
  return null
}

/** The same for one link; null unless both ends are placed. */
export function brokenLink(st: State, link: MLink, modes: Modes): Broken | null {
  const { model } = st
  const { from, to } = link
  if (!isIn(st.status[from]!) || st.status[to] !== PLACED) return null
  const start = st.start[to]!
  // How a kept piece began before now is history.
  if (start < 0) return null
  const least = leastStart(st, link, modes)
  if (least.kind !== 'at') return { link, job: to, to: model.horizon + 1 }
  if (start < least.at) return { link, job: to, to: least.at }
  if (link.kind === 'lag' && link.max !== null && model.jobs[to]!.startedAt === null) {
    const over = start - link.max - lagEdge(st, link)
    if (over > 0) return { link, job: from, to: st.start[from]! + over }
  }
  if (link.kind === 'window' && mode(link, modes) === MET) {
    const closes = st.stage(from, 'closes')
    const end = st.end[to]! - model.jobs[to]!.clearUp
    if (closes !== NEVER && end > closes) return { link, job: from, to: laterCoat(st, model, from, end) }
  }
  return null
}

/** The least start of the coat from which it closes no earlier than `end`. */
function laterCoat(st: State, model: Model, from: number, end: number): number {
  const job = model.jobs[from]!
  const d = st.drafts[from]?.[0]
  if (!d || job.product < 0) return model.horizon + 1
  const ok = (start: number): boolean => {
    const closes = model.stageAt(job.product, d.place, 'closes', start + job.setUp, start + d.end - d.start - job.clearUp)
    return closes === NEVER || closes >= end
  }
  let lo = d.start
  let hi = Math.max(d.start + 1, end)
  if (!ok(hi)) return hi
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1
    if (ok(mid)) hi = mid
    else lo = mid
  }
  return hi
}

/** False: a wash that this choice of modes doesn't ask for, or whose coat can't be put on anyway. */
export const wanted = (st: State, k: number, modes: Modes): boolean => {
  const { washOf } = st.model.jobs[k]!
  if (washOf < 0) return st.status[k] !== OFF
  const link = st.model.links[washOf] as Window
  return mode(link, modes) === MISSED && (link.state !== 'open' || st.status[link.to] !== FAILED)
}
