import { ok, type Result } from '../../../core/result.ts'
import { isTaken, type Tx } from '../../../platform/database.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { shortestApplication } from '../facts/work-left.ts'
import { hours, STAGE_WORDS } from '../facts/words.ts'
import { circleOf } from '../queries/circles.ts'
import type { LinkInput } from '../schemas/links.ts'
import { changed } from './changed.ts'
import { lockLink, lockTask, type LockedTask } from './found.ts'
import { taskUrl } from './task.ts'

/** Links this task to another, unless that makes a circle or waits for a cure that never comes. */
export async function addLink(tx: Tx, ctx: Ctx, buildId: string, taskId: string, input: LinkInput): Promise<Result<Done, Refusal>> {
  const build = await tx.build.findUniqueOrThrow({ where: { id: buildId }, select: { name: true } })
  // One link at a time on a build, or two people could close a circle between them.
  await tx.$queryRaw`select id from build where id = ${buildId}::uuid for update`
  const here = await lockTask(tx, buildId, taskId)
  if (!here.ok) return here
  if (input.other === taskId) return refused(422, 'A task can’t wait for itself.', { fields: { other: 'Choose another task' } })
  const there = await lockTask(tx, buildId, input.other)
  if (!there.ok) return refused(422, 'That task is not part of this build any more.', { fields: { other: 'Choose another task' } })
  const [from, to] = input.side === 'before' ? [there.value, here.value] : [here.value, there.value]
  const cure = await checkCure(tx, from, to, input)
  if (cure) return cure
  const washTools = input.kind === 'window' && !input.hard ? input.washTools : []
  if ((await tx.tool.count({ where: { id: { in: washTools } } })) !== washTools.length) return refused(422, 'One of the tools is not there any more.', { fields: { washTools: 'Choose again' } })
  const data = {
    buildId, fromId: from.id, toId: to.id, kind: input.kind, lagMin: input.kind === 'finish' ? (input.lag ?? 0) : 0, edge: input.kind === 'lag' ? input.edge : 'finish',
    minLagMin: input.kind === 'lag' ? input.min : null, maxLagMin: input.kind === 'lag' ? input.max : null, stage: input.kind === 'stage' ? input.stage! : null,
    washMin: input.kind === 'window' && !input.hard ? input.wash : null, washToolIds: washTools,
  }
  const same = await tx.link.findFirst({ where: { fromId: from.id, toId: to.id, kind: input.kind } })
  if (same) return refused(422, `“${to.name}” waits for “${from.name}” in this way already: take that link off first to change it.`, { fields: { other: 'Linked already' } })
  let link
  try {
    link = await tx.link.create({ data })
  } catch (error) {
    if (isTaken(error)) return refused(409, 'Somebody linked the two meanwhile.')
    throw error
  }
  const circle = await circleOf(tx, buildId)
  if (circle) return refused(422, circleWords(circle), { fields: { other: 'This closes a circle' } })
  await audit(tx, ctx, { what: 'linked', entity: 'link', entityId: link.id, buildId, after: data })
  await changed(tx, ctx, buildId, `“${to.name}” now waits for “${from.name}” (${build.name})`)
  return ok({ location: `${taskUrl(buildId, taskId)}#links`, flash: `“${to.name}” now waits for “${from.name}”.` })
}

export function circleWords({ names, lags }: { names: string[]; lags: boolean }): string {
  const chain = [...names, names[0] ?? ''].map((n) => `“${n}”`).join(' → ')
  if (lags) return `These waits can’t all be kept: ${chain}. A longest wait ends before the work between is done: make it longer, or take one of these links off. Nothing was changed.`
  return `That makes a circle, and none of its tasks could ever begin: ${chain}. Turn this link round, or take another of the circle off first. Nothing was changed.`
}

async function checkCure(tx: Tx, from: LockedTask, to: LockedTask, input: LinkInput) {
  const bad = (field: string, message: string) => refused(422, 'Nothing was changed: see the note at the field.', { fields: { [field]: message } })
  if (input.kind === 'finish' || input.kind === 'lag') return null
  if (from.productId === null) return bad('kind', `“${from.name}” has no cure product, so nothing of it cures: link to its finish, or give it a product`)
  const product = await tx.cureProduct.findUniqueOrThrow({ where: { id: from.productId } })
  const sheet = `fill it in on the product’s page (${product.name})`
  if (input.kind === 'stage') {
    const known = { workable: product.workableMin, dustFree: product.dustFreeMin, opens: product.opensMin, closes: product.closesMin ?? product.closesCapMin, sandable: product.sandableMin, handleable: product.handleableMin, fullCure: product.fullCureMin }
    return known[input.stage!] === null ? bad('stage', `${product.name} has no figure for “${STAGE_WORDS[input.stage!]}”: ${sheet}, or choose another stage`) : null
  }
  if (to.productId === null) return bad('kind', `“${to.name}” has no cure product: a recoat window lies between two coats. Wait for a stage instead, or give it a product`)
  const { opensMin, closesMin, closesCapMin } = product
  if (opensMin === null) return bad('kind', `${product.name} has no time from which it takes the next coat: ${sheet}`)
  const closes = Math.min(closesMin ?? Infinity, closesCapMin ?? Infinity)
  if (opensMin >= closes) return bad('kind', `${product.name} closes (${hours(closes)}) before it opens (${hours(opensMin)}), so there is no window to meet: correct its figures on its page, or wait for “sandable”`)
  const need = shortestApplication(to)
  if (opensMin + need > closes) {
    return bad('kind', `The window of ${product.name} is ${hours(closes - opensMin)} long at ${product.referenceTemp} °C and “${to.name}” takes ${hours(need)}: split it into two tasks, or allow more hands`)
  }
  if (!input.hard && product.sandableMin === null) return bad('wash', `${product.name} has no “sandable” figure, so nobody knows when it may be washed and sanded: ${sheet}`)
  return null
}

export async function removeLink(tx: Tx, ctx: Ctx, buildId: string, taskId: string, linkId: string): Promise<Result<Done, Refusal>> {
  const locked = await lockLink(tx, buildId, linkId)
  if (!locked.ok) return locked
  const link = locked.value
  if (link.washLoggedMin > 0) return refused(422, `Hours of washing are logged between “${link.from.name}” and “${link.to.name}”, so this link stays. Take them back first if they were wrong.`)
  await tx.link.delete({ where: { id: link.id } })
  await audit(tx, ctx, { what: 'unlinked', entity: 'link', entityId: link.id, buildId, before: link })
  await changed(tx, ctx, buildId, `“${link.to.name}” no longer waits for “${link.from.name}”`)
  return ok({ location: `${taskUrl(buildId, taskId)}#links`, flash: `“${link.to.name}” no longer waits for “${link.from.name}”.` })
}
