/** What tasks need from the stores, and what of it was drawn. */
import type { Reader } from '../../../platform/database.ts'
import { drawnOn, itemNeeds, loadSystems, type NeedRow, type Systems } from '../../stores/public.ts'
import { inUnitOf, type Measure } from '../facts/amounts.ts'

/** Amounts in thousandths of the item's unit. */
export type TaskNeed = { itemId: string; structural: boolean; needMilli: number; drawnMilli: number; leftMilli: number }

type Row = Omit<NeedRow, 'structural'> & { structural: boolean }

/** Likely amounts in the units of their items; what can't be said in the item's unit is left out. */
export function inItemUnits(rows: readonly Row[], items: ReadonlyMap<string, Measure>): NeedRow[] {
  return rows.flatMap((row): NeedRow[] => {
    if (row.itemId === null) return row.productId === null ? [] : [row]
    const item = items.get(row.itemId)
    const likely = item ? inUnitOf(row.likely, row.unit, item) : null
    return item === undefined || likely === null ? [] : [{ ...row, unit: item.unit, likely }]
  })
}

/** Needs less what was drawn: what must be fit for structure is taken as served first. */
export function needsLeft(rows: readonly Row[], items: ReadonlyMap<string, Measure>, systems: Systems, drawn: ReadonlyMap<string, number>): TaskNeed[] {
  const rest = new Map(drawn)
  const needs = itemNeeds(inItemUnits(rows, items), systems)
  return needs
    .toSorted((a, b) => (a.itemId < b.itemId ? -1 : a.itemId > b.itemId ? 1 : Number(b.structural) - Number(a.structural)))
    .map(({ itemId, milli, structural }, i, all) => {
      const had = Math.max(0, rest.get(itemId) ?? 0)
      // What was drawn beyond all needs shows at the last need of the item.
      const isLast = all[i + 1]?.itemId !== itemId
      const here = isLast ? had : Math.min(had, milli)
      rest.set(itemId, had - here)
      return { itemId, structural, needMilli: milli, drawnMilli: here, leftMilli: Math.max(0, milli - here) }
    })
}

export async function measures(db: Reader): Promise<Map<string, Measure>> {
  return new Map((await db.item.findMany({ select: { id: true, unit: true, density: true, widthMm: true }, orderBy: { id: 'asc' } })).map(({ id, ...m }) => [id, m]))
}

/** Needs of each task that has any, finished or not. */
export async function taskNeeds(db: Reader, taskIds: readonly string[]): Promise<Map<string, TaskNeed[]>> {
  if (taskIds.length === 0) return new Map()
  const rows = await db.taskMaterial.findMany({
    where: { taskId: { in: [...taskIds] }, OR: [{ itemId: { not: null } }, { productId: { not: null } }] },
    select: { taskId: true, itemId: true, productId: true, unit: true, likely: true, structural: true },
    orderBy: [{ taskId: 'asc' }, { id: 'asc' }],
  })
  if (rows.length === 0) return new Map()
  const byTask = new Map<string, typeof rows>()
  for (const row of rows) byTask.set(row.taskId, [...(byTask.get(row.taskId) ?? []), row])
  const [items, systems, drawn] = [await measures(db), await loadSystems(db), await drawnOn(db, [...byTask.keys()])]
  return new Map([...byTask].map(([taskId, mine]) => [taskId, needsLeft(mine, items, systems, drawn.get(taskId) ?? new Map())]))
}

/** Amounts in thousandths of the item's unit. */
export type NeedRange = { low: number; likely: number; high: number }

/** From the least to the most that each task takes of each item, by the estimate; whatever was drawn. */
export async function needRanges(db: Reader, taskIds: readonly string[]): Promise<Map<string, Map<string, NeedRange>>> {
  const ranges = new Map<string, Map<string, NeedRange>>()
  const rows = taskIds.length === 0 ? [] : await db.taskMaterial.findMany({
    where: { taskId: { in: [...taskIds] }, OR: [{ itemId: { not: null } }, { productId: { not: null } }] },
    select: { taskId: true, itemId: true, productId: true, unit: true, low: true, likely: true, high: true, structural: true }, orderBy: [{ taskId: 'asc' }, { id: 'asc' }],
  })
  if (rows.length === 0) return ranges
  const [items, systems] = [await measures(db), await loadSystems(db)]
  for (const taskId of new Set(rows.map((r) => r.taskId))) {
    const mine = rows.filter((r) => r.taskId === taskId)
    const of = new Map<string, NeedRange>()
    for (const end of ['low', 'likely', 'high'] as const) {
      for (const need of itemNeeds(inItemUnits(mine.map((r) => ({ ...r, likely: r[end] })), items), systems)) {
        const one = of.get(need.itemId) ?? { low: 0, likely: 0, high: 0 }
        one[end] += need.milli
        of.set(need.itemId, one)
      }
    }
    ranges.set(taskId, of)
  }
  return ranges
}
