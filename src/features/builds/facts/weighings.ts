/** From what finished tasks were to take and what was drawn on them to weighings of the estimate's rules. Pure. */
import { inUnitOf, type Measure } from './amounts.ts'
import { learnsFrom } from './rule-keys.ts'
import type { RuleKey, Skill } from '../../../core/estimate/types.ts'
import { isSlip, type Weighing } from '../../../core/estimate/index.ts'

/** Materials of a finished task that are one thing of the stores and come from one rule: the likely amounts without what was learnt. */
export type BaseRow = { taskId: string; skill: Skill; itemId: string | null; productId: string | null; unit: string; ruleKey: string | null; base: number }
/** What was drawn on a task, less what came back: thousandths of the item's unit. */
export type UsedRow = { taskId: string; itemId: string; milli: number }
export type Weighed = Weighing & { taskId: string; rule: RuleKey; skill: Skill }

/** Resin and hardener of a cure product with their masses to each other; null where nobody said. */
export type Mix = { resinId: string; hardenerId: string; ratio: { a: number; b: number } | null }
export type Shelf = { items: ReadonlyMap<string, Measure>; mixes: ReadonlyMap<string, Mix> }

/**
 * One task is one weighing of what it took of one thing; where several rules ask for that thing, each has its share of it. Products that
 * share a resin can't be told apart at the shelf, so on one task they are weighed together. What can't be said in one unit is left out.
 */
export function weighingsOf(rows: readonly BaseRow[], used: readonly UsedRow[], shelf: Shelf): Weighed[] {
  const usedOn = grouped(used, (u) => u.taskId)
  const out: Weighed[] = []
  for (const [taskId, mine] of grouped(rows, (r) => r.taskId)) {
    const drawn = new Map((usedOn.get(taskId) ?? []).map((u) => [u.itemId, u.milli]))
    const weighed: Weighed[] = []
    for (const pool of poolsOf(mine, shelf)) {
      const ratio = ratioOf(pool, drawn, shelf)
      if (ratio === null) continue
      for (const [rule, ofRule] of grouped(pool.rows, (r) => r.ruleKey)) {
        const skill = ofRule[0]?.skill
        if (!learnsFrom(rule) || skill === undefined) continue
        const weight = ofRule.reduce((sum, r) => sum + r.base, 0) / pool.rows.reduce((sum, r) => sum + r.base, 0)
        if (weight > 0) weighed.push({ taskId, rule, skill, logRatio: Math.log(ratio), weight })
      }
    }
    for (const ofRule of grouped(weighed, (w) => w.rule).values()) out.push(...oneOf(ofRule))
  }
  return out
}

/** A rule that asks for two things of the stores on one task (epoxy and filler of a fillet) was weighed once, with both; a slip stays by itself. */
function oneOf(weighed: readonly Weighed[]): Weighed[] {
  const slips = weighed.filter((w) => isSlip(w.logRatio))
  const good = weighed.filter((w) => !isSlip(w.logRatio))
  const [first] = good
  if (!first) return slips
  const sum = good.reduce((n, w) => n + w.weight, 0)
  return [{ ...first, logRatio: good.reduce((n, w) => n + w.weight * w.logRatio, 0) / sum, weight: Math.max(...good.map((w) => w.weight)) }, ...slips]
}

type Pool = { items: Set<string>; isMixed: boolean; rows: BaseRow[] }

/** Rows of a task by what they draw on: those that have an item in common are one. */
function poolsOf(rows: readonly BaseRow[], { mixes }: Shelf): Pool[] {
  let pools: Pool[] = []
  for (const row of rows) {
    const mix = row.productId === null ? undefined : mixes.get(row.productId)
    const ids = mix ? [mix.resinId, mix.hardenerId] : row.itemId === null ? [] : [row.itemId]
    if (ids.length === 0) continue
    const touched = pools.filter((p) => ids.some((id) => p.items.has(id)))
    pools = [
      ...pools.filter((p) => !touched.includes(p)),
      { items: new Set([...touched.flatMap((p) => [...p.items]), ...ids]), isMixed: mix !== undefined || touched.some((p) => p.isMixed), rows: [...touched.flatMap((p) => p.rows), row] },
    ]
  }
  return pools
}

/** Used over what the rules say; null where nothing was weighed or it can't be compared. Mixed amounts are compared in g, others in their item's unit. */
function ratioOf(pool: Pool, drawn: ReadonlyMap<string, number>, shelf: Shelf): number | null {
  const [first] = pool.items
  const measure = pool.isMixed ? { unit: 'g', density: null, widthMm: null } : shelf.items.get(first ?? '')
  if (!measure) return null
  let [base, taken] = [0, 0]
  for (const row of pool.rows) {
    const amount = inUnitOf(row.base, row.unit, row.itemId !== null && pool.isMixed ? { ...measure, density: shelf.items.get(row.itemId)?.density ?? null } : measure)
    if (amount === null) return null
    base += amount
  }
  for (const id of pool.items) {
    const milli = drawn.get(id) ?? 0
    const item = shelf.items.get(id)
    const amount = item === undefined ? null : milli === 0 ? 0 : massOr(milli / 1000, item, pool.isMixed)
    if (amount === null) return null
    taken += amount
  }
  taken *= wholeMix(pool, drawn, shelf)
  return base > 0 && taken > 0 ? taken / base : null
}

const massOr = (amount: number, item: Measure, asMass: boolean): number | null =>
  asMass ? inUnitOf(amount, item.unit, { unit: 'g', density: item.density, widthMm: null }) : amount

/** Where only the resin of a mix was weighed, its hardener went with it by the ratio. */
function wholeMix(pool: Pool, drawn: ReadonlyMap<string, number>, { mixes }: Shelf): number {
  const products = [...new Set(pool.rows.flatMap((r) => r.productId ?? []))].flatMap((id) => mixes.get(id) ?? [])
  const [mix] = products
  if (!mix?.ratio || products.some((p) => p.resinId !== mix.resinId) || pool.rows.some((r) => r.productId === null)) return 1
  const hasResin = (drawn.get(mix.resinId) ?? 0) > 0
  const hasHardener = products.some((p) => (drawn.get(p.hardenerId) ?? 0) > 0)
  return hasResin && !hasHardener ? (mix.ratio.a + mix.ratio.b) / mix.ratio.a : 1
}

export function grouped<T, K>(rows: readonly T[], keyOf: (row: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>()
  for (const row of rows) {
    const group = groups.get(keyOf(row))
    if (group) group.push(row)
    else groups.set(keyOf(row), [row])
  }
  return groups
}
