import type { Reader } from '../../../../platform/database.ts'
import { toInstant } from '../../../../platform/times.ts'
import { earnedAt, earnedCents, weeksBehind } from '../../progress/earn.ts'
import { agreedTasks, baselinesOf, tasksNow } from '../../progress/rows.ts'
import { weeksOf } from '../../progress/weeks.ts'

/** How far she is (weeks to a tenth) by the plan agreed by then: what her progress page says at its top, without its charts, its work left and her estimate. */
export type Standing = { share: number; earnedMin: number; totalMin: number; weeksBehind: number | null; budget: number | null; earnedCents: number | null; massG: number | null }

export async function standingOf(db: Reader, buildId: string, startedOn: string, asOf: Date): Promise<Standing> {
  const at = toInstant(asOf)
  const baseline = (await baselinesOf(db, buildId)).find((b) => b.agreedAt <= at) ?? null
  const stored = await tasksNow(db, buildId)
  const agreed = baseline ? await agreedTasks(db, baseline.id, stored) : stored
  const tasks = agreed.filter((t) => !(t.isGone && t.shareDone < 1))
  const totalMin = tasks.reduce((n, t) => n + t.minutes, 0)
  const earnedMin = Math.round(earnedAt(tasks, at))
  const share = totalMin > 0 ? earnedMin / totalMin : 0
  const { edges } = await weeksOf(db, startedOn, tasks, at)
  const budget = baseline?.budgetCents ?? null
  return {
    share, earnedMin, totalMin, weeksBehind: baseline && Math.round(10 * weeksBehind(tasks, baseline.agreedAt, edges, at)) / 10,
    budget, earnedCents: budget === null ? null : earnedCents(agreed, budget, share, at), massG: baseline?.massG ?? null,
  }
}
