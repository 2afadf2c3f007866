/** Rows of tasks that a job list drafted, with the club's ids in place of the list's names. */
import { randomUUID } from 'node:crypto'
import type { Tx } from '../../../platform/database.ts'
import type { Tie } from '../facts/material-choice.ts'
import type { DraftLink, DraftMaterial, DraftTask, PlaceRole, ProductRole } from '../job-lists/types.ts'

/** Names of the list → ids of the club; null: left out. */
export type Mapping = {
  tools: Map<string, { id: string; count: number } | null>
  competences: Map<string, string | null>
  places: Map<PlaceRole, string>
  products: Map<ProductRole, string>
  ties(name: string, productId: string | null, unit: string): Tie & { structural: boolean }
}

/** @returns ids by the keys of the list */
export async function insertTasks(tx: Tx, buildId: string, drafts: readonly { task: DraftTask; phaseId: string; position: number }[], mapping: Mapping): Promise<Map<string, string>> {
  const ids = new Map(drafts.map(({ task }) => [task.listKey, randomUUID()]))
  const idOf = (t: DraftTask): string => ids.get(t.listKey)!
  const tasks = drafts.map((d) => d.task)
  await tx.task.createMany({ data: drafts.map(({ task, phaseId, position }) => ({ id: idOf(task), buildId, phaseId, position, productId: productOf(task, mapping), ...taskColumns(task) })) })
  await tx.taskPlace.createMany({ data: tasks.flatMap((t) => (mapping.places.has(t.placeRole) ? [{ taskId: idOf(t), placeId: mapping.places.get(t.placeRole)! }] : [])) })
  await tx.taskTool.createMany({ data: tasks.flatMap((t) => toolRows(t, idOf(t), mapping)) })
  await tx.taskCompetence.createMany({
    data: tasks.flatMap((t) => [...new Set(t.competences.flatMap((c) => mapping.competences.get(c) ?? []))].map((competenceId) => ({ taskId: idOf(t), competenceId }))),
  })
  await tx.step.createMany({ data: tasks.flatMap((t) => t.steps.map((s, i) => ({ ...s, taskId: idOf(t), position: i + 1 }))) })
  await tx.taskMaterial.createMany({ data: tasks.flatMap((t) => t.materials.map((m) => ({ ...materialColumns(m), taskId: idOf(t), ...mapping.ties(m.name, productOf(t, mapping), m.unit) }))) })
  return ids
}

export const materialColumns = ({ share: _share, ...m }: DraftMaterial) => m
export const linkColumns = ({ fromKey, toKey, ...link }: DraftLink, buildId: string, idOf: (key: string) => string, washToolIds: string[]) => (
  { ...link, buildId, fromId: idOf(fromKey), toId: idOf(toKey), washToolIds: link.kind === 'window' && link.washMin !== null ? washToolIds : [] })

const productOf = (t: DraftTask, mapping: Mapping): string | null => (t.productRole === null ? null : (mapping.products.get(t.productRole) ?? null))

export const taskColumns = (t: DraftTask) => ({
  listKey: t.listKey, name: t.name, note: t.note, caution: t.caution, kind: t.kind, workLowMin: t.workLowMin, workLikelyMin: t.workLikelyMin, workHighMin: t.workHighMin,
  handsFrom: t.handsFrom, handsTo: t.handsTo, smallestMin: t.productRole === null ? t.smallestMin : null, setUpMin: t.setUpMin, clearUpMin: t.clearUpMin,
  portable: t.placeRole === 'anywhere', dusty: t.dusty, craft: t.craft, minAir: t.minAir,
})

/** Two names may stand for one tool of the club: then the larger count, and the longer hold. */
function toolRows(t: DraftTask, taskId: string, mapping: Mapping) {
  const rows = new Map<string, { taskId: string; toolId: string; count: number; heldUntil: DraftTask['tools'][number]['heldUntil'] }>()
  for (const use of t.tools) {
    const tool = mapping.tools.get(use.name)
    if (!tool || tool.count < 1) continue
    const before = rows.get(tool.id)
    const heldUntil = t.productRole === null ? null : (use.heldUntil ?? before?.heldUntil ?? null)
    rows.set(tool.id, { taskId, toolId: tool.id, count: Math.max(before?.count ?? 1, Math.min(use.count, tool.count)), heldUntil })
  }
  return [...rows.values()]
}
