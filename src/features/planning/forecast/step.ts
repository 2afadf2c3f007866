/**
 * Why the even date moved since the week before: the same launches are simulated with parts of the old inputs put back one after another, and
 * what each moves is its part. What is left over is the plan's: sessions, deliveries, windows, other builds. So the parts add up. Pure.
 */
import type { Pace, ThreePoints, Uncertainty } from '../../../core/forecast/types.ts'
import type { Plan } from '../../../core/schedule/answer.ts'
import type { Problem } from '../../../core/schedule/problem.ts'
import type { Inputs, StepCause } from './model.ts'

/** The last forecast of an earlier week, and what was worked since. */
export type Before = { readonly p50: number; readonly inputs: Inputs; /** Hands-on minutes worked on her since it was made. */ readonly worked: number }
export type PlainStep = { readonly minutes: number; readonly parts: readonly { readonly cause: StepCause; readonly minutes: number }[]; readonly facts: StepFacts }
/** What the words beside the parts are made from. */
export type StepFacts = {
  /** Hands-on minutes reckoned with since, at the attendance of then; and worked. */
  readonly meant: number
  readonly worked: number
  /** Pace of the work left, by what is known now and by what was known then. */
  readonly pace: { readonly now: number; readonly then: number }
  readonly reworkIds: readonly string[]
  readonly addedIds: readonly string[]
}

type Question = { readonly problem: Problem; readonly plan: Plan; readonly uncertainty: Uncertainty }
export type StepQuestion = Question & { readonly inputs: Inputs; readonly before: Before; readonly p50: number; readonly median: (what: Question) => number | null }

export function stepParts(q: StepQuestion): PlainStep {
  const { before } = q
  const facts = factsOf(q)
  const { owed, unworked } = shortfalls(q, facts)
  // Each takes out one reason more than the one before.
  const withOld: readonly { cause: StepCause; change: (what: Question) => Question }[] = [
    { cause: 'took-longer', change: (w) => ahead({ ...w, uncertainty: { ...w.uncertainty, pace: before.inputs.pace } }, owed) },
    { cause: 'fewer-hands', change: (w) => ahead({ ...w, uncertainty: { ...w.uncertainty, attendance: before.inputs.attendance } }, unworked) },
    { cause: 'rework', change: (w) => without({ ...w, uncertainty: { ...w.uncertainty, rework: before.inputs.rework } }, facts.reworkIds) },
    { cause: 'added', change: (w) => without(w, facts.addedIds) },
  ]
  let what: Question = { problem: q.problem, plan: q.plan, uncertainty: q.uncertainty }
  // Simulated with the same launches as the forecast itself, so that its own date is the first.
  let last: number | null = q.p50
  const parts: { cause: StepCause; minutes: number }[] = []
  for (const { cause, change } of withOld) {
    const next = change(what)
    const median: number | null = next === what ? last : q.median(next)
    parts.push({ cause, minutes: last === null || median === null ? 0 : last - median })
    what = next
    last = median ?? last
  }
  const minutes = q.p50 - before.p50
  const told = parts.reduce((sum, p) => sum + p.minutes, 0)
  return { minutes, parts: [...parts, { cause: 'plan', minutes: minutes - told }], facts }
}

function factsOf({ problem, uncertainty, inputs, before }: StepQuestion): StepFacts {
  const { now, planned, attendance, left } = before.inputs
  const wanted = planned.filter(([end]) => end > now && end <= problem.now).reduce((sum, [, min]) => sum + min, 0)
  const fresh = Object.entries(inputs.left).filter(([id]) => left[id] === undefined && !id.startsWith('wash:'))
  // A task that is open again was there all the time.
  const launches = problem.builds.map((b) => b.launchTaskId)
  const isNew = (id: string) => !before.inputs.done.includes(id) && !launches.includes(id)
  return {
    meant: Math.round(wanted * attendance.mean), worked: before.worked,
    pace: { now: paceOfLeft(uncertainty.pace, uncertainty, inputs.left), then: paceOfLeft(before.inputs.pace, uncertainty, inputs.left) },
    reworkIds: fresh.filter(([id, p]) => p.mends && isNew(id)).map(([id]) => id),
    addedIds: fresh.filter(([id, p]) => !p.mends && isNew(id)).map(([id]) => id),
  }
}

