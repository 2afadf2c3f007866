import type { Fault, Plan } from '../../../core/schedule/answer.ts'
import type { Problem } from '../../../core/schedule/problem.ts'
import { check, plan, type ProblemRefusal } from '../../../core/schedule/index.ts'

export type Job = { problem: Problem; /** Asked for suggestions only. */ loose: Problem | null; schedules: number; timeMs: number }
export type Solved =
  | { ok: true; plan: Plan; faults: readonly Fault[]; loose: Plan | null }
  | { ok: false; refusal: ProblemRefusal }

export type Solver = { solve(job: Job): Promise<Solved>; close(): Promise<void> }

const SEED = 1

/** Plans, and has the plan checked by code that shares nothing with the search. */
export function solveNow(job: Job): Solved {
  const found = plan(job.problem, budget(job, job.timeMs))
  if (!found.ok) return { ok: false, refusal: found.refusal }
  const faults = check(job.problem, found.value)
  return { ok: true, plan: found.value, faults, loose: faults.length === 0 && job.loose ? loosely(job, job.loose) : null }
}

/** A suggestion that can't be had, or that the check finds fault with, is none. */
function loosely(job: Job, problem: Problem): Plan | null {
  const found = plan(problem, budget(job, job.timeMs / 2))
  return found.ok && check(problem, found.value).length === 0 ? found.value : null
}

function budget(job: Job, timeMs: number) {
  const until = performance.now() + timeMs
  return { seed: SEED, maxSchedules: job.schedules, stop: () => performance.now() > until }
}

/** In this very thread: for tests, and where threads are not to be had. */
export const solveHere: Solver = { solve: async (job) => solveNow(job), close: async () => undefined }
