/** What the names of a job list stand for in a build that is under way: as her other tasks have it. Pure. */
import type { JobList, PlaceRole, ProductRole, TaskDef } from '../job-lists/types.ts'

export type Sibling = {
  readonly listKey: string | null
  readonly productId: string | null
  readonly places: readonly { readonly placeId: string }[]
  readonly tools: readonly { readonly toolId: string }[]
  readonly competences: readonly { readonly competenceId: string }[]
}

/** The task of a list that a key is of: `fill-bottom-2` is one of `fill-bottom`. */
export function definitionOf(list: JobList, listKey: string): TaskDef | undefined {
  return list.tasks.find((t) => t.key === listKey && !t.repeat) ?? list.tasks.find((t) => t.repeat && listKey.startsWith(`${t.key}-`) && /^\d+$/.test(listKey.slice(t.key.length + 1)))
}

export interface FoundNames {
  readonly products: Map<ProductRole, string>
  readonly places: Map<PlaceRole, string>
  /** null: her tasks that could have it do without. Not in it: she has no such task. */
  readonly tools: Map<string, string | null>
  readonly competences: Map<string, string | null>
}

export function namesOf(list: JobList, siblings: readonly Sibling[]): FoundNames {
  const known = siblings.flatMap((task) => {
    const def = task.listKey === null ? undefined : definitionOf(list, task.listKey)
    return def ? [{ task, def }] : []
  })
  const products = new Map<ProductRole, string>()
  const places = new Map<PlaceRole, string>()
  for (const role of new Set(known.flatMap(({ def }) => def.product ?? []))) {
    const id = most(known.flatMap(({ task, def }) => (def.product === role ? (task.productId ?? []) : [])))
    if (id !== null) products.set(role, id)
  }
  for (const role of new Set(known.map(({ def }) => def.place))) {
    if (role === 'boat' || role === 'anywhere') continue
    const id = most(known.flatMap(({ task, def }) => (def.place === role ? task.places.map((p) => p.placeId) : [])))
    if (id !== null) places.set(role, id)
  }
  return {
    products, places,
    tools: together(known.map(({ task, def }) => ({ names: (def.tools ?? []).map((t) => t.name), ids: task.tools.map((t) => t.toolId) }))),
    competences: together(known.map(({ task, def }) => ({ names: def.competences ?? [], ids: task.competences.map((c) => c.competenceId) }))),
  }
}

function most(ids: readonly string[]): string | null {
  const count = new Map<string, number>()
  for (const id of ids) count.set(id, (count.get(id) ?? 0) + 1)
  return [...count].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))[0]?.[0] ?? null
}

/** For each name the id that is there where the name is, and not where it isn't. */
function together(rows: readonly { names: readonly string[]; ids: readonly string[] }[]): Map<string, string | null> {
  const out = new Map<string, string | null>()
  for (const name of new Set(rows.flatMap((r) => r.names))) {
    const [has, hasNot] = [rows.filter((r) => r.names.includes(name)), rows.filter((r) => !r.names.includes(name))]
    const share = (id: string, of: typeof rows): number => of.filter((r) => r.ids.includes(id)).length / Math.max(1, of.length)
    const scored = [...new Set(has.flatMap((r) => r.ids))].map((id) => ({ id, score: share(id, has) - share(id, hasNot) })).filter((s) => s.score > 0)
    out.set(name, scored.sort((a, b) => b.score - a.score || (a.id < b.id ? -1 : 1))[0]?.id ?? null)
  }
  return out
}

