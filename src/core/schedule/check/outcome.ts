/** Launches, bounds, lateness and the score, counted again from the pieces. */
import { offsetAt } from '../../calendar/zone.ts'
import { MINUTES_PER_DAY, type Instant } from '../../units/index.ts'
import type { BuildOutcome, Piece } from '../answer.ts'
import type { BuildSpec } from '../problem.ts'
import { finishOf, grouped, type Context, type Job } from './context.ts'

export function checkOutcome(c: Context): void {
  const outcomes = new Map(c.plan.builds.map((b) => [b.buildId, b]))
  if (outcomes.size !== c.plan.builds.length) c.fault('outcome', null, 'A build has two outcomes.')
  for (const id of outcomes.keys()) if (!c.builds.has(id)) c.fault('outcome', null, `There is an outcome for ${id}, which is no build.`)
  const jobs = grouped(c.jobs.values(), (j) => j.buildId)
  const pieces = new Map(c.plan.pieces.map((p) => [p.id, p]))
  const launches = new Map<string, Instant | null>()
  for (const build of c.problem.builds) {
    const outcome = outcomes.get(build.id)
    const launch = launchOf(c, build, jobs.get(build.id) ?? [])
    launches.set(build.id, launch)
    if (!outcome) c.fault('outcome', null, `${build.id} has no outcome.`)
    else checkBuild(c, build, outcome, launch, pieces)
  }
  checkScore(c, launches, outcomes)
  if (c.plan.status === 'infeasible' && c.plan.unplanned.length === 0) {
    c.fault('status', null, 'The plan is called infeasible, but every task is planned.')
  }
}

function launchOf(c: Context, build: BuildSpec, jobs: readonly Job[]): Instant | null {
  if (build.paused) return null
  if (build.launchTaskId !== null) return finishOf(c.jobs.get(build.launchTaskId)!)
  const tasks = jobs.filter((j) => j.task !== null)
  const finishes = tasks.map(finishOf)
  if (finishes.includes(null) || finishes.length === 0) return null
  return Math.max(...(finishes as Instant[])) as Instant
}

function checkBuild(c: Context, build: BuildSpec, outcome: BuildOutcome, launch: Instant | null, pieces: ReadonlyMap<string, Piece>): void {
  const at = (t: Instant | null): string => (t === null ? 'no day' : c.when(t))
  if (outcome.launch !== launch) {
    c.fault('launch', null, `${build.id} is said to be launched at ${at(outcome.launch)}; by its pieces it is ${at(launch)}.`)
  }
  if (launch !== null && (outcome.lowerBound === null || outcome.lowerBound > launch)) {
    c.fault('bound', null, `${build.id} is launched at ${at(launch)}, before the bound ${at(outcome.lowerBound)} below which no plan can come.`)
  }
  if (build.paused && outcome.lowerBound !== null) c.fault('bound', null, `${build.id} is paused, but has a bound on its launch.`)
  const { launchTarget: target } = build
  // Without a launch she counts as launched at the end of the planned time.
  const late = target === null || build.paused ? 0 : Math.max(0, (launch ?? c.problem.horizon) - target)
  if (outcome.late !== late) c.fault('late', null, `${build.id} is ${late} minutes late, not ${outcome.late}.`)
  let last = -Infinity
  for (const id of outcome.chain) {
    const piece = pieces.get(id)
    if (!piece) c.fault('chain', null, `The binding chain of ${build.id} names ${id}, which is no piece.`)
    else if (piece.start < last) c.fault('chain', piece, `The binding chain of ${build.id} is not in order of time at ${id}.`)
    last = piece?.start ?? last
  }
}

function checkScore(c: Context, launches: ReadonlyMap<string, Instant | null>, outcomes: ReadonlyMap<string, BuildOutcome>): void {
  const { now, horizon, missedWindowCost } = c.problem
  const told = c.plan.score
  const field = (name: keyof typeof told, value: number): void => {
    // Priorities are fractions, so sums of them may differ in the last bits.
    if (Math.abs(told[name] - value) > 1e-9 * Math.max(1, Math.abs(value))) {
      c.fault('score', null, `The score says ${name} ${told[name]}; counted again it is ${value}.`)
    }
  }
  field('unplanned', c.plan.unplanned.length)
  let lateness = 0
  let sum = 0
  for (const build of c.problem.builds) {
    if (build.paused) continue
    lateness += build.priority * (outcomes.get(build.id)?.late ?? 0)
    sum += build.priority * ((launches.get(build.id) ?? horizon) - now)
  }
  const toBuild = new Map(c.windows.map((l) => [l.id, c.builds.get(c.jobs.get(l.to)!.buildId)!]))
  for (const { linkId } of c.plan.missed) sum += (toBuild.get(linkId)?.priority ?? 0) * missedWindowCost
  field('lateness', lateness)
  field('launches', sum)
  field('moves', moves(c))
  const counts = grouped(c.plan.pieces, (p) => p.taskId)
  field('brokenUp', [...counts.values()].reduce((n, pieces) => n + pieces.length - 1, 0))
}

/** Pieces of the previous plan that start on another local day now, or are gone; paired by task and order. */
function moves(c: Context): number {
  const { zone, previous } = c.problem
  const day = (t: Instant): number => Math.floor((t + offsetAt(zone, t)) / MINUTES_PER_DAY)
  let moved = 0
  for (const [taskId, before] of grouped([...previous].sort((a, b) => a.start - b.start), (p) => p.taskId)) {
    const after = c.jobs.get(taskId)?.pieces ?? []
    before.forEach((p, i) => {
      const now = after[i]
      if (!now || day(now.start) !== day(p.start)) moved++
    })
  }
  return moved
}
