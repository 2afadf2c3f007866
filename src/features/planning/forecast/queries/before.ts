import type { Problem } from '../../../../core/schedule/problem.ts'
import type { Reader } from '../../../../platform/database.ts'
import { SHOWN } from '../../queries/plans.ts'
import { localAt, toDate, toInstant } from '../../times.ts'
import { mondayOf } from '../../weeks.ts'
import type { Inputs } from '../model.ts'
import type { Before, StepFacts } from '../step.ts'
import { workedBetween } from './evidence.ts'

export type WeekBefore = Before & { readonly planId: bigint }

/** The last forecast of an earlier week that has all it was made from; null: none. */
export async function beforeOf(db: Reader, buildId: string, { zone, now }: Pick<Problem, 'zone' | 'now'>): Promise<WeekBefore | null> {
  const monday = localAt(zone, mondayOf(zone, now), '00:00')
  const row = await db.forecast.findFirst({
    where: { buildId, madeAt: { lt: toDate(monday) } }, orderBy: [{ madeAt: 'desc' }, { planId: 'desc' }], select: { planId: true, p50At: true, inputs: true },
  })
  if (!row?.p50At) return null
  // Written by saveForecast from this type; one that was thinned out explains nothing.
  const inputs = row.inputs as unknown as Inputs
  if (!inputs.left) return null
  return { planId: row.planId, p50: toInstant(row.p50At), inputs, worked: await workedBetween(db, buildId, inputs.now, now) }
}

/** Causes of plans that say nothing of a person, so that they may stand in a page that others are shown. */
const OF_THINGS = /^(Order \S+ |Lead time of |Lots of |The session of )| comes on | came in$|: counted$| is (out of service|back in service|shut for a while|not shut after all|a new tool|a new place)\b/
const MOST = 3

export type DetailFacts = { readonly rework: readonly string[]; readonly added: readonly string[]; readonly causes: readonly string[] }

/** Names of what was added, and what the plans since were made for, as far as it is about things. */
export async function detailFacts(db: Reader, buildId: string, before: WeekBefore | null, planId: bigint, { reworkIds, addedIds }: StepFacts): Promise<DetailFacts> {
  const tasks = await db.task.findMany({ where: { buildId, id: { in: [...reworkIds, ...addedIds] } }, select: { id: true, name: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] })
  const names = (ids: readonly string[]) => tasks.filter((t) => ids.includes(t.id)).map((t) => t.name)
  const plans = before ? await db.plan.findMany({ where: { id: { gt: before.planId, lte: planId }, status: { in: SHOWN } }, select: { causes: true }, orderBy: { id: 'asc' } }) : []
  return { rework: names(reworkIds), added: names(addedIds), causes: [...new Set(plans.flatMap((p) => p.causes))].filter((c) => OF_THINGS.test(c)).slice(-MOST) }
}
