/** From a question, its plan and what is uncertain about one build to rows of numbers that a run walks through. Instants are minutes from now. */
import type { ConditionGate } from '../cure/types.ts'
import type { Piece, Plan } from '../schedule/answer.ts'
import { compile } from '../schedule/compile.ts'
import type { Draft, Job, MLink, Model, Need } from '../schedule/model.ts'
import type { OpenTimes } from '../schedule/open-times.ts'
import { parseProblem } from '../schedule/parse.ts'
import type { Problem } from '../schedule/problem.ts'
import { FOREVER, type Profile } from '../schedule/profile.ts'
import { State, type Busy, type Stretch } from '../schedule/state.ts'
import { stepsOf } from './order.ts'
import { pertMean, pertSd } from './pert.ts'
import { stretchesOf, WEEK, type Extra, type Stretches } from './presence.ts'
import { betaQuantiles, centred, type Quantiles } from './sample.ts'
import { CRAFTS, type ThreePoints, type Uncertainty } from './types.ts'
import { BLOCK, LEVELS, Weather } from './weather.ts'

/** A build made ready to be launched many times; `simulate` does it. */
export interface Compiled {
  readonly buildId: string
  readonly origin: number
  readonly horizon: number
  readonly model: Model
  readonly uncertainty: Uncertainty
  /** Null: the plan has no launch for her, or she is paused. -1: the last of all her tasks. */
  readonly launchJob: number | null
  readonly jobs: readonly LJob[]
  readonly steps: readonly LStep[]
  readonly links: readonly LLink[]
  readonly holds: readonly LHold[]
  readonly places: readonly LPlace[]
  /** What other builds and facts leave of the things that she needs; by index of the model. */
  readonly profiles: readonly (Profile | null)[]
  readonly stretches: Stretches
  readonly people: readonly LPerson[]
  /** One more than people for a helper. */
  readonly helper: number
  /** Levels of temperature, °C on top of the model, and what the shop is warmer by. */
  readonly levels: readonly number[]
  readonly blocks: number
  readonly warmer: number
  readonly isCured: boolean
  /** Hands beside those the plan knew of. */
  readonly moreHands: number
  readonly weather: Weather
  readonly attendance: { readonly base: number; readonly sd: number; readonly weekSd: number; readonly follows: number; readonly weeks: number }
  readonly missedCost: number
  readonly phases: readonly string[]
}

export interface LPerson {
  readonly fullUntil: Int32Array
  readonly supervisedUntil: Int32Array
  /** Pieces of others, and whom this person watches there. */
  readonly work: readonly Busy[]
  readonly watching: readonly Busy[]
  /** Present, whether eligible or not: for supervising. */
  readonly rowStart: Int32Array
  readonly rowEnd: Int32Array
  readonly rowSite: Int32Array
}

export interface LPlace {
  readonly site: number
  readonly closed: OpenTimes
  readonly settle: number
  readonly dust: Spans
  readonly wet: Spans
}
/** Sorted by start; `ends`: the latest end of all up to each. */
export interface Spans { readonly start: Int32Array; readonly end: Int32Array; readonly ends: Int32Array }

export interface LOption {
  readonly place: number
  readonly site: number
  /** One for each level; null: always open. */
  readonly gates: readonly OpenTimes[] | null
  /** Nothing but people can keep the task from it. */
  readonly isPlain: boolean
}

export interface LJob {
  readonly index: number
  readonly id: string
  readonly kind: Job['kind']
  /** As the question has it, in the unit of the task; the likely length, that a stretch must have room for. */
  readonly work: number
  readonly handsFrom: number
  readonly handsTo: number
  readonly smallest: number
  readonly setUp: number
  readonly clearUp: number
  readonly options: readonly LOption[]
  readonly needs: readonly Need[]
  readonly competences: readonly number[]
  readonly supervisors: readonly number[]
  readonly dusty: boolean
  readonly sensitive: boolean
  readonly product: number
  /** Not before: release, material, with what it is that keeps it. */
  readonly release: number
  readonly releaseIs: 'date' | 'delivery'
  readonly materialId: string | null
  readonly started: number | null
  readonly done: Job['done']
  readonly into: readonly LLink[]
  readonly outOf: readonly LLink[]
  readonly opens: readonly LHold[]
  readonly closes: readonly LHold[]
  readonly washOf: LLink | null
  /** Minutes of the task's own unit a hands-on minute is worth: a task of two together takes one for two. */
  readonly per: number
  readonly points: Points | null
  readonly craft: number
  readonly phase: number
  readonly rework: number
  /** In the plan: its steps, its first start. */
  readonly planned: boolean
  readonly plannedStart: number
  readonly isHeldBack: boolean
}
export interface Points { readonly mean: number; readonly sd: number; readonly low: number; readonly high: number; readonly table: Quantiles }

