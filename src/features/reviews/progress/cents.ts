/** What the materials of each task are to cost, by the estimate. Pure. */
import type { EstimateModel } from '../../builds/public.ts'

export type MaterialRow = { readonly taskId: string; readonly name: string; readonly unit: string; readonly likely: number }
export type MaterialBudget = { readonly cents: number; readonly byTask: ReadonlyMap<string, number>; readonly unpriced: readonly string[]; /** Likely mass of what stays in her; 0: nothing of the estimate weighs anything. */ readonly massG: number }

/** A line's money is shared out by what its tasks take of it, whole cents rounded down; what no task takes belongs to none. */
export function materialBudget({ lines, rest, totals }: Pick<EstimateModel, 'lines' | 'rest' | 'totals'>, materials: readonly MaterialRow[]): MaterialBudget {
  const byTask = new Map<string, number>()
  const share = (cents: number | undefined, whole: number, takers: readonly { id: string | null; amount: number }[]) => {
    const all = Math.max(whole, takers.reduce((sum, t) => sum + t.amount, 0))
    if (cents === undefined || all <= 0) return
    for (const { id, amount } of takers) if (id !== null) byTask.set(id, (byTask.get(id) ?? 0) + Math.floor((cents * amount) / all))
  }
  for (const l of lines) share(l.cents?.likely, l.gross.likely, l.tasks.map((t) => ({ id: t.id, amount: t.amount.likely })))
  for (const r of rest) {
    const ids = new Set(r.tasks.map((t) => t.id))
    share(r.cents?.likely, r.amount.likely, materials.filter((m) => ids.has(m.taskId) && m.name === r.name && m.unit === r.unit).map((m) => ({ id: m.taskId, amount: m.likely })))
  }
  return { cents: totals.cents.likely, byTask, unpriced: totals.unpriced, massG: Math.round(totals.kg.likely * 1000) }
}
