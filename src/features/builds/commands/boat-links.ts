/** Links of a changed boat: those of the list follow it, those that people made stay. */
import type { DraftLink } from '../job-lists/types.ts'
import type { Changing } from './boat-task.ts'
import { linkColumns } from './insert-tasks.ts'

const nameOf = (l: Pick<DraftLink, 'fromKey' | 'toKey' | 'kind'>): string => `${l.fromKey}>${l.toKey}>${l.kind}`

/** `before` and `after`: the list's links among the tasks that she has. */
export async function followLinks(
  { tx, buildId, tasks, after: draft }: Changing, added: ReadonlyMap<string, string>,
  { before, after }: { before: readonly DraftLink[]; after: readonly DraftLink[] },
): Promise<void> {
  const present = await tx.task.findMany({ where: { buildId, listKey: { not: null } }, select: { id: true, listKey: true, productId: true } })
  const ids = new Map(present.map((t) => [t.listKey!, t.id]))
  const keys = new Map(present.map((t) => [t.id, t.listKey!]))
  const cures = new Set(present.filter((t) => t.productId !== null).map((t) => t.listKey!))
  const [was, will, inList] = [new Map(before.map((l) => [nameOf(l), l])), new Map(after.map((l) => [nameOf(l), l])), new Set(draft.tasks.map((t) => t.listKey))]
  const had = new Set(tasks.map((t) => t.listKey))
  const stored = await tx.link.findMany({ where: { buildId }, orderBy: { id: 'asc' } })
  const there = new Set<string>()
  const washTools = most(stored.filter((l) => l.kind === 'window' && l.washMin !== null).map((l) => l.washToolIds))
  for (const row of stored) {
    const [fromKey, toKey] = [keys.get(row.fromId), keys.get(row.toId)]
    if (fromKey === undefined || toKey === undefined) continue
    const name = nameOf({ fromKey, toKey, kind: row.kind })
    there.add(name)
    const isFact = row.missedAt !== null || row.washStartedAt !== null || row.washLoggedMin > 0
    const [old, now] = [was.get(name), will.get(name)]
    if (!old || isFact || !inList.has(fromKey) || !inList.has(toKey)) continue
    if (!now) await tx.link.delete({ where: { id: row.id } })
    else if (row.washMin === old.washMin && row.stage === old.stage && (now.washMin !== old.washMin || now.stage !== old.stage)) {
      await tx.link.update({ where: { id: row.id }, data: { washMin: now.washMin, stage: now.stage, version: { increment: 1 } } })
    }
  }
  const fresh = after.filter((l) => {
    // One that was there before and is not any more, somebody took off.
    const isNew = !was.has(nameOf(l)) || added.has(l.fromKey) || added.has(l.toKey) || !had.has(l.fromKey) || !had.has(l.toKey)
    return isNew && ids.has(l.fromKey) && ids.has(l.toKey) && !there.has(nameOf(l))
  })
  await tx.link.createMany({ data: fresh.map((l) => linkColumns(cured(l, cures), buildId, (key) => ids.get(key)!, washTools)), skipDuplicates: true })
}

/** Nothing cures where a person took the product off: then its finish is waited for. */
function cured(l: DraftLink, cures: ReadonlySet<string>): DraftLink {
  const needs = l.kind === 'window' ? [l.fromKey, l.toKey] : l.kind === 'stage' ? [l.fromKey] : []
  if (needs.every((key) => cures.has(key))) return l
  return l.kind === 'window' && cures.has(l.fromKey) ? { ...l, kind: 'stage', stage: 'sandable', washMin: null } : { ...l, kind: 'finish', stage: null, washMin: null }
}

function most(all: readonly (readonly string[])[]): string[] {
  const count = new Map<string, { ids: readonly string[]; n: number }>()
  for (const ids of all) count.set(ids.join(), { ids, n: (count.get(ids.join())?.n ?? 0) + 1 })
  return [...([...count.values()].sort((a, b) => b.n - a.n)[0]?.ids ?? [])]
}
