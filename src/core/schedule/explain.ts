/** From the found state to the answer: pieces with reasons and floats, builds with chains and bounds, windows, what is left out. */
import { instant, minutes, type Instant } from '../units/index.ts'
import type { Binding, BuildOutcome, DroppedPiece, MetWindow, MissedWindow, NeedOutcome, Piece, Plan, Score, Unplanned } from './answer.ts'
import { bindingOf, linkBinding } from './bind.ts'
import type { Bounds } from './bounds.ts'
import { floatsOf, type Node } from './floats.ts'
import type { Outcome } from './generate.ts'
import { isIn, mode, MET, MISSED } from './links.ts'
import { lastFrom } from './open-times.ts'
import { NEVER, type Draft, type Model } from './model.ts'
import { provablyOut, reasonFor } from './reasons.ts'
import { launchOf, minutesLate } from './score.ts'
import { DONE, FAILED, PLACED, type State } from './state.ts'

export interface Told {
  readonly outcome: Outcome
  readonly score: Score
  readonly bounds: Bounds
  readonly dropped: readonly DroppedPiece[]
  readonly needs: readonly NeedOutcome[]
  readonly schedules: number
  readonly origin: number
}

export function explain(model: Model, told: Told): Plan {
  const { outcome, bounds, origin } = told
  const { state: st, modes } = outcome
  const nodes: Node[] = model.jobs.flatMap((job) => st.drafts[job.index]!.map((draft, n) => ({ job, n, draft })))
    .sort((a, b) => a.draft.start - b.draft.start || a.job.index - b.job.index || a.n - b.n)
  const floats = floatsOf(st, modes, nodes)
  const bindings = nodes.map((x) => bindingOf(st, modes, x.job, x.n))
  const ids = nodes.map((x) => `${x.job.id}/${x.n + 1}`)
  const shifted = (t: number): Instant => instant(t + origin)
  const pieces = nodes.map((x, i): Piece => ({
    id: ids[i]!, taskId: x.job.id, buildId: model.builds[x.job.build]!.id, start: shifted(x.draft.start), end: shifted(x.draft.end),
    people: x.draft.people.map((p) => model.people[p]!.id), supervisor: x.draft.supervisor < 0 ? null : model.people[x.draft.supervisor]!.id,
    placeId: x.draft.place < 0 ? null : model.places[x.draft.place]!.id, fixed: x.draft.fixed < 0 ? null : model.fixed[x.draft.fixed]!.why,
    projected: isProjected(model, x.draft), binding: shift(bindings[i]!, origin),
    float: minutes(floats.total[i]!), freeFloat: minutes(floats.free[i]!),
  }))
  const builds = model.builds.map((b, i): BuildOutcome => {
    const launch = launchOf(st, i)
    const lower = bounds.launch[i] ?? null
    return {
      buildId: b.id, launch: launch === null ? null : shifted(launch), lowerBound: lower === null ? null : shifted(lower),
      late: minutes(minutesLate(model, i, launch)), chain: chainOf(st, outcome, nodes, bindings, i, launch).map((n) => ids[n]!),
    }
  })
  const met: MetWindow[] = []
  const missed: MissedWindow[] = []
  for (const l of model.links) {
    if (l.kind !== 'window' || st.status[l.to] !== PLACED || !isIn(st.status[l.from]!)) continue
    const opens = st.stage(l.from, 'opens')
    const closes = st.stage(l.from, 'closes')
    const shut = closes === NEVER ? null : shifted(closes)
    if (mode(l, modes) === MET) met.push({ linkId: l.id, opens: shifted(opens), closes: shut })
    else if (mode(l, modes) === MISSED) {
      const source = model.problem.links[l.index]!
      const washTaskId = source.kind === 'window' ? source.wash!.id : ''
      const why = l.state !== 'open' ? 'fact' : opens === NEVER || (closes !== NEVER && opens >= closes) ? 'no-window' : 'chosen'
      missed.push({ linkId: l.id, opens: opens === NEVER ? null : shifted(opens), closes: shut, why, washTaskId })
    }
  }
  const unplanned: Unplanned[] = []
  for (const j of model.jobs) {
    if (j.washOf >= 0 || j.done || j.paused || st.status[j.index] === PLACED) continue
    const reason = reasonFor(st, modes, bounds, j, outcome.reasons.get(j.index) ?? null)
    unplanned.push({ taskId: j.id, reason: reason.kind === 'material' ? { ...reason, at: shifted(reason.at) } : reason })
  }
  const out = model.jobs.some((j) => j.washOf < 0 && !j.done && !j.paused && st.status[j.index] === FAILED && provablyOut(bounds, j.index))
  return {
    pieces, builds, met, missed, unplanned, dropped: told.dropped.map((d) => ({ ...d, start: shifted(d.start) })), needs: told.needs.map((n) => ({
      ...n, wanted: n.wanted === null ? null : shifted(n.wanted), covered: shifted(n.covered),
      shortArrives: n.shortArrives === null ? null : shifted(n.shortArrives),
    })), score: told.score,
    status: out ? 'infeasible' : nothingLess(model, told.score, bounds) ? 'optimal' : 'feasible', schedules: told.schedules,
  }
}

