import { ok, type Result } from '../../../../core/result.ts'
import type { Tx } from '../../../../platform/database.ts'
import type { Prisma } from '../../../../platform/generated/client.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../../platform/write.ts'
import { changed } from '../../commands/changed.ts'
import { circleWords } from '../../commands/links.ts'
import { makeRoom } from '../../commands/task.ts'
import { tieMaterials } from '../../commands/materials.ts'
import { circleOf } from '../../queries/circles.ts'
import { faultOf, OWN_FAULT } from '../catalogue.ts'
import { reworkPlace } from '../queries/follow.ts'
import { lockSnag } from './snags.ts'

type Range = { low: number; likely: number; high: number }

export type ReworkInput = {
  buildId: string
  snagId: string
  name: string
  steps: readonly string[]
  /** Steps once the resin can be sanded: a task of their own. None where nothing cures. */
  afterCure: readonly string[]
  /** Person-minutes of all of it. */
  minutes: Range
  hands: { from: number; to: number }
  dusty: boolean
  /** Cure product where resin goes on. */
  productId: string | null
  /** Open tasks of her that wait for it. */
  before: readonly string[]
}

const wrong = (field: string, message: string) => refused(422, 'Nothing was changed: see the note at the field.', { fields: { [field]: message } })

/**
 * Makes work of a snag, where its phase has it: after what it was found at, before what must not come over it. Where resin goes on and is sanded
 * afterwards it is two tasks, for the cure lies between them; finishing the last closes the snag.
 */
