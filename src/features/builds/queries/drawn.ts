import type { Reader } from '../../../platform/database.ts'

/** What was drawn for each task, net of returns and reversals: task → item → thousandths of its unit. */
export async function drawnOn(db: Reader, taskIds: readonly string[]): Promise<Map<string, Map<string, number>>> {
  const out = new Map<string, Map<string, number>>()
  if (taskIds.length === 0) return out
  const rows = await db.$queryRaw<{ taskId: string; itemId: string; milli: bigint }[]>`
    select task_id as "taskId", item_id as "itemId", -sum(qty_milli)::bigint as milli from stock_entry where task_id = any(${[...taskIds]}::uuid[]) group by 1, 2`
  for (const { taskId, itemId, milli } of rows) out.set(taskId, (out.get(taskId) ?? new Map<string, number>()).set(itemId, Number(milli)))
  return out
}
