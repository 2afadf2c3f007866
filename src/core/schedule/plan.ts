/**
 * The planning engine, step by step:
 * - `parse` refuses and puts in order, `compile` turns ids into numbers (`model`), `units` joins what windows and maximum lags tie together;
 * - `fixed` places what is kept; `generate` places unit after unit by priority (`rules`, `tails`), each laid out by `lay-out` (`links`) from
 *   earliest placements (`place`: `blocked` for place, gate, dust and things, `people` for hands); `state` keeps what is taken and takes it back;
 * - `search` does that for one question; where tasks need material, first with all of it free, then, after serving the needs (`materials`), again
 *   with each task waiting for its own;
 * - `improve` varies the genes of `generate` (`follow`: the plan before; `mirror`: from the far end) and keeps the best by `score`;
 * - `bounds` says what no plan can beat; `explain` tells pieces with `bind`ing reasons and `floats`, builds with
 *   chains, `reasons` for what is left out.
 */
import { ok, type Result } from '../result.ts'
import type { Budget, NeedOutcome, Plan } from './answer.ts'
import { boundsOf } from './bounds.ts'
import { compile } from './compile.ts'
import { explain } from './explain.ts'
import { serve, takers, waiting } from './materials.ts'
import type { Model } from './model.ts'
import { parseProblem } from './parse.ts'
import type { Problem } from './problem.ts'
import type { ProblemRefusal } from './refusal.ts'
import { search, type Solution } from './search.ts'
import { PLACED, State } from './state.ts'

/**
 * The best plan found within the budget. Deterministic: the same problem, seed and number of schedules give the same plan as long
 * as `stop` doesn't cut the search short. A plan that has to wait for material is searched twice, each time with the whole budget.
 */
export function plan(problem: Problem, budget: Budget): Result<Plan, ProblemRefusal[]> {
  const parsed = parseProblem(problem)
  if (!parsed.ok) return parsed
  const { origin } = parsed.value
  const model = compile(parsed.value)
  const taking = takers(parsed.value.problem).length > 0
  // Whether anybody may have to wait doesn't depend on who is served first: it is all taken from the same supplies.
  const mayWait = taking && serve(parsed.value.problem, () => null).some((n) => n.covered > 0)
  const free = search(model, budget, mayWait ? 0.5 : 1, null)
  const tell = (s: Solution, state: State, needs: readonly NeedOutcome[], schedules: number): Result<Plan, ProblemRefusal[]> => ok(explain(state.model, {
    outcome: { ...s.best.outcome, state }, score: s.best.score, dropped: s.kept.dropped, needs, origin, schedules,
    // Material free: no other order of serving, and no sooner delivery, could beat these.
    bounds: s === free ? s.bounds : boundsOf(model, s.order, model.fixed.length > 0 ? s.kept.state : null),
  }))
  const found = free.best.outcome.state
  if (!taking) return tell(free, found, [], free.schedules)

  const starts = new Map(model.jobs.flatMap((j) => (found.drafts[j.index]!.length > 0 ? [[j.id, found.start[j.index]!] as const] : [])))
  const needs = serve(parsed.value.problem, (taskId) => starts.get(taskId) ?? null)
  const held = waiting(model, needs)
  if (!held) return tell(free, found, needs, free.schedules)
  if (isServed(held, found)) return tell(free, new State(held, found), needs, free.schedules)
  const again = search(held, budget, 1, orderOf(found))
  return tell(again, again.best.outcome.state, needs, free.schedules + again.schedules)
}

/** No task of the plan starts before its material is here. */
function isServed(held: Model, found: State): boolean {
  return held.jobs.every((j) => found.status[j.index] !== PLACED || found.released(j) === j.release || found.start[j.index]! >= found.released(j))
}

/** The order of a plan, as keys; what it leaves out goes last. */
function orderOf(found: State): Float64Array {
  return Float64Array.from(found.model.jobs, (j) => (found.status[j.index] === PLACED ? found.start[j.index]! : found.model.horizon))
}