/** Nothing in the score could be less. */
export function nothingLess(model: Model, score: Score, bounds: Bounds): boolean {
  let launches = 0
  let lateness = 0
  for (let i = 0; i < model.builds.length; i++) {
    const t = bounds.launch[i]
    if (model.builds[i]!.paused) continue
    if (t === null || t === undefined) launches += model.builds[i]!.priority * model.horizon
    else {
      launches += model.builds[i]!.priority * t
      lateness += model.builds[i]!.priority * minutesLate(model, i, t)
    }
  }
  return score.unplanned === 0 && score.lateness <= lateness && score.launches <= launches + 1e-6 && score.moves === 0 && score.brokenUp === 0
}

function isProjected(model: Model, d: Draft): boolean {
  return d.people.some((p) => {
    const rows = model.people[p]!.rows
    const i = lastFrom(rows.start, d.start)
    return i >= 0 && rows.projected[i] === 1
  })
}

function shift(b: Binding, origin: number): Binding {
  const t = (x: number): Instant => instant(x + origin)
  switch (b.kind) {
    case 'release': case 'link': case 'cure': case 'material': return { ...b, at: t(b.at) }
    case 'window': return { ...b, opens: t(b.opens), closes: b.closes === null ? null : t(b.closes) }
    case 'nobody-here': case 'place': return { ...b, until: t(b.until) }
    case 'resource': return { ...b, until: b.until === null ? null : t(b.until) }
    default: return b
  }
}

/** From the launch back: each piece, then what it waits behind; where it waits for nobody's work, what had to come before it. */
function chainOf(st: State, outcome: Outcome, nodes: readonly Node[], bindings: readonly Binding[], b: number, launch: number | null): number[] {
  if (launch === null) return []
  const { model } = st
  const build = model.builds[b]!
  const jobs = new Set(build.launchJob >= 0 ? [build.launchJob] : build.jobs)
  let at = -1
  nodes.forEach((x, i) => { if (jobs.has(x.job.index) && x.draft.end === launch) at = i })
  const index = new Map(model.jobs.map((j) => [j.id, j.index]))
  const chain: number[] = []
  const seen = new Set<number>()
  while (at >= 0 && !seen.has(at)) {
    seen.add(at)
    chain.push(at)
    const x = nodes[at]!
    const binding = bindings[at]!
    let next = -1
    const taskId = 'taskId' in binding ? binding.taskId : null
    const k = taskId === null ? undefined : index.get(taskId)
    const before = (j: number): number => nodes.findLastIndex((y) => y.job.index === j && y.draft.start <= x.draft.start && y !== x)
    if (k !== undefined) next = before(k)
    if (next < 0 || seen.has(next)) {
      if (x.n > 0) next = nodes.findIndex((y) => y.job === x.job && y.n === x.n - 1)
      else {
        const from = linkBinding(st, outcome.modes, x.job).from
        next = from >= 0 && st.status[from] !== DONE ? before(from) : -1
      }
    }
    at = next
  }
  return chain.reverse()
}
