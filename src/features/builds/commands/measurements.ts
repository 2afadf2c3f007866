import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { isStructural, tieOf } from '../facts/material-choice.ts'
import { jobListByKey } from '../job-lists/index.ts'
import { instantiate } from '../job-lists/instantiate.ts'
import type { DraftTask, Grade } from '../job-lists/types.ts'
import { buildValues } from '../queries/build-form.ts'
import { knownNames, storeChoices } from '../queries/store-choices.ts'
import { settingsOf, stateOf } from '../queries/boat.ts'
import { changed } from './changed.ts'
import { materialColumns } from './start.ts'

/**
 * New measurements of a build: tasks of the list that nobody began, and whose hours and materials are still those of the old measurements,
 * get the new ones. What people changed by hand stays, and counts of coats that change are told, not done.
 */
export async function saveMeasurements(tx: Tx, ctx: Ctx, buildId: string, input: { version: number; grade: Grade; measured: Record<string, number> }): Promise<Result<Done, Refusal>> {
  await tx.$queryRaw`select id from build where id = ${buildId}::uuid for update`
  const build = await tx.build.findUniqueOrThrow({ where: { id: buildId } })
  if (build.version !== input.version) return refused(409, 'Somebody changed this build while the page was open.', { current: await buildValues(tx, buildId) })
  const list = build.listKey === null ? undefined : jobListByKey(build.listKey)
  if (!list) return refused(422, 'This build was not started from a standard job list, so nothing is worked out from measurements.')
  const settings = await settingsOf(tx, build.skill)
  const next = instantiate(list, { ...stateOf(build), measured: input.measured, grade: input.grade }, settings)
  if (!next.ok) return refused(422, 'Some measurements don’t fit this list. Nothing was changed.', { fields: Object.fromEntries(Object.entries(next.refusal).map(([key, text]) => [`m.${key}`, text])) })
  const before = instantiate(list, stateOf(build), settings)
  const was = new Map(before.ok ? before.value.tasks.map((t) => [t.listKey, t]) : [])
  const will = new Map(next.value.tasks.map((t) => [t.listKey, t]))
  const tasks = await tx.task.findMany({ where: { buildId, listKey: { not: null } }, include: { materials: true, _count: { select: { workLogs: true } } } })
  let redone = 0
  const [stores, known] = [await storeChoices(tx), await knownNames(tx)]
  /** What it was tied to; a name that is new here, what it is known for. */
  const tieOfName = (name: string, task: (typeof tasks)[number]) => {
    const old = task.materials.find((m) => m.name === name)
    if (old) return { itemId: old.itemId, productId: old.productId, structural: old.structural }
    const tie = tieOf(known.get(name) ?? { is: 'not' }, task.productId)
    return { ...tie, structural: isStructural(tie, stores.items, stores.products) }
  }
  for (const task of tasks) {
    const [old, fresh] = [was.get(task.listKey!), will.get(task.listKey!)]
    if (!old || !fresh || task.startedAt !== null || task.finishedAt !== null || task._count.workLogs > 0) continue
    const work = sameWork(task, old) && !sameWork(task, fresh)
    const stuff = sameMaterials(task.materials, old.materials) && !sameMaterials(task.materials, fresh.materials)
    if (work) await tx.task.update({ where: { id: task.id }, data: { workLowMin: fresh.workLowMin, workLikelyMin: fresh.workLikelyMin, workHighMin: fresh.workHighMin, version: { increment: 1 } } })
    if (stuff) {
      await tx.taskMaterial.deleteMany({ where: { taskId: task.id } })
      await tx.taskMaterial.createMany({ data: fresh.materials.map((m) => ({ ...materialColumns(m), taskId: task.id, ...tieOfName(m.name, task) })) })
    }
    if (work || stuff) redone++
  }
  await tx.build.update({ where: { id: buildId }, data: { measurements: input.measured, grade: input.grade, version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'measurements changed', entity: 'build', entityId: buildId, buildId, before: { measured: build.measurements, grade: build.grade }, after: { measured: input.measured, grade: input.grade } })
  await changed(tx, ctx, buildId, `${build.name} measured anew`)
  const more = next.value.tasks.filter((t) => !was.has(t.listKey)).map((t) => t.name)
  const fewer = [...was.values()].filter((t) => !will.has(t.listKey)).map((t) => t.name)
  const coats = `${more.length === 0 ? '' : ` The list would now have “${more.join('”, “')}” too: add what you want.`}${fewer.length === 0 ? '' : ` It would no longer have “${fewer.join('”, “')}”: delete what you don’t want.`}`
  return ok({ location: `/builds/${buildId}`, flash: `Measurements are saved; ${redone} ${redone === 1 ? 'task was' : 'tasks were'} worked out anew.${coats}` })
}

type Work = Pick<DraftTask, 'workLowMin' | 'workLikelyMin' | 'workHighMin'>
const sameWork = (a: Work, b: Work) => a.workLowMin === b.workLowMin && a.workLikelyMin === b.workLikelyMin && a.workHighMin === b.workHighMin

type Material = { name: string; unit: string; low: number; likely: number; high: number }
function sameMaterials(a: readonly Material[], b: readonly Material[]): boolean {
  const key = (rows: readonly Material[]) => rows.map((m) => `${m.name}|${m.unit}|${m.low}|${m.likely}|${m.high}`).sort().join('\n')
  return key(a) === key(b)
}
