/** What was drawn in the week beside what the estimate has for the same tasks. Pure. */
import type { UseLine } from '../../model.ts'

/** Thousandths of the item's unit; `inWeek` false: drawn before, for a task that something was drawn for in the week too. */
export type EntryIn = { itemId: string; item: string; unit: string; taskId: string | null; task: string | null; lot: number; milli: number; inWeek: boolean }
export type NeedIn = { low: number; likely: number; high: number }

/** A range that is narrower is told as this much on both sides of its likely amount: what is left in the pot is nobody's waste (common practice, no source). */
const NARROW = 0.1

/**
 * @param needOf what the estimate has of an item for a task; null: nothing of it
 * @param isFinished whether the task was finished by the week's end
 */
export function useLines(entries: readonly EntryIn[], needOf: (taskId: string, itemId: string) => NeedIn | null, isFinished: (taskId: string) => boolean): UseLine[] {
  const items = new Map<string, EntryIn[]>()
  for (const e of entries) items.set(e.itemId, [...(items.get(e.itemId) ?? []), e])
  return [...items].flatMap(([itemId, all]): UseLine[] => {
    const inWeek = all.filter((e) => e.inWeek)
    const milli = sum(inWeek)
    if (inWeek.length === 0 || (milli === 0 && inWeek.every((e) => e.milli === 0))) return []
    const taskIds = [...new Set(inWeek.flatMap((e) => e.taskId ?? []))]
    const needs = taskIds.flatMap((id) => needOf(id, itemId) ?? [])
    const soFar = sum(all.filter((e) => e.taskId !== null && taskIds.includes(e.taskId)))
    const estimate = needs.length === 0 ? null : { low: add(needs, 'low'), likely: add(needs, 'likely'), high: add(needs, 'high') }
    const first = all[0]!
    return [{
      itemId, item: first.item, unit: first.unit, milli, lots: [...new Set(inWeek.map((e) => e.lot))].sort((a, b) => a - b),
      tasks: [...new Set(inWeek.flatMap((e) => e.task ?? []))], soFar, estimate, is: compared(soFar, estimate, taskIds.every(isFinished)),
    }]
  })
}

function compared(soFar: number, estimate: NeedIn | null, allFinished: boolean): UseLine['is'] {
  if (estimate === null || estimate.likely <= 0) return 'no-estimate'
  if (soFar > Math.max(estimate.high, estimate.likely * (1 + NARROW))) return 'over'
  if (!allFinished) return 'going'
  return soFar < Math.min(estimate.low, estimate.likely * (1 - NARROW)) ? 'under' : 'as'
}

const sum = (list: readonly { milli: number }[]): number => list.reduce((n, e) => n + e.milli, 0)
const add = (list: readonly NeedIn[], key: keyof NeedIn): number => list.reduce((n, x) => n + x[key], 0)
