/** Whether a task is still what its job list made it, so that the list may make it anew. Pure. */
import type { DraftTask } from '../job-lists/types.ts'

type Work = { readonly workLowMin: number; readonly workLikelyMin: number; readonly workHighMin: number }
export const sameWork = (a: Work, b: Work): boolean => a.workLowMin === b.workLowMin && a.workLikelyMin === b.workLikelyMin && a.workHighMin === b.workHighMin

type Amount = { readonly name: string; readonly unit: string; readonly low: number; readonly likely: number; readonly high: number; readonly rule: string; readonly factor: number }
export const sameAmount = (a: Amount, b: Amount): boolean =>
  a.name === b.name && a.unit === b.unit && a.low === b.low && a.likely === b.likely && a.high === b.high && a.rule === b.rule && a.factor === b.factor

export type ListedTask = Work & {
  readonly name: string
  readonly note: string
  readonly caution: string
  readonly kind: string
  readonly handsFrom: number
  readonly handsTo: number
  readonly smallestMin: number | null
  readonly setUpMin: number
  readonly clearUpMin: number
  readonly portable: boolean
  readonly dusty: boolean
  readonly minAir: number | null
  readonly maxAir: number | null
  readonly maxHumidity: number | null
  readonly dewPointMargin: number | null
  readonly releaseOn: Date | null
  readonly statedLeftMin: number | null
  readonly steps: readonly { readonly text: string; readonly tickedAt: Date | null }[]
  readonly materials: readonly { readonly line: string | null }[]
}

/** `isOld`: from a list that did not know lines yet; then only hers that nobody ever saved count as the list's. */
export function isAsListed(task: ListedTask, draft: DraftTask, isOld: boolean): boolean {
  const smallest = draft.productRole === null ? draft.smallestMin : null
  return sameWork(task, draft)
    && task.name === draft.name && task.note === draft.note && task.caution === draft.caution && task.kind === draft.kind
    && task.handsFrom === draft.handsFrom && task.handsTo === draft.handsTo && task.smallestMin === smallest
    && task.setUpMin === draft.setUpMin && task.clearUpMin === draft.clearUpMin && task.portable === (draft.placeRole === 'anywhere') && task.dusty === draft.dusty && task.minAir === draft.minAir
    && task.maxAir === null && task.maxHumidity === null && task.dewPointMargin === null && task.releaseOn === null && task.statedLeftMin === null
    && task.steps.length === draft.steps.length && task.steps.every((s, i) => s.text === draft.steps[i]!.text && s.tickedAt === null)
    && (isOld || sameLines(task, draft))
}

function sameLines(task: Pick<ListedTask, 'materials'>, draft: DraftTask): boolean {
  const [has, should] = [task.materials.map((m) => m.line ?? ''), draft.materials.map((m) => m.line)]
  return has.length === should.length && should.every((line) => has.includes(line))
}
