/** What the stores of a random club have, and what its tasks take: some of it scarce, some on order, some not fit for structure. */
import type { Plan } from '../../src/core/schedule/answer.ts'
import type { Material, MaterialNeed, Problem, Supply, TaskSpec } from '../../src/core/schedule/problem.ts'
import { instant, minutes, type Instant } from '../../src/core/units/index.ts'
import type { Dice } from './dice.ts'

const ITEMS = ['resin', 'hardener', 'paint', 'cloth', 'screws'] as const
type Item = (typeof ITEMS)[number]

/** The same club with needs and stores; a fifth of the clubs has neither. Draws from a dice of its own, so that the rest stays as it was. */
export function withMaterials(d: Dice, problem: Problem): Problem {
  if (d.chance(0.2)) return problem
  const tasks = problem.tasks.map((t) => ({ ...t, materials: needsOf(d, t) }))
  const open = tasks.filter((t) => t.finished === null).flatMap((t) => t.materials)
  const total = (id: Item): number => open.reduce((n, m) => n + (m.materialId === id ? m.amount : 0), 0)
  return { ...problem, tasks, materials: ITEMS.map((id) => materialOf(d, problem.now, id, total(id))) }
}

function needsOf(d: Dice, t: TaskSpec): MaterialNeed[] {
  const need = (materialId: Item, most: number, structural = true): MaterialNeed => ({ materialId, amount: d.between(1, most) * 1000 + d.between(0, 999), structural })
  if (t.productId === 'epoxy' || t.productId === 'glue') {
    const structural = t.productId === 'glue' || d.chance(0.7)
    return [need('resin', 900, structural), need('hardener', 400, structural), ...(d.chance(0.2) ? [need('cloth', 4), need('cloth', 2, false)] : [])]
  }
  if (t.productId === 'paint') return d.chance(0.8) ? [need('paint', 500, false)] : []
  if (t.work.kind === 'unattended') return d.chance(0.1) ? [need('screws', 40)] : []
  return d.chance(0.2) ? [need('screws', 40, d.chance(0.5))] : d.chance(0.1) ? [need('cloth', 5)] : []
}

/** Of all that is needed: plenty, most, or little of it on hand; some of the rest under way. */
function materialOf(d: Dice, now: Instant, id: Item, total: number): Material {
  const share = d.pick([0.1, 0.4, 0.7, 1, 1.5])
  const part = (most: number): number => Math.floor(total * most * d.roll())
  const at = (days: number): Instant => instant(now + days * 1440 + d.between(0, 1439))
  const onHand: Supply[] = [{ at: at(-d.between(2, 300)), amount: Math.floor(total * share * 0.8), fit: 'structure' }]
  if (d.chance(0.4)) onHand.push({ at: at(-400), amount: part(0.3), fit: 'any' })
  const onOrder: Supply[] = Array.from({ length: d.pick([0, 0, 1, 2]) }, (_, i): Supply =>
    ({ at: at(d.between(1, 40) + i * 50), amount: part(0.5), fit: d.chance(0.1) ? 'any' : 'structure' }))
  return { id, supplies: [...onHand, ...onOrder], leadTime: minutes(d.pick([0, 2, 7, 14, 40, d.chance(0.2) ? 900 : 21]) * 1440 + d.between(0, 600)) }
}

/** The stores some time on: what was short has been ordered, what begun tasks need has been drawn. */
export function storesLater(before: Problem, plan: Plan, tasks: readonly TaskSpec[], isBegun: (t: TaskSpec) => boolean): Pick<Problem, 'materials' | 'tasks'> {
  const drawn = new Set(tasks.filter((t) => isBegun(t)).map((t) => t.id))
  const short = (id: string): number => plan.needs.reduce((n, x) => n + (x.materialId === id ? x.short : 0), 0)
  const materials = before.materials.map((m): Material => {
    const ordered = { at: instant(before.now + m.leadTime), amount: short(m.id), fit: 'structure' as const }
    const supplies = [...m.supplies, ...(ordered.amount > 0 ? [ordered] : [])].map((s) => ({ ...s })).sort((a, b) => a.at - b.at)
    for (const n of plan.needs) if (n.materialId === m.id && drawn.has(n.taskId)) draw(supplies, n)
    return { ...m, supplies: merged(supplies.filter((s) => s.amount > 0)) }
  })
  return { materials, tasks: tasks.map((t) => (drawn.has(t.id) ? { ...t, materials: [] } : t)) }
}

function draw(supplies: { at: Instant; amount: number; fit: Supply['fit'] }[], need: { readonly amount: number; readonly structural: boolean }): void {
  let left = need.amount
  for (const fit of need.structural ? ['structure'] : ['any', 'structure']) {
    for (const s of supplies) {
      const n = s.fit === fit ? Math.min(left, s.amount) : 0
      s.amount -= n
      left -= n
    }
  }
}

/** Supplies of one instant and fit in one. */
export function merged(supplies: readonly Supply[]): Supply[] {
  const out = new Map<string, Supply>()
  for (const s of supplies) out.set(`${s.fit} ${s.at}`, { ...s, amount: s.amount + (out.get(`${s.fit} ${s.at}`)?.amount ?? 0) })
  return [...out.values()]
}
