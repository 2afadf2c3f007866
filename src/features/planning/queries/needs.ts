import type { Reader } from '../../../platform/database.ts'
import { taskNeeds } from '../../builds/public.ts'
import { toDate, toInstant } from '../times.ts'

/** A row of `plan_need`, less what was drawn since the plan was made. */
export type PlanNeed = {
  readonly taskId: string
  readonly itemId: string
  readonly buildId: string
  readonly structural: boolean
  readonly milli: number
  readonly short: number
  readonly wantedAt: number | null
  readonly covered: number
}

/** Every plan is followed by the next long before so many entries are booked. */
const MOST_SINCE = 5_000

/**
 * What tasks still take, as a plan serves it. A draw of what was set aside asks for no new plan: what it took is taken off here, or it
 * would count twice, gone from the shelf and still wanted.
 */
export async function planNeeds(
  db: Reader, plan: { readonly id: bigint; readonly fromAt: number }, some: { itemIds?: readonly string[]; taskIds?: readonly string[] } = {},
): Promise<PlanNeed[]> {
  const rows = await db.planNeed.findMany({
    where: {
      planId: plan.id, ...(some.itemIds ? { itemId: { in: [...some.itemIds] } } : {}), ...(some.taskIds ? { taskId: { in: [...some.taskIds] } } : {}),
    },
    // As they are served at one time: by the build's right, then by name.
    orderBy: [
      { wantedAt: { sort: 'asc', nulls: 'last' } }, { build: { priority: 'desc' } }, { buildId: 'asc' }, { taskId: 'asc' }, { structural: 'desc' },
    ],
  })
  const asked = new Set(rows.map((r) => r.taskId))
  const left = await taskNeeds(db, (await drawnSince(db, plan.fromAt)).filter((id) => asked.has(id)))
  return rows.flatMap((r): PlanNeed[] => {
    const now = left.get(r.taskId)?.find((n) => n.itemId === r.itemId && n.structural === r.structural)
    const milli = Math.min(Number(r.amountMilli), now?.leftMilli ?? Infinity)
    if (milli <= 0) return []
    return [{
      taskId: r.taskId, itemId: r.itemId, buildId: r.buildId, structural: r.structural, milli, short: Math.min(milli, Number(r.shortMilli)),
      wantedAt: r.wantedAt && toInstant(r.wantedAt), covered: toInstant(r.coveredAt),
    }]
  })
}

/** Tasks that something was booked for since; a minute more, for the plan begins with the first whole one. */
async function drawnSince(db: Reader, from: number): Promise<string[]> {
  const rows = await db.$queryRaw<{ task_id: string }[]>`
    select distinct task_id::text from (select task_id, at from stock_entry order by seq desc limit ${MOST_SINCE}) newest
    where task_id is not null and at >= ${toDate(from - 1)}`
  return rows.map((r) => r.task_id)
}