export type LLink = MLink & { readonly met: boolean; readonly chosen: boolean }
export interface LHold { readonly index: number; readonly resource: number; readonly amount: number; readonly length: number; readonly since: number | null }

export interface LStep {
  readonly job: number
  readonly start: number
  readonly end: number
  readonly isLast: boolean
  readonly target: number
  readonly people: Int32Array
  readonly supervisor: number
  readonly place: number
  readonly notBefore: number
  readonly fixed: Piece['fixed']
}

interface Ready { readonly model: Model; readonly origin: number; readonly weather: Weather; states: WeakMap<Plan, Map<string, State>> }
const ready = new WeakMap<Problem, Ready>()

/** What is common to all builds and what-ifs of one question is made once. */
function readyOf(problem: Problem): Ready {
  let found = ready.get(problem)
  if (!found) {
    const parsed = parseProblem(problem)
    if (!parsed.ok) throw new RangeError(`the question can't be planned: ${JSON.stringify(parsed.refusal[0])}`)
    const model = compile(parsed.value)
    found = { model, origin: parsed.value.origin, weather: new Weather(model), states: new WeakMap() }
    ready.set(problem, found)
  }
  return found
}

/** Facts, and every other build as the plan has it. */
function stateOf({ model, origin, states }: Ready, plan: Plan, build: number): State {
  const known = states.get(plan) ?? new Map<string, State>()
  states.set(plan, known)
  const { id } = model.builds[build]!
  let found = known.get(id)
  if (!found) {
    found = new State(model)
    const index = new Map(model.jobs.map((j) => [j.id, j.index]))
    const people = new Map(model.people.map((p, i) => [p.id, i]))
    const places = new Map(model.places.map((p, i) => [p.id, i]))
    const unplanned = new Set(plan.unplanned.map((u) => u.taskId))
    const drafts = new Map<number, Draft[]>()
    for (const p of plan.pieces) {
      const k = index.get(p.taskId)
      if (k === undefined || model.jobs[k]!.build === build) continue
      drafts.set(k, [...(drafts.get(k) ?? []), {
        start: p.start - origin, end: p.end - origin, people: p.people.flatMap((q) => people.get(q) ?? []),
        supervisor: p.supervisor === null ? -1 : people.get(p.supervisor) ?? -1, place: p.placeId === null ? -1 : places.get(p.placeId) ?? -1, fixed: -1,
      }])
    }
    for (const [k, rows] of drafts) found.place(model.jobs[k]!, rows, !unplanned.has(model.jobs[k]!.id))
    known.set(id, found)
  }
  return found
}

/**
 * @param plan the plan of this very question
 * @throws RangeError for a question that can't be planned, a build it doesn't have, or points of work that are none
 */
