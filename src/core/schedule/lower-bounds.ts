import { ok, type Result } from '../result.ts'
import type { Instant } from '../units/index.ts'
import { boundsOf, IMPOSSIBLE } from './bounds.ts'
import { compile } from './compile.ts'
import { parseProblem } from './parse.ts'
import type { Problem } from './problem.ts'
import type { ProblemRefusal } from './refusal.ts'
import { tailsOf } from './tails.ts'

export interface LowerBound {
  /** Per build; null when paused or when no plan launches her. */
  readonly launches: readonly { readonly buildId: string; readonly launch: Instant | null }[]
  /** Tasks that no plan can have. */
  readonly impossible: readonly string[]
}

/** No plan launches a build before these: the critical path through calendars with everything to itself. */
export function lowerBounds(problem: Problem): Result<LowerBound, ProblemRefusal[]> {
  const parsed = parseProblem(problem)
  if (!parsed.ok) return parsed
  const model = compile(parsed.value)
  const tails = tailsOf(model)
  const order = model.jobs.map((j) => j.index).sort((a, b) => tails.head[a]! - tails.head[b]! || a - b)
  const bounds = boundsOf(model, order, null)
  return ok({
    launches: model.builds.map((b, i) => {
      const launch = bounds.launch[i] ?? null
      return { buildId: b.id, launch: launch === null ? null : ((launch + parsed.value.origin) as Instant) }
    }),
    impossible: model.jobs.filter((j) => j.washOf < 0 && !j.done && !j.paused && bounds.finish[j.index]! >= IMPOSSIBLE).map((j) => j.id),
  })
}
