import { check, plan, type Budget, type Fault, type Plan, type Problem, type ProblemRefusal } from '../../../core/schedule/index.ts'
import { sane, without } from '../sane.ts'

export type Job = { problem: Problem; /** Asked for suggestions only. */ loose: Problem | null; schedules: number; timeMs: number }
export type Solved =
  | { ok: true; plan: Plan; faults: readonly Fault[]; loose: Plan | null }
  | { ok: false; refusals: readonly ProblemRefusal[] }

export type Solver = { solve(job: Job): Promise<Solved>; close(): Promise<void> }

const SEED = 1

/** Plans, and has the plan checked by code that shares nothing with the search. */
export function solveNow(job: Job): Solved {
  const found = solveOne(job.problem, budget(job, job.timeMs))
  if (!found.ok || found.faults.length > 0 || !job.loose) return found
  // A suggestion that can't be had, or that the check finds fault with, is none.
  const loose = solveOne(job.loose, budget(job, job.timeMs / 3))
  return { ...found, loose: loose.ok && loose.faults.length === 0 ? loose.plan : null }
}

function solveOne(asked: Problem, limits: Budget): Solved {
  const problem = sane(asked)
  const found = plan(problem, limits)
  if (found.ok) return { ok: true, plan: found.value, faults: check(problem, found.value), loose: null }
  // What makes the question impossible is listed with its reason; the rest of the plan stands.
  const rest = without(problem, found.refusal)
  const second = rest && plan(rest.problem, limits)
  if (!rest || !second?.ok) return { ok: false, refusals: found.refusal }
  const faults = check(rest.problem, second.value)
  return { ok: true, plan: { ...second.value, unplanned: [...second.value.unplanned, ...rest.unplanned] }, faults, loose: null }
}

function budget(job: Job, timeMs: number): Budget {
  const began = performance.now()
  return { seed: SEED, maxSchedules: job.schedules, stop: (share) => performance.now() > began + timeMs * share }
}

/** In this very thread: for tests, and where threads are not to be had. */
export const solveHere: Solver = { solve: async (job) => solveNow(job), close: async () => undefined }