export function compileForecast(problem: Problem, plan: Plan, buildId: string, uncertainty: Uncertainty, whatIf: Extra = {}): Compiled {
  const base = readyOf(problem)
  const { model, origin, weather } = base
  const b = model.builds.findIndex((x) => x.id === buildId)
  if (b < 0) throw new RangeError(`no such build: ${buildId}`)
  const build = model.builds[b]!
  const state = stateOf(base, plan, b)
  const outcome = plan.builds.find((x) => x.buildId === buildId)
  const own = model.jobs.filter((j) => j.build === b)
  const local = new Map(own.map((j, i) => [j.index, i]))
  const global = new Map(own.map((j) => [j.id, j.index]))
  const rows = stepsOf(model, plan.pieces.filter((p) => p.buildId === buildId), global, origin)

  const levels = uncertainty.temperatureSd > 0 ? LEVELS.map((z) => z * uncertainty.temperatureSd) : [0]
  const warmer = whatIf.warmer ?? 0
  const places = model.places.map((q, i): LPlace => ({
    site: q.site, closed: q.closed, settle: q.settle, dust: spans(state.dust[i]!), wet: spans(state.wet[i]!),
  }))

  const met = new Set(plan.met.map((w) => w.linkId))
  const chosen = new Set(plan.missed.map((w) => w.linkId))
  const links = new Map<number, LLink>()
  for (const l of model.links) {
    if (!local.has(l.to) || !local.has(l.from)) continue
    const ends = { from: local.get(l.from)!, to: local.get(l.to)! }
    const row = l.kind === 'window' ? { ...l, ...ends, wash: l.wash < 0 ? -1 : local.get(l.wash)! } : { ...l, ...ends }
    links.set(l.index, { ...row, met: met.has(l.id), chosen: chosen.has(l.id) })
  }
  const firstStart = new Map<number, number>()
  const lastEnd = new Map<number, number>()
  for (const r of rows) {
    if (!firstStart.has(r.job)) firstStart.set(r.job, r.start)
    lastEnd.set(r.job, Math.max(lastEnd.get(r.job) ?? -Infinity, r.end))
  }
  const holds = new Map(model.holds.filter((h) => local.has(h.from) && local.has(h.to)).map((h): [number, LHold] => {
    const from = model.jobs[h.from]!
    const start = firstStart.get(h.from) ?? 0
    const end = lastEnd.get(h.to)
    return [h.index, {
      index: h.index, resource: h.resource, amount: h.amount, length: end === undefined ? FOREVER : Math.max(0, end - start),
      since: from.done || from.startedAt !== null ? Math.min(0, from.done?.start ?? from.startedAt ?? 0) : null,
    }]
  }))

  const fixed = new Set(plan.pieces.filter((p) => p.fixed !== null).map((p) => p.taskId))
  const covered = new Map<string, { at: number; materialId: string }>()
  for (const n of plan.needs) {
    const at = n.covered - origin
    if (at > 0 && at > (covered.get(n.taskId)?.at ?? 0)) covered.set(n.taskId, { at, materialId: n.materialId })
  }
  const held = new Set(plan.pieces.flatMap((p) => (
    (p.binding.kind === 'window' && p.binding.heldBack) || (p.binding.kind === 'link' && isFrom(model, p.binding.linkId, p.taskId)) ? [p.taskId] : []
  )))
  const phases = [...new Set(own.map((j) => uncertainty.phase.get(j.id) ?? ''))].sort()
  const most = (r: number): boolean => state.avail[r]!.size > 0
  const needed = new Set<number>()
  const planPlace = new Map(rows.map((r) => [r.job, r.piece.placeId]))

  const jobs = own.map((j, index): LJob => {
    for (const n of j.needs) if (most(n.resource)) needed.add(n.resource)
    for (const h of j.opens) needed.add(model.holds[h]!.resource)
    const gates = whatIf.cured ? [] : gatesOf(model, j)
    const isPlain = j.needs.length === 0 && j.opens.length === 0 && !j.dusty && !j.sensitive
    const options = j.options.map((o): LOption => {
      const g = o.place < 0 ? null : levels.map((off) => weather.gate(o.place, gates, off, warmer))
      const real = g !== null && g[0] !== null ? (g as OpenTimes[]) : null
      const p = o.place < 0 ? null : places[o.place]!
      return { place: o.place, site: o.site, gates: real, isPlain: isPlain && real === null && (p === null || p.closed.start.length === 0) }
    })
    const at = planPlace.get(j.index)
    const first = options.findIndex((o) => o.place >= 0 && model.places[o.place]!.id === at)
    if (first > 0) options.unshift(...options.splice(first, 1))
    const material = fixed.has(j.id) || j.washOf >= 0 ? undefined : covered.get(j.id)
    const craft = uncertainty.craft.get(j.id)
    const own = uncertainty.left.get(j.id)
    return {
      index, id: j.id, kind: j.kind, work: j.work, handsFrom: j.handsFrom, handsTo: j.handsTo, smallest: j.smallest, setUp: j.setUp, clearUp: j.clearUp,
      options, needs: j.needs, competences: j.competences, supervisors: j.supervisors, dusty: j.dusty, sensitive: j.sensitive, product: j.product,
      release: Math.max(j.release, material?.at ?? 0), releaseIs: material !== undefined && material.at >= j.release ? 'delivery' : 'date',
      materialId: material?.materialId ?? null, started: j.startedAt, done: j.done,
      into: j.into.flatMap((l) => links.get(l) ?? []), outOf: j.outOf.flatMap((l) => links.get(l) ?? []),
      opens: j.opens.flatMap((h) => holds.get(h) ?? []), closes: j.closes.flatMap((h) => holds.get(h) ?? []),
      washOf: j.washOf < 0 ? null : links.get(j.washOf) ?? null,
      per: j.kind === 'together' ? 1 / j.handsFrom : 1, points: own === undefined || j.done ? null : pointsOf(j.id, own),
      craft: craft === undefined || j.kind === 'unattended' ? -1 : CRAFTS.indexOf(craft), phase: phases.indexOf(uncertainty.phase.get(j.id) ?? ''),
      rework: craft === undefined || j.kind === 'unattended' ? 0 : uncertainty.rework.chance[craft],
      planned: firstStart.has(j.index), plannedStart: firstStart.get(j.index) ?? 0, isHeldBack: held.has(j.id),
    }
  })

  const personIndex = new Map(model.people.map((p, i) => [p.id, i]))
  const placeIndex = new Map(model.places.map((p, i) => [p.id, i]))
  const steps = rows.map((r): LStep => ({
    job: local.get(r.job)!, start: r.start, end: r.end, isLast: r.isLast, target: r.target,
    people: Int32Array.from(r.piece.people.flatMap((p) => personIndex.get(p) ?? [])),
    supervisor: r.piece.supervisor === null ? -1 : personIndex.get(r.piece.supervisor) ?? -1,
    place: r.piece.placeId === null ? -1 : placeIndex.get(r.piece.placeId) ?? -1,
    notBefore: r.piece.fixed === null ? 0 : r.start, fixed: r.piece.fixed,
  }))
  const people = model.people.map((p, i): LPerson => ({
    fullUntil: p.fullUntil, supervisedUntil: p.supervisedUntil, work: state.work[i]!, watching: state.supervising[i]!,
    rowStart: p.rows.start, rowEnd: p.rows.end, rowSite: p.rows.site,
  }))
  const sites = 1 + Math.max(-1, ...model.places.map((p) => p.site), ...model.people.flatMap((p) => [...p.rows.site]), ...model.resources.map((r) => r.site))
  const stretches = stretchesOf(model, build, state.free, homeOf(jobs), sites, whatIf)
  const launch = outcome?.launch == null || build.paused ? null : build.launchJob < 0 ? -1 : local.get(build.launchJob)!
  return {
    buildId, origin, horizon: model.horizon, model, uncertainty, launchJob: launch, jobs, steps, links: [...links.values()], holds: [...holds.values()], places,
    profiles: model.resources.map((_, r) => (needed.has(r) ? state.avail[r]! : null)), stretches, people, helper: model.people.length,
    levels, blocks: Math.floor(Math.max(0, model.horizon) / BLOCK) + 1, warmer, isCured: whatIf.cured ?? false, moreHands: whatIf.helper ? 1 : 0, weather,
    attendance: attendanceOf(uncertainty, stretches, model.horizon), missedCost: model.missedCost, phases,
  }
}