export async function makeRework(tx: Tx, ctx: Ctx, input: ReworkInput): Promise<Result<{ taskId: string; text: string }, Refusal>> {
  const { buildId, snagId } = input
  await tx.$queryRaw`select id from build where id = ${buildId}::uuid for update`
  const locked = await lockSnag(tx, buildId, snagId)
  if (!locked.ok) return locked
  const snag = locked.value
  if (snag.closedOn !== null) return refused(422, `Snag ${snag.no} is closed: open it again before making rework of it.`)
  if (snag.reworkTask && snag.reworkTask.finishedAt === null) return refused(422, `“${snag.reworkTask.name}” is in the plan for it already.`)
  const place = await reworkPlace(tx, buildId, snag)
  if (place.phaseId === null) return refused(422, 'She has no phase yet for the work to stand in: add a task first.')
  const product = input.productId === null ? null : await tx.cureProduct.findFirst({ where: { id: input.productId, isActive: true } })
  if (input.productId !== null && !product) return wrong('productId', 'This cure product is not there any more: choose another')
  if (product && product.sandableMin === null && input.afterCure.length > 0) return wrong('afterCure', `${product.name} has no figure for “sandable”, so nobody knows when: fill it in on the product’s page, or leave this empty`)
  const waiting = input.before.map((id) => place.tasks.find((t) => t.id === id))
  if (waiting.some((t) => t === undefined)) return wrong('before', 'One of these tasks is not there any more: choose again')
  if (waiting.some((t) => !t?.isOpen || t.id === snag.taskId)) return wrong('before', 'Only open tasks can wait for it, and not the one it was found at')

  const at = place.tasks.find((t) => t.id === snag.taskId)
  const parts = partsOf(input, product !== null, (faultOf(snag.kind) ?? OWN_FAULT).afterShare)
  const places = at ? await tx.taskPlace.findMany({ where: { taskId: at.id }, select: { placeId: true } }) : []
  const ids: string[] = []
  for (const part of parts) {
    const position = await makeRoom(tx, buildId, place.phaseId, ids.at(-1) ?? at?.id ?? null)
    const task = await tx.task.create({ data: { ...columns(input, part, snag), buildId, phaseId: place.phaseId, position } })
    ids.push(task.id)
    await tx.step.createMany({ data: part.steps.map((text, n) => ({ taskId: task.id, text, position: n + 1 })) })
    await tx.taskPlace.createMany({ data: places.map(({ placeId }) => ({ taskId: task.id, placeId })) })
    if (part.dusty) await takeSander(tx, buildId, task.id, snag.kind)
  }
  const [first, last] = [ids[0]!, ids.at(-1)!]
  const mixed = faultOf(snag.kind)?.mixed ?? null
  if (product && mixed) await takeResin(tx, first, product.id, mixed)
  if (ids.length > 1) await tx.link.create({ data: { buildId, fromId: first, toId: last, kind: 'stage', stage: 'sandable' } })
  await waitFor(tx, buildId, at?.id ?? null, first, snag.kind)
  // Resin that nobody sands is still let harden before anything comes over it.
  const over = ids.length === 1 && product && product.sandableMin !== null ? { kind: 'stage' as const, stage: 'sandable' as const } : { kind: 'finish' as const }
  for (const id of new Set(input.before)) await tx.link.create({ data: { buildId, fromId: last, toId: id, ...over } })
  const circle = await circleOf(tx, buildId)
  if (circle) return refused(422, circleWords(circle), { fields: { before: 'One of these comes before it by her other links' } })
  await tx.snag.update({ where: { id: snagId }, data: { reworkTaskId: last, version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'rework made', entity: 'snag', entityId: snagId, buildId, after: { tasks: ids, before: input.before, minutes: input.minutes } })
  await changed(tx, ctx, buildId, `“${input.name}” is to be done again or mended (${snag.build.name})`)
  return ok({ taskId: last, text: `“${input.name}” is in the plan${ids.length > 1 ? ', and its sanding after the cure' : ''}.` })
}

type Part = { name: string; steps: readonly string[]; minutes: Range; cures: boolean; dusty: boolean }

function partsOf(input: ReworkInput, cures: boolean, afterShare: number): Part[] {
  const whole = { name: input.name, steps: input.steps, minutes: input.minutes, cures, dusty: input.dusty && !cures }
  if (!cures || input.afterCure.length === 0) return [{ ...whole, steps: [...input.steps, ...input.afterCure] }]
  const share = afterShare > 0 ? afterShare : OWN_FAULT.afterShare
  const [low, likely, high] = ([input.minutes.low, input.minutes.likely, input.minutes.high] as const).map((m) => Math.max(m > 0 ? 1 : 0, Math.round(m * share)))
  const after = { low: low!, likely: likely!, high: high! }
  const rest = (m: keyof Range) => Math.max(input.minutes[m] > 0 ? 1 : 0, input.minutes[m] - after[m])
  return [
    { ...whole, minutes: { low: rest('low'), likely: rest('likely'), high: rest('high') } },
    { name: `${input.name}: sand it flush`, steps: input.afterCure, minutes: after, cures: false, dusty: true },
  ]
}

function columns(input: ReworkInput, part: Part, snag: { no: number; kind: string | null; what: string; whereAt: string }) {
  const { caution } = faultOf(snag.kind) ?? OWN_FAULT
  return {
    name: part.name, note: `Snag ${snag.no}: ${snag.what}${snag.whereAt === '' ? '' : `, ${snag.whereAt}`}`, caution,
    kind: 'shared' as const, workLowMin: part.minutes.low, workLikelyMin: part.minutes.likely, workHighMin: part.minutes.high,
    handsFrom: input.hands.from, handsTo: input.hands.to, smallestMin: part.cures || part.minutes.likely <= 30 ? null : 30, setUpMin: 5, clearUpMin: 5,
    dusty: part.dusty, productId: part.cures ? input.productId : null,
  }
}

/** It comes after what it was found at; what must be sanded or scraped of a film waits until that can be sanded. */
async function waitFor(tx: Tx, buildId: string, atId: string | null, toId: string, kind: string | null): Promise<void> {
  if (atId === null) return
  const at = await tx.task.findUniqueOrThrow({ where: { id: atId }, select: { finishedAt: true, product: { select: { sandableMin: true } } } })
  const cures = at.product !== null && at.product.sandableMin !== null && (faultOf(kind) ?? OWN_FAULT).needsCured
  if (cures) await tx.link.create({ data: { buildId, fromId: atId, toId, kind: 'stage', stage: 'sandable' } })
  else if (at.finishedAt === null) await tx.link.create({ data: { buildId, fromId: atId, toId, kind: 'finish' } })
}

/** The sander that her other tasks take, so that two don't count on it at once. */
async function takeSander(tx: Tx, buildId: string, taskId: string, kind: string | null): Promise<void> {
  const wanted = (faultOf(kind) ?? OWN_FAULT).tools.map((t) => t.split(' ')[0]!.toLowerCase())
  if (wanted.length === 0) return
  const where: Prisma.TaskToolWhereInput = { task: { buildId }, tool: { isActive: true, OR: wanted.map((name) => ({ name: { contains: name, mode: 'insensitive' as const } })) } }
  const used = await tx.taskTool.findFirst({ where, select: { toolId: true }, orderBy: { toolId: 'asc' } })
  if (used) await tx.taskTool.create({ data: { taskId, toolId: used.toolId, count: 1 } })
}

async function takeResin(tx: Tx, taskId: string, productId: string, mixed: Range): Promise<void> {
  const rows = await tieMaterials(tx, [{ name: 'Mixed resin for the mend', unit: 'g', ...mixed, rule: 'a spot as large as a hand; common practice', choice: null, structural: null }], productId)
  if (!rows.ok) return
  // Where the stores have its resin and hardener, it is taken from them.
  const isMixed = (await tx.system.count({ where: { productId } })) > 0
  await tx.taskMaterial.createMany({ data: rows.value.map((m) => ({ ...m, taskId, ...(isMixed ? { itemId: null, productId } : {}) })) })
}
