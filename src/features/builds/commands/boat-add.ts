/** Tasks that a changed boat has too: put where the list has them, with what their siblings have. */
import { productFor } from '../facts/mapping.ts'
import { guessed, isStructural, tieOf, choiceOf } from '../facts/material-choice.ts'
import { namesOf } from '../facts/siblings.ts'
import type { DraftTask } from '../job-lists/types.ts'
import { knownNames, storeChoices } from '../queries/store-choices.ts'
import type { BoatTask, Changing } from './boat-task.ts'
import { insertTasks, type Mapping } from './insert-tasks.ts'

export async function addTasks(c: Changing, gone: ReadonlySet<string>): Promise<{ ids: ReadonlyMap<string, string>; names: string[] }> {
  const { tx, buildId, before, after, tasks } = c
  const had = new Set([...before.tasks.map((t) => t.listKey), ...tasks.flatMap((t) => t.listKey ?? [])])
  const fresh = after.tasks.filter((t) => !had.has(t.listKey))
  if (fresh.length === 0) return { ids: new Map(), names: [] }
  const phases = await phasesFor(c, fresh, gone)
  const order = await positions(c, fresh, gone)
  const ids = await insertTasks(tx, buildId, fresh.map((task) => ({ task, phaseId: phases.get(task.phase)!, position: order.get(task.listKey)! })), await mappingOf(c))
  return { ids, names: fresh.map((t) => t.name) }
}

/** Ids of the phases by the list's keys; one that she doesn't have yet comes after the nearest before it. */
async function phasesFor({ tx, buildId, list, after, tasks, before }: Changing, fresh: readonly DraftTask[], gone: ReadonlySet<string>): Promise<Map<string, string>> {
  const phaseOfKey = new Map([...before.tasks, ...after.tasks].map((t) => [t.listKey, t.phase]))
  const rows = await tx.phase.findMany({ where: { buildId }, select: { id: true, name: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] })
  const ids = new Map<string, string>()
  for (const t of tasks) {
    const key = t.listKey === null || gone.has(t.id) ? undefined : phaseOfKey.get(t.listKey)
    if (key !== undefined && !ids.has(key)) ids.set(key, t.phaseId)
  }
  for (const { key, name } of list.phases) {
    const row = ids.has(key) ? undefined : rows.find((r) => r.name === name)
    if (row) ids.set(key, row.id)
  }
  const order = rows.map((r) => r.id)
  for (const [i, { key, name }] of list.phases.entries()) {
    if (ids.has(key) || !fresh.some((t) => t.phase === key)) continue
    const { id } = await tx.phase.create({ data: { buildId, name, position: 0 } })
    ids.set(key, id)
    const earlier = list.phases.slice(0, i).flatMap((p) => ids.get(p.key) ?? [])
    order.splice(Math.max(-1, ...earlier.map((e) => order.indexOf(e))) + 1, 0, id)
  }
  for (const [i, id] of order.entries()) await tx.phase.updateMany({ where: { id, position: { not: i + 1 } }, data: { position: i + 1 } })
  return ids
}

/** Each after the nearest task before it in the list; those behind move on. */
async function positions({ tx, after, list, tasks }: Changing, fresh: readonly DraftTask[], gone: ReadonlySet<string>): Promise<Map<string, number>> {
  const inOrder = list.phases.flatMap((p) => after.tasks.filter((t) => t.phase === p.key).map((t) => t.listKey))
  const row = tasks.filter((t) => !gone.has(t.id)).map((t) => ({ id: t.id as string | null, key: t.listKey, position: t.position }))
  const isNew = new Set(fresh.map((t) => t.listKey))
  for (const [i, key] of inOrder.entries()) {
    if (!isNew.has(key)) continue
    const earlier = new Set(inOrder.slice(0, i))
    const at = row.findLastIndex((r) => r.key !== null && earlier.has(r.key))
    row.splice(at + 1, 0, { id: null, key, position: 0 })
  }
  const moved = row.flatMap((r, i) => (r.id !== null && r.position !== i + 1 ? [{ id: r.id, position: i + 1 }] : []))
  await tx.$executeRaw`update task set position = v.position from unnest(${moved.map((m) => m.id)}::uuid[], ${moved.map((m) => m.position)}::int[]) as v(id, position) where task.id = v.id`
  return new Map(row.flatMap((r, i) => (r.id === null ? [[r.key!, i + 1] as const] : [])))
}

async function mappingOf(c: Changing): Promise<Mapping> {
  const { tx, list, tasks } = c
  const found = namesOf(list, tasks)
  const tools = await tx.tool.findMany({ select: { id: true, name: true, count: true } })
  const products = await tx.cureProduct.findMany({
    select: { id: true, name: true, kind: true, hazard: true }, where: { isActive: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const competences = await tx.competence.findMany({ select: { id: true, name: true } })
  const mapping: Mapping = { tools: new Map(), competences: new Map(), places: found.places, products: new Map(found.products), ties: await tiesOf(c) }
  for (const def of list.tasks) {
    if (def.product !== undefined && !mapping.products.has(def.product)) {
      const product = productFor(def.product, products)
      if (product) mapping.products.set(def.product, product.id)
    }
    for (const { name } of def.tools ?? []) {
      const id = found.tools.get(name)
      mapping.tools.set(name, tools.find((t) => (id === undefined ? t.name === name : t.id === id)) ?? null)
    }
    for (const name of def.competences ?? []) {
      const id = found.competences.get(name)
      mapping.competences.set(name, id === undefined ? (competences.find((x) => x.name === name)?.id ?? null) : id)
    }
  }
  return mapping
}

/** A name's item as her other tasks have it; else what the club says it is; else what it looks like. */
export async function tiesOf({ tx, tasks }: Pick<Changing, 'tx' | 'tasks'>): Promise<Mapping['ties']> {
  const [stores, known] = [await storeChoices(tx), await knownNames(tx)]
  const hers = new Map<string, { row: BoatTask['materials'][number]; task: BoatTask }>()
  for (const task of tasks) for (const row of task.materials) if (row.itemId !== null || row.productId !== null || !hers.has(row.name)) hers.set(row.name, { row, task })
  return (name, productId, unit) => {
    const mine = hers.get(name)
    if (mine) {
      const tie = tieOf(choiceOf(mine.row, mine.task.productId), productId)
      return { ...tie, structural: mine.row.structural }
    }
    const tie = tieOf(known.get(name) ?? guessed(name, [unit], stores.items), productId)
    return { ...tie, structural: isStructural(tie, stores.items, stores.products) }
  }
}
