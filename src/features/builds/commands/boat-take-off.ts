/** Tasks that a changed boat has no more: taken off where nobody did anything with them. */
import { isAsListed } from '../facts/listed.ts'
import { through } from '../job-lists/bridge.ts'
import type { LinkDef } from '../job-lists/types.ts'
import type { Link } from '../../../platform/generated/client.ts'
import { isBegun, type BoatTask, type Changing } from './boat-task.ts'

export async function takeOff(c: Changing): Promise<{ gone: ReadonlySet<string>; removed: string[]; kept: string[] }> {
  const { tx, buildId, before, after, tasks } = c
  const will = new Set(after.tasks.map((t) => t.listKey))
  const off = tasks.filter((t) => t.listKey !== null && !will.has(t.listKey) && before.tasks.some((d) => d.listKey === t.listKey))
  if (off.length === 0) return { gone: new Set(), removed: [], kept: [] }
  const links = await tx.link.findMany({ where: { buildId }, orderBy: { id: 'asc' } })
  const washed = new Set(links.filter((l) => l.missedAt !== null || l.washStartedAt !== null || l.washDoneAt !== null || l.washLoggedMin > 0).flatMap((l) => [l.fromId, l.toId]))
  const { launchTaskId } = await tx.build.findUniqueOrThrow({ where: { id: buildId }, select: { launchTaskId: true } })
  const goes = (t: BoatTask): boolean => t.id !== launchTaskId && !washed.has(t.id) && isUntouched(c, t)
  const gone = off.filter(goes)
  const ids = new Set(gone.map((t) => t.id))
  await bridge(c, links, gone)
  await tx.task.deleteMany({ where: { id: { in: [...ids] } } })
  for (const phaseId of new Set(gone.map((t) => t.phaseId))) {
    const isNeeded = tasks.some((t) => t.phaseId === phaseId && !ids.has(t.id))
    if (!isNeeded) await tx.phase.delete({ where: { id: phaseId } })
  }
  return { gone: ids, removed: gone.map((t) => t.name), kept: off.filter((t) => !ids.has(t.id)).map((t) => t.name) }
}

function isUntouched({ before, isOld }: Changing, t: BoatTask): boolean {
  const draft = before.tasks.find((d) => d.listKey === t.listKey)
  const { stockEntries, batches, pins, holdsFrom, holdsTo } = t._count
  if (!draft || isBegun(t) || stockEntries + batches + pins + holdsFrom + holdsTo > 0) return false
  return isAsListed(t, draft, isOld && t.version === 1)
}

/**
 * What people linked to a task that goes, or what of the list stays though the list has it no more, is linked through it. Where both sides are the
 * list's own, the list says what comes after what.
 */
async function bridge({ tx, buildId, before, after, tasks }: Changing, stored: readonly Link[], gone: readonly BoatTask[]): Promise<void> {
  const byId = new Map(tasks.map((t) => [t.id, t]))
  const keyOf = (id: string): string | null => byId.get(id)?.listKey ?? null
  const will = new Set(after.tasks.map((t) => t.listKey))
  const listed = new Set(before.links.map((l) => `${l.fromKey}>${l.toKey}>${l.kind}`))
  const cures = new Set(tasks.filter((t) => t.productId !== null).map((t) => t.id))
  const isLists = (l: LinkDef): boolean => listed.has(`${keyOf(l.from)}>${keyOf(l.to)}>${l.kind}`)
  let links = stored.map((l) => ({ link: asDef(l), isLists: isLists(asDef(l)) }))
  for (const { id } of gone) {
    const [into, outOf] = [links.filter(({ link }) => link.to === id), links.filter(({ link }) => link.from === id)]
    links = links.filter(({ link }) => link.to !== id && link.from !== id)
    for (const a of into) for (const b of outOf) {
      links.push({ link: { ...through(a.link, b.link, cures), from: a.link.from, to: b.link.to } as LinkDef, isLists: a.isLists && b.isLists })
    }
  }
  const isSaid = (l: (typeof links)[number]): boolean => l.isLists && will.has(keyOf(l.link.from) ?? '') && will.has(keyOf(l.link.to) ?? '')
  const had = new Set(stored.map((l) => `${l.fromId}>${l.toId}>${l.kind}`))
  const fresh = links.filter((l) => !isSaid(l)).map((l) => l.link).filter((l) => !had.has(`${l.from}>${l.to}>${l.kind}`))
  await tx.link.createMany({ data: fresh.map((l) => ({ buildId, fromId: l.from, toId: l.to, ...columns(l) })), skipDuplicates: true })
}

function asDef(l: Link): LinkDef {
  const ends = { from: l.fromId, to: l.toId }
  switch (l.kind) {
    case 'finish': return { ...ends, kind: 'finish', lag: l.lagMin }
    case 'stage': return { ...ends, kind: 'stage', stage: l.stage! }
    case 'window': return { ...ends, kind: 'window', wash: l.washMin }
    case 'lag': return { ...ends, kind: 'lag', edge: l.edge === 'start' ? 'start' : 'finish', ...(l.minLagMin === null ? {} : { min: l.minLagMin }), ...(l.maxLagMin === null ? {} : { max: l.maxLagMin }) }
  }
}

const columns = (l: LinkDef) => ({
  kind: l.kind, lagMin: l.kind === 'finish' ? (l.lag ?? 0) : 0, stage: l.kind === 'stage' ? l.stage : null, washMin: l.kind === 'window' ? l.wash : null,
  edge: l.kind === 'lag' ? l.edge : 'finish', minLagMin: l.kind === 'lag' ? (l.min ?? null) : null, maxLagMin: l.kind === 'lag' ? (l.max ?? null) : null,
})