const isFrom = (model: Model, linkId: string, taskId: string): boolean =>
  model.links.some((l) => l.id === linkId && model.jobs[l.from]!.id === taskId)

function gatesOf(model: Model, j: Job): ConditionGate[] {
  const { tasks, links, products } = model.problem
  if (j.washOf >= 0) {
    const link = links[j.washOf]!
    return link.kind === 'window' && link.wash?.gate ? [link.wash.gate] : []
  }
  return [tasks[j.index]!.gate, j.product >= 0 ? products[j.product]!.gate : null].filter((g): g is ConditionGate => g !== null)
}

function pointsOf(id: string, p: ThreePoints): Points {
  if (!(p.low >= 0 && p.low <= p.likely && p.likely <= p.high && p.high < Infinity)) {
    throw new RangeError(`three points of ${id} must rise from 0: ${p.low}, ${p.likely}, ${p.high}`)
  }
  const wide = p.high - p.low
  return { mean: pertMean(p), sd: pertSd(p), low: p.low, high: p.high, table: betaQuantiles(wide > 0 ? (p.likely - p.low) / wide : 0.5) }
}

function spans(rows: readonly Stretch[]): Spans {
  const sorted = [...rows].sort((a, b) => a.start - b.start || a.end - b.end)
  let latest = -FOREVER
  return {
    start: Int32Array.from(sorted, (r) => r.start), end: Int32Array.from(sorted, (r) => r.end),
    ends: Int32Array.from(sorted, (r) => (latest = Math.max(latest, r.end))),
  }
}

/** The site of most of the work left. */
function homeOf(jobs: readonly LJob[]): number {
  const work = new Map<number, number>()
  for (const j of jobs) {
    const site = j.options[0]?.site ?? -1
    if (site >= 0 && !j.done) work.set(site, (work.get(site) ?? 0) + j.work)
  }
  return [...work].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]?.[0] ?? 0
}

/**
 * How a week's share is drawn. That stretches come or don't at all makes a week's share uneven by itself, about f (1 - f) / n² for n of them drawn one in
 * so many (f: what is left over, 1/6 in the mean); what was learnt of weeks has that in it, so it is taken off.
 */
function attendanceOf({ attendance: a }: Uncertainty, { rows }: Stretches, horizon: number): Compiled['attendance'] {
  const weeks = Math.floor(Math.max(0, horizon) / WEEK) + 1
  let [sum, n] = [0, 0]
  for (let w = 0; w < weeks; w++) {
    const here = rows.from[w + 1]! - rows.from[w]!
    if (here === 0) continue
    sum += here === 1 ? a.mean * (1 - a.mean) : 1 / 6 / here ** 2
    n++
  }
  const weekSd = Math.sqrt(Math.max(0, a.weekSd ** 2 - (n === 0 ? 0 : sum / n)))
  return { base: centred(a.mean, Math.hypot(a.sd, weekSd)), sd: a.sd, weekSd, follows: a.follows, weeks }
}