/** Median factor of all that is left, each kind of work with its weight. */
export function paceOfLeft(pace: Pace, { craft }: Pick<Uncertainty, 'craft'>, left: Inputs['left']): number {
  let [sum, of] = [0, 0]
  for (const [id, p] of Object.entries(left)) {
    const kind = craft.get(id)
    if (!kind) continue
    sum += p.likely * Math.exp(pace.common.mean + pace.crafts[kind].mean)
    of += p.likely
  }
  return of > 0 ? sum / of : Math.exp(pace.common.mean)
}

/**
 * Minutes of the estimate that the hours worked since should have done and have not (`owed`), and that hours reckoned with and not worked would
 * have done (`unworked`); less than 0 where it went better.
 */
function shortfalls({ problem, inputs, before }: StepQuestion, facts: StepFacts): { owed: number; unworked: number } {
  const known = new Set(problem.tasks.map((t) => t.id))
  const done = Object.entries(before.inputs.left).filter(([id]) => known.has(id) || id.startsWith('wash:'))
    .reduce((sum, [id, was]) => sum + was.likely - (inputs.left[id]?.likely ?? 0), 0)
  return { owed: facts.worked / facts.pace.then - done, unworked: (facts.meant - facts.worked) / facts.pace.then }
}

/** Less than this is no difference that anybody could tell. */
const LEAST = 5

/** The question with so many minutes of the next work done already; below 0: not done yet. */
function ahead(what: Question, minutes: number): Question {
  if (Math.abs(minutes) < LEAST) return what
  const left = new Map(what.uncertainty.left)
  const byId = new Map(what.problem.tasks.map((t) => [t.id, t]))
  let rest = minutes
  for (const id of new Set([...what.plan.pieces].sort((a, b) => a.start - b.start).map((p) => p.taskId))) {
    const points = left.get(id)
    const task = byId.get(id)
    if (!points || points.likely < 1 || !task || task.work.kind === 'unattended') continue
    // What goes in one go could not be longer than a stretch of presence: more work is put where pieces can be added.
    const change = rest > 0 ? -Math.min(rest, points.likely - 1) : task.smallest === null ? 0 : Math.min(-rest, 2 * points.likely)
    left.set(id, scaled(points, (points.likely + change) / points.likely))
    rest += change
    if (Math.abs(rest) < LEAST) break
  }
  return { ...what, uncertainty: { ...what.uncertainty, left } }
}

const scaled = ({ low, likely, high }: ThreePoints, by: number): ThreePoints => ({ low: low * by, likely: likely * by, high: high * by })

/** The question as if these tasks were not there. */
function without(what: Question, ids: readonly string[]): Question {
  if (ids.length === 0) return what
  const out = new Set(ids)
  const { problem, plan } = what
  const links = problem.links.filter((l) => !out.has(l.from) && !out.has(l.to))
  const gone = new Set(problem.links.filter((l) => out.has(l.from) || out.has(l.to)).flatMap((l) => (l.kind === 'window' && l.wash ? [l.wash.id] : [])))
  const stays = (id: string) => !out.has(id) && !gone.has(id)
  return {
    ...what,
    problem: {
      ...problem, links, tasks: problem.tasks.filter((t) => stays(t.id)), holds: problem.holds.filter((h) => !out.has(h.fromTask) && !out.has(h.toTask)),
      fixed: problem.fixed.filter((f) => stays(f.taskId)), previous: problem.previous.filter((p) => stays(p.taskId)),
    },
    plan: {
      ...plan, pieces: plan.pieces.filter((p) => stays(p.taskId)), unplanned: plan.unplanned.filter((u) => stays(u.taskId)), needs: plan.needs.filter((n) => !out.has(n.taskId)),
      met: plan.met.filter((m) => links.some((l) => l.id === m.linkId)), missed: plan.missed.filter((m) => links.some((l) => l.id === m.linkId)),
    },
  }
}
