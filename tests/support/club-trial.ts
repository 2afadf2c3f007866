/** What every random club must keep: the same for the short run and the long one. */
import { check, plan, type Plan, type Problem } from '../../src/core/schedule/index.ts'
import { CLUB, randomClub, type ClubSizes } from './clubs.ts'
import { permuted, shiftedBy, shiftPlan } from './clubs-change.ts'
import { later } from './clubs-later.ts'
import { dice } from './dice.ts'

export interface Tally {
  clubs: number; tasks: number; pieces: number; unplanned: number; met: number; missed: number; kept: number; dropped: number; replans: number,
  needs: number; short: number; waits: number,
}
export const noTally = (): Tally => ({ clubs: 0, tasks: 0, pieces: 0, unplanned: 0, met: 0, missed: 0, kept: 0, dropped: 0, replans: 0, needs: 0, short: 0, waits: 0 })

/** Plans one club, then the same club some sessions later, and checks both. @returns what is wrong, as sentences; empty: nothing */
export function tryClub(seed: number, schedules: number, tally: Tally, sizes: ClubSizes = CLUB): string[] {
  const problem = randomClub(seed, sizes)
  const first = trial(`club ${seed}`, problem, schedules, seed, tally)
  if (first.plan === null) return first.wrong
  const d = dice(seed + 1_000_000)
  const isIll = seed % 2 === 1
  const next = later(d, problem, first.plan, isIll)
  tally.replans++
  const second = trial(`club ${seed} replanned`, next, schedules, seed, tally)
  // All went as planned, so the rest of the old plan is possible with every piece that was fixed.
  // Fixed tasks come first at the shelf, so that what comes before another of them may have to wait: that is no fault with material free.
  const free = second.plan?.dropped.length ? plan(needless(next), { seed, maxSchedules: schedules }) : null
  const dropped = isIll || !free?.ok ? [] : free.value.dropped.map(
    (f) => `club ${seed} replanned: dropped: ${f.why} ${f.taskId} at ${f.start - next.now}: ${f.fault.text}`
  )
  return [...first.wrong, ...second.wrong, ...dropped]
}

function trial(name: string, problem: Problem, schedules: number, seed: number, tally: Tally): { plan: Plan | null; wrong: string[] } {
  const solve = (p: Problem): Plan | null => {
    const answer = plan(p, { seed, maxSchedules: schedules })
    if (!answer.ok) wrong.push(`${name} is refused: ${JSON.stringify(answer.refusal)}`)
    return answer.ok ? answer.value : null
  }
  const wrong: string[] = []
  const planned = solve(problem)
  if (!planned) return { plan: null, wrong }
  count(tally, problem, planned)
  for (const f of check(problem, planned)) wrong.push(`${name}: ${f.rule}: ${f.text}`)
  wrong.push(...silentlyMissed(problem, planned).map((l) => `${name}: window ${l} is missed silently`))
  const same = (what: string, other: Plan | null): void => {
    if (other && JSON.stringify(other) !== JSON.stringify(planned)) wrong.push(`${name}: ${what} changes the plan: ${difference(planned, other)}`)
  }
  const d = dice(seed + 77)
  const by = 7_654_321
  const moved = solve(shiftedBy(by, permuted(d, problem)))
  same('another origin of time with another order of the arrays', moved && shiftPlan(-by, moved))
  if (seed % 3 === 0) wrong.push(...wantedOtherwise(problem, planned, solve).map((id) => `${name}: ${id} is wanted at another time than with material free`))
  if (seed % 5 === 0) same('planning again', solve(problem))
  return { plan: planned, wrong }
}

const needless = (problem: Problem): Problem => ({ ...problem, tasks: problem.tasks.map((t) => ({ ...t, materials: [] })) })

/** A need is wanted when the task starts in the plan of the same club that needs no material at all. */
function wantedOtherwise(problem: Problem, planned: Plan, solve: (p: Problem) => Plan | null): string[] {
  if (planned.needs.length === 0) return []
  const free = solve(needless(problem))
  const start = (id: string): number | null => free?.pieces.find((p) => p.taskId === id)?.start ?? null
  return planned.needs.filter((n) => n.wanted !== start(n.taskId)).map((n) => n.taskId)
}

function difference(a: Plan, b: Plan): string {
  for (const key of Object.keys(a) as (keyof Plan)[]) {
    const [one, other] = [JSON.stringify(a[key]), JSON.stringify(b[key])]
    if (one === other) continue
    let i = 0
    while (one[i] === other[i]) i++
    return `${key}: …${one.slice(Math.max(0, i - 60), i + 60)}… against …${other.slice(Math.max(0, i - 60), i + 60)}…`
  }
  return 'nothing'
}

/** Counted apart from the checker: window links with both coats in the plan that are told neither way. */
function silentlyMissed(problem: Problem, planned: Plan): string[] {
  const told = new Set([...planned.met, ...planned.missed].map((w) => w.linkId))
  const has = new Set(planned.pieces.filter((p) => p.fixed === null || p.start >= problem.now).map((p) => p.taskId))
  const coated = new Set(problem.tasks.filter((t) => t.finished?.coat).map((t) => t.id))
  return problem.links.filter((l) => l.kind === 'window' && has.has(l.to) && (has.has(l.from) ||
    coated.has(l.from)) && !told.has(l.id)).map((l) => l.id)
}

function count(tally: Tally, problem: Problem, planned: Plan): void {
  tally.clubs++
  tally.tasks += problem.tasks.length
  tally.pieces += planned.pieces.length
  tally.unplanned += planned.unplanned.length
  tally.met += planned.met.length
  tally.missed += planned.missed.length
  tally.dropped += planned.dropped.length
  tally.needs += planned.needs.length
  tally.short += planned.needs.filter((n) => n.short > 0).length
  tally.waits += planned.pieces.filter((p) => p.binding.kind === 'material').length
  tally.kept += planned.pieces.filter((p) => p.fixed !== null).length
}
