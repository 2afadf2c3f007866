import type { FastifyBaseLogger } from 'fastify'
import { ok, type Result } from '../../../core/result.ts'
import type { Plan } from '../../../core/schedule/answer.ts'
import type { Db } from '../../../platform/database.ts'
import type { PageClub } from '../../../../views/shared/page-context.ts'
import { timeWords } from '../../../../views/shared/times.ts'
import { taskName, unplannedReason, type Words } from '../../../../views/planning/words.ts'
import type { Ctx, Refusal } from '../../../platform/write.ts'
import type { OptionResult, Results, SheetOption } from '../option-sheets/model.ts'
import { othersMoved, outcomeOf, resinOf, type Answered } from '../option-sheets/outcome.ts'
import { readOptions, type OptionRead } from './option-read.ts'
import type { Solver } from './solve.ts'

/**
 * Each option has as many steps as any other, so that what differs is the options' doing and no busy moment's; well below a second each.
 * More steps launch her no sooner: 12 to 6,400 schedules were tried on a dinghy, alone and among three builds.
 */
const SCHEDULES = 50
/** Only that nobody waits without end: a club whose plan takes longer is planned less well, each option alike. */
const MOST_MS = 5_000

export type WorkOutParts = { readonly db: Db; readonly solver: Solver; readonly log: Pick<FastifyBaseLogger, 'error'>; readonly club: PageClub | null }

/**
 * Every option through estimate, stores and planner, beside the boat as she is. Nothing is changed by it, and nothing is locked while the
 * planner thinks.
 */
export async function workOut(parts: WorkOutParts, ctx: Ctx, buildId: string, options: readonly SheetOption[]): Promise<Result<Results, Refusal>> {
  const read = await readOptions(parts.db, ctx, buildId, options)
  if (!read.ok) return read
  const { own, options: tried, resin, buildVersion, planId } = read.value
  const answers = new Map<OptionRead, Answered>()
  for (const one of new Set([own, ...tried])) answers.set(one, { loaded: one.loaded, plan: await planned(parts, one) })
  const resinItems = [...new Set(tried.flatMap((t) => resinOf(t.loaded, buildId, resin)))]
  const asSheIs = answers.get(own)!
  const results = tried.map((one): OptionResult => {
    const answer = answers.get(one)!
    const outcome = outcomeOf(answer, buildId, resinItems, one.names.items)
    return {
      ...one.estimate, ...outcome, tasks: one.tasks, isAsSheIs: one === own,
      whyNot: outcome.launch ? null : whyNot(one, answer.plan, buildId, { names: one.names, times: timeWords(parts.club, ctx.now), club: parts.club }),
      others: othersMoved(asSheIs, answer, buildId),
    }
  })
  return ok({ buildVersion, planId, now: own.loaded.problem.now, options: results })
}

async function planned({ solver, log }: WorkOutParts, { loaded }: OptionRead): Promise<Plan | null> {
  const solved = await solver.solve({ problem: loaded.problem, loose: null, schedules: Math.min(SCHEDULES, loaded.schedules), timeMs: MOST_MS })
  if (solved.ok && solved.faults.length === 0) return solved.plan
  log.error({ solved: solved.ok ? solved.faults : solved.refusals }, 'an option that can’t be planned')
  return null
}

/** Why she has no launch date with this option; what only waits for something unplanned is not the cause. */
function whyNot({ loaded }: OptionRead, plan: Plan | null, buildId: string, w: Words): string {
  if (loaded.problem.builds.find((b) => b.id === buildId)?.paused) return 'she is paused, so nothing is planned'
  if (!plan) return 'no plan could be made of it'
  const hers = new Set(loaded.problem.tasks.filter((t) => t.buildId === buildId).map((t) => t.id))
  const open = plan.unplanned.filter((u) => hers.has(u.taskId))
  const cause = open.find((u) => u.reason.kind !== 'before') ?? open[0]
  return cause ? `no date: ${taskName(w, cause.taskId)} can’t be planned: ${unplannedReason(w, cause.reason)}` : 'no date: something before the launch can’t be planned'
}
