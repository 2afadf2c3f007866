/** What changes of a boat, by measuring or by choice: her tasks follow, as far as nobody began or changed them. */
import { estimate } from '../../../core/estimate/index.ts'
import type { EstimateSettings } from '../../../core/estimate/types.ts'
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { definitionOf } from '../facts/siblings.ts'
import { boatOf } from '../job-lists/boat.ts'
import { draftOf, unfit } from '../job-lists/instantiate.ts'
import type { BoatState } from '../job-lists/geometry.ts'
import type { JobList } from '../job-lists/types.ts'
import { asFields, changedState, listOf, settingsOf, stateOf, type BoatChange } from '../queries/boat.ts'
import { buildValues } from '../queries/build-form.ts'
import { circleOf } from '../queries/circles.ts'
import { addTasks } from './boat-add.ts'
import { followLinks } from './boat-links.ts'
import { begunOtherwise, redoTasks } from './boat-redo.ts'
import { takeOff } from './boat-take-off.ts'
import { boatTask, type Changing } from './boat-task.ts'
import { changed } from './changed.ts'
import { circleWords } from './links.ts'

export type BoatChanged = {
  /** Tasks whose hours, materials or name were worked out anew. */
  redone: number
  /** By name. Kept: begun, drawn on, pinned or changed by somebody, though the list has them no more or with other goods. */
  added: string[]
  removed: string[]
  kept: string[]
}

/** Also without any change, to work everything out anew: by what the club sets and learnt since. */
export async function changeBoat(tx: Tx, ctx: Ctx, buildId: string, change: BoatChange, input: { version?: number; why: string }): Promise<Result<BoatChanged, Refusal>> {
  await tx.$queryRaw`select id from build where id = ${buildId}::uuid for update`
  const build = await tx.build.findUniqueOrThrow({ where: { id: buildId } })
  if (input.version !== undefined && build.version !== input.version) return refused(409, 'Somebody changed this build while the page was open.', { current: await buildValues(tx, buildId) })
  await tx.$queryRaw`select id from task where build_id = ${buildId}::uuid order by id for update`
  const list = listOf(build.listKey)
  const [was, will] = [stateOf(build), changedState(stateOf(build), change)]
  const refusal = unfit(list, will.measured)
  if (refusal) return refused(422, 'Some measurements don’t fit this list. Nothing was changed.', { fields: asFields(refusal) })
  // What the club learnt is a walk over its books: once, unless the hands are others.
  const settings = await settingsOf(tx, was.skill)
  const [before, after] = [drafted(list, was, settings), drafted(list, will, will.skill === was.skill ? settings : await settingsOf(tx, will.skill))]
  const tasks = await tx.task.findMany({ where: { buildId }, select: boatTask, orderBy: [{ position: 'asc' }, { id: 'asc' }] })
  const c: Changing = { tx, ctx, buildId, list, before: before.draft, after: after.draft, tasks, isOld: build.listKey !== null && (build.listVersion ?? 0) < 2 }
  const missing = missingOf(c)
  const off = await takeOff(c)
  const added = await addTasks(c, off.gone)
  await followLinks(c, added.ids, { before: before.without(missing), after: after.without(missing) })
  const redone = await redoTasks(c, off.gone)
  const circle = added.names.length > 0 ? await circleOf(tx, buildId) : null
  if (circle) return refused(422, circleWords(circle))
  await tx.build.update({
    where: { id: buildId },
    data: {
      measurements: will.measured, geometry: will.geometry as Prisma.InputJsonObject, grade: will.grade, skill: will.skill,
      ...(build.listKey === null ? {} : { listVersion: list.version }), version: { increment: 1 },
    },
  })
  const done: BoatChanged = { redone, added: added.names, removed: off.removed, kept: [...new Set([...off.kept, ...begunOtherwise(c, off.gone)])] }
  await audit(tx, ctx, { what: 'boat changed', entity: 'build', entityId: buildId, buildId, before: was, after: { ...will, why: input.why, ...done } })
  await changed(tx, ctx, buildId, `${build.name}: ${input.why}`)
  return ok(done)
}

/** A draft, and its links where some tasks of it are not there. */
function drafted(list: JobList, state: BoatState, settings: EstimateSettings) {
  const { boat, figures } = boatOf(list, state)
  const lines = estimate(boat, settings)
  return { draft: draftOf(list, figures, lines, state.grade), without: (missing: ReadonlySet<string>) => draftOf(list, figures, lines, state.grade, missing).links }
}

/** Tasks of the list that she should have, before and after, and that somebody deleted. */
function missingOf({ list, before, after, tasks }: Changing): Set<string> {
  const baseOf = (key: string): string => definitionOf(list, key)?.key ?? key
  const [has, should] = [new Set(tasks.flatMap((t) => (t.listKey === null ? [] : [baseOf(t.listKey)]))), new Set(before.tasks.map((t) => baseOf(t.listKey)))]
  return new Set(after.tasks.map((t) => baseOf(t.listKey)).filter((key) => should.has(key) && !has.has(key)))
}

/** For people: what became of the tasks. */
export function changedWords({ redone, added, removed, kept }: BoatChanged): string {
  const names = (all: readonly string[]) => `“${all.join('”, “')}”`
  return [
    redone === 0 ? 'No task had to be worked out anew.' : `${redone} ${redone === 1 ? 'task was' : 'tasks were'} worked out anew.`,
    ...(added.length === 0 ? [] : [`New: ${names(added)}.`]),
    ...(removed.length === 0 ? [] : [`Taken off: ${names(removed)}.`]),
    ...(kept.length === 0 ? [] : [`Kept, since somebody began, drew on, pinned or changed ${kept.length === 1 ? 'it' : 'them'}: ${names(kept)}.`]),
  ].join(' ')
}
