/** What the planner's answer to one option says: launch, windows, stores and other builds. Pure. */
import { instantToLocal, isoWeek } from '../../../core/calendar/index.ts'
import type { Plan } from '../../../core/schedule/answer.ts'
import { instant } from '../../../core/units/index.ts'
import { launchSlot } from '../diff.ts'
import type { Slot } from '../model.ts'
import type { Loaded } from '../queries/problem.ts'
import type { OptionResult, StockLeft } from './model.ts'
import { workLeft } from '../weeks.ts'
import type { StockUnit } from '../stock-model.ts'

export type Items = ReadonlyMap<string, { readonly name: string; readonly unit: string }>
/** The planner's answer, null where there is none that could be shown. */
export type Answered = { readonly loaded: Loaded; readonly plan: Plan | null }

type Outcome = Pick<OptionResult, 'leftMin' | 'launch' | 'missed' | 'resin' | 'short'>

/** @param resinItems items of which is told what is left at the launch. */
export function outcomeOf({ loaded, plan }: Answered, buildId: string, resinItems: readonly string[], items: Items): Outcome {
  const ofBuild = new Set(loaded.problem.tasks.filter((t) => t.buildId === buildId).map((t) => t.id))
  const launch = plan && launchSlot(plan, buildId)
  const links = new Map(loaded.problem.links.map((l) => [l.id, l.to]))
  return {
    leftMin: workLeft(loaded.problem.tasks.filter((t) => t.buildId === buildId)),
    launch,
    missed: (plan?.missed ?? []).filter((m) => ofBuild.has(links.get(m.linkId) ?? '')).length,
    resin: resinItems.flatMap((id) => (plan ? leftAt(loaded, plan, id, launch?.end ?? null, items) : [])),
    short: plan ? shortFor(plan, ofBuild, items) : [],
  }
}

/** Items of systems that her tasks take. */
export function resinOf({ problem }: Loaded, buildId: string, systems: readonly { readonly resinId: string; readonly hardenerId: string }[]): string[] {
  const taken = new Set(problem.tasks.filter((t) => t.buildId === buildId).flatMap((t) => t.materials.map((m) => m.materialId)))
  return systems.flatMap((s) => (taken.has(s.resinId) || taken.has(s.hardenerId) ? [s.resinId, s.hardenerId] : []))
}

/** On hand and on order up to then, less what all builds take up to then; without a launch: less all that is planned. */
function leftAt({ problem }: Loaded, plan: Plan, itemId: string, until: number | null, items: Items): StockLeft[] {
  const item = items.get(itemId)
  const stock = problem.materials.find((m) => m.id === itemId)
  if (!item || !stock) return []
  const starts = new Map<string, number>()
  for (const p of plan.pieces) starts.set(p.taskId, Math.min(p.start, starts.get(p.taskId) ?? Infinity))
  const here = stock.supplies.filter((s) => until === null || s.at <= until).reduce((sum, s) => sum + s.amount, 0)
  const taken = plan.needs.filter((n) => n.materialId === itemId).filter((n) => {
    const at = starts.get(n.taskId) ?? n.wanted
    return at !== null && (until === null || at <= until)
  })
  return [{ itemId, name: item.name, unit: item.unit as StockUnit, milli: here - taken.reduce((sum, n) => sum + n.amount, 0) }]
}

function shortFor(plan: Plan, ofBuild: ReadonlySet<string>, items: Items): StockLeft[] {
  const sums = new Map<string, number>()
  for (const n of plan.needs) if (n.short > 0 && ofBuild.has(n.taskId)) sums.set(n.materialId, (sums.get(n.materialId) ?? 0) + n.short)
  return [...sums].flatMap(([itemId, milli]) => {
    const item = items.get(itemId)
    return item ? [{ itemId, name: item.name, unit: item.unit as StockUnit, milli }] : []
  }).sort((a, b) => (a.name < b.name ? -1 : 1))
}

/** Launches of other builds that come out on another day than with her as she is; where people are only assumed to come, in another week. */
export function othersMoved(own: Answered, option: Answered, buildId: string): OptionResult['others'] {
  const [before, after] = [own.plan, option.plan]
  if (!before || !after || own === option) return []
  const { zone } = option.loaded.problem
  const date = (t: number) => instantToLocal(zone, instant(t)).date
  const week = (t: number) => {
    const { year, week: n } = isoWeek(date(t))
    return `${year}-${n}`
  }
  const isSame = (a: Slot | null, b: Slot | null) =>
    a === null || b === null ? a === b : a.projected && b.projected ? week(a.start) === week(b.start) : date(a.start) === date(b.start)
  return after.builds.filter((b) => b.buildId !== buildId).flatMap((b) => {
    const [from, to] = [launchSlot(before, b.buildId), launchSlot(after, b.buildId)]
    return isSame(from, to) ? [] : [{ buildId: b.buildId, from, to }]
  })
}
