/** The objective of a plan, in the order of its fields. */
import type { Score } from './answer.ts'
import { MISSED, mode, type Modes, type Window } from './links.ts'
import type { Model } from './model.ts'
import type { PreviousPiece } from './problem.ts'
import { DONE, FAILED, PLACED, type State } from './state.ts'

export function compareScores(a: Score, b: Score): number {
  return a.unplanned - b.unplanned || a.lateness - b.lateness || a.launches - b.launches || a.moves - b.moves || a.brokenUp - b.brokenUp
}

/** Launch of a build as the plan has it, or null. */
export function launchOf(st: State, b: number): number | null {
  const build = st.model.builds[b]!
  if (build.paused) return null
  const jobs = build.launchJob >= 0 ? [build.launchJob] : build.jobs
  let end: number | null = null
  for (const k of jobs) {
    if (st.status[k] !== PLACED && st.status[k] !== DONE) return null
    if (end === null || st.end[k]! > end) end = st.end[k]!
  }
  return end
}

export function minutesLate(model: Model, b: number, launch: number | null): number {
  const build = model.builds[b]!
  if (build.target === null || build.paused) return 0
  return Math.max(0, (launch ?? model.horizon) - build.target)
}

/** Local day of an instant; the problem's zone already speaks of minutes from now. */
export function localDay(model: Model, t: number): number {
  const zone = model.problem.zone
  let offset = zone[0]?.offset ?? 0
  for (const row of zone) if (row.from <= t) offset = row.offset
  return Math.floor((t + offset) / 1440)
}

export class Scorer {
  private readonly model: Model
  private readonly before: ReadonlyMap<string, readonly PreviousPiece[]>
  private readonly weights: number

  constructor(model: Model) {
    this.model = model
    const map = new Map<string, PreviousPiece[]>()
    for (const p of model.problem.previous) map.set(p.taskId, [...(map.get(p.taskId) ?? []), p])
    this.before = map
    this.weights = model.problem.previous.length
  }

  /** `better`: only a score below it is of interest, so moves need not be counted otherwise. */
  score(st: State, modes: Modes): Score {
    const { model } = this
    let unplanned = 0
    let brokenUp = 0
    for (const j of model.jobs) {
      const s = st.status[j.index]!
      if (s === FAILED && !j.paused && j.washOf < 0) unplanned++
      brokenUp += Math.max(0, st.drafts[j.index]!.length - 1)
    }
    let lateness = 0
    let launches = 0
    model.builds.forEach((b, i) => {
      if (b.paused) return
      const launch = launchOf(st, i)
      lateness += b.priority * minutesLate(model, i, launch)
      launches += b.priority * (launch ?? model.horizon)
    })
    for (const l of model.links) {
      if (l.kind !== 'window' || !isMissed(st, l, modes)) continue
      launches += model.missedCost * model.builds[model.jobs[l.to]!.build]!.priority
    }
    return { unplanned, lateness, launches, moves: this.weights === 0 ? 0 : this.moves(st), brokenUp }
  }

  private moves(st: State): number {
    const { model } = this
    let moves = 0
    const index = new Map(model.jobs.map((j) => [j.id, j.index]))
    for (const [taskId, before] of this.before) {
      const k = index.get(taskId)
      const now = k === undefined ? [] : st.drafts[k]!
      before.forEach((p, i) => { if (!now[i] || localDay(model, now[i].start) !== localDay(model, p.start)) moves++ })
    }
    return moves
  }
}

/** A window that this plan misses, its task being in the plan. */
export function isMissed(st: State, l: Window, modes: Modes): boolean {
  return st.status[l.to] === PLACED && mode(l, modes) === MISSED
}
