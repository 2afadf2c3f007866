/** Sums over the tasks of a build. Pure. */

type Work = { kind: 'shared' | 'together' | 'unattended'; workLowMin: number; workLikelyMin: number; workHighMin: number; handsFrom: number }
export type Range3 = { low: number; likely: number; high: number }

/** Person-minutes; work done together counts all its hands, what happens by itself none. */
export function personMinutes(tasks: readonly Work[]): Range3 {
  const sum = { low: 0, likely: 0, high: 0 }
  for (const t of tasks) {
    const hands = t.kind === 'together' ? t.handsFrom : t.kind === 'unattended' ? 0 : 1
    sum.low += t.workLowMin * hands
    sum.likely += t.workLikelyMin * hands
    sum.high += t.workHighMin * hands
  }
  return sum
}

export type MaterialSum = Range3 & { name: string; unit: string }
export function materialSums(rows: readonly MaterialSum[]): MaterialSum[] {
  const sums = new Map<string, MaterialSum>()
  for (const m of rows) {
    const key = `${m.name}|${m.unit}`
    const sum = sums.get(key) ?? { name: m.name, unit: m.unit, low: 0, likely: 0, high: 0 }
    sums.set(key, { ...sum, low: sum.low + m.low, likely: sum.likely + m.likely, high: sum.high + m.high })
  }
  return [...sums.values()].sort((a, b) => a.name.localeCompare(b.name))
}
