/** The hours of an estimate: her list's tasks as measured, and what people have added. Pure. */
import { sumSpreads } from '../../../core/estimate/index.ts'
import type { Spread } from '../../../core/estimate/types.ts'
import type { DraftTask as ListTask, HoursRule } from '../job-lists/types.ts'
import { personMinutes } from './sums.ts'

type Work = { readonly kind: 'shared' | 'together' | 'unattended'; readonly workLowMin: number; readonly workLikelyMin: number; readonly workHighMin: number; readonly handsFrom: number }
type DraftTask = Pick<ListTask, 'listKey' | 'phase' | 'name' | 'hours' | 'kind' | 'workLowMin' | 'workLikelyMin' | 'workHighMin' | 'handsFrom'>
type StoredTask = Work & { readonly id: string; readonly listKey: string | null; readonly phase: string; readonly name: string; readonly isDone: boolean }

export type TaskHours = {
  /** null: she doesn't have the task (yet). */
  readonly id: string | null
  readonly name: string
  readonly isDone: boolean
  readonly kind: Work['kind']
  readonly hands: number
  /** Minutes of all hands together. */
  readonly minutes: Spread
  /** null: not from the list, as a person put it in. */
  readonly rule: HoursRule | null
  /** What the task itself says, where it is not that. */
  readonly stated: Spread | null
}
export type PhaseHours = { readonly name: string; readonly minutes: Spread; readonly tasks: readonly TaskHours[] }
export type EstimatedHours = { readonly minutes: Spread; readonly byPhase: readonly PhaseHours[] }

/**
 * By phase in the list's order, then phases of people's own. A task that the draft has counts as the draft has it, so that two ways of
 * building her are compared by one rule; a task that only she has counts as it stands.
 */
export function estimatedHours(phases: readonly { readonly key: string; readonly name: string }[], draft: readonly DraftTask[], stored: readonly StoredTask[]): EstimatedHours {
  const byKey = new Map(stored.flatMap((t) => (t.listKey === null ? [] : [[t.listKey, t] as const])))
  const drafted = new Set(draft.map((t) => t.listKey))
  const groups = new Map<string, TaskHours[]>(phases.map((p) => [p.name, []]))
  const add = (phase: string, task: TaskHours) => groups.set(phase, [...(groups.get(phase) ?? []), task])
  for (const t of draft) {
    const mine = byKey.get(t.listKey)
    const minutes = personMinutes([t])
    const said = mine === undefined ? minutes : personMinutes([mine])
    add(mine?.phase ?? phases.find((p) => p.key === t.phase)?.name ?? t.phase, {
      id: mine?.id ?? null, name: mine?.name ?? t.name, isDone: mine?.isDone ?? false, kind: t.kind, hands: t.handsFrom, minutes, rule: t.hours,
      stated: said.low === minutes.low && said.likely === minutes.likely && said.high === minutes.high ? null : said,
    })
  }
  for (const t of stored) {
    if (t.listKey !== null && drafted.has(t.listKey)) continue
    add(t.phase, { id: t.id, name: t.name, isDone: t.isDone, kind: t.kind, hands: t.handsFrom, minutes: personMinutes([t]), rule: null, stated: null })
  }
  const byPhase = [...groups].filter(([, tasks]) => tasks.length > 0).map(([name, tasks]) => ({ name, tasks, minutes: sumSpreads(tasks.map((t) => t.minutes)) }))
  return { minutes: sumSpreads(byPhase.map((p) => p.minutes)), byPhase }
}
