import { ok, type Result } from '../../../core/result.ts'
import type { CureStage } from '../../../core/cure/types.ts'
import type { Tx } from '../../../platform/database.ts'
import { isUuid } from '../../../platform/request.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../platform/write.ts'
import { FINDINGS, type Finding } from '../facts/findings.ts'
import { toDate, toInstant } from '../../../platform/times.ts'
import { clubWords, STAGE_WORDS } from '../facts/words.ts'
import { linkRows, taskRows } from '../queries/rows.ts'
import { filmsOf } from '../queries/task-states.ts'
import { changed } from './changed.ts'
import { setFinished } from './finished.ts'
import { lockTask, type LockedTask } from './found.ts'
import { logWork } from './log-work.ts'

export type LogCoat = {
  buildId: string
  taskId: string
  /** Of the application: first stroke, last stroke. */
  startedAt: Date
  endedAt: Date
  /** Left out: where the task is done. */
  placeId?: string | null
  productId?: string | null
  note?: string
  /** The film below was washed and sanded first, whatever its window. */
  washed?: boolean
  /** Hours of these people are logged with it. */
  people?: readonly string[]
  sessionId?: string | null
}
type Said = Result<{ text: string }, Refusal>

/** A coat as it really went on; it finishes its task, and tells whether the windows under it were met. */
export async function logCoat(tx: Tx, ctx: Ctx, input: LogCoat): Promise<Said> {
  const locked = await lockTask(tx, input.buildId, input.taskId)
  if (!locked.ok) return locked
  const task = locked.value
  if (task.coat !== null) return refused(409, `A coat is logged on “${task.name}” already: correct its times instead.`, { current: { startedAt: task.coat.startedAt, endedAt: task.coat.endedAt } })
  const checked = await checkCoat(tx, ctx, task, input)
  if (!checked.ok) return checked
  const { productId, placeId } = checked.value
  const row = { productId, placeId, startedAt: input.startedAt, endedAt: input.endedAt, note: input.note ?? '' }
  await tx.coat.create({ data: { ...row, taskId: task.id, loggedBy: ctx.member.id, loggedAt: ctx.now } })
  const begun = task.startedAt === null || task.startedAt > input.startedAt ? input.startedAt : task.startedAt
  const mended = await setFinished(tx, ctx, task, input.endedAt, begun)
  const windows = await judgeWindows(tx, ctx, task, input)
  if (input.people && input.people.length > 0) {
    const elapsedMin = Math.max(1, toInstant(input.endedAt) - toInstant(input.startedAt))
    const log = await logWork(tx, ctx, {
      buildId: input.buildId, taskId: task.id, startedAt: input.startedAt, elapsedMin, workedMin: elapsedMin, people: input.people, sessionId: input.sessionId ?? null,
    })
    if (!log.ok) return log
  }
  return ok({ text: `“${task.name}” is on.${windows}${mended}` })
}

/** Corrects the times, the place or the product of a coat that is logged. */
export async function changeCoat(tx: Tx, ctx: Ctx, input: LogCoat & { version: number }): Promise<Said> {
  const locked = await lockTask(tx, input.buildId, input.taskId)
  if (!locked.ok) return locked
  const task = locked.value
  const { coat } = task
  if (coat === null) return refused(409, `The coat of “${task.name}” was taken out meanwhile.`)
  if (coat.version !== input.version) {
    const { startedAt, endedAt, placeId, productId } = coat
    return refused(409, 'Somebody corrected this coat meanwhile: both values are shown.', { current: { startedAt, endedAt, placeId, productId } })
  }
  const checked = await checkCoat(tx, ctx, task, { ...input, productId: input.productId ?? coat.productId, placeId: input.placeId ?? coat.placeId })
  if (!checked.ok) return checked
  await tx.coat.update({ where: { id: coat.id }, data: { ...checked.value, startedAt: input.startedAt, endedAt: input.endedAt, note: input.note ?? coat.note, version: { increment: 1 } } })
  await tx.task.update({ where: { id: task.id }, data: { finishedAt: input.endedAt, startedAt: input.startedAt } })
  await audit(tx, ctx, { what: 'coat corrected', entity: 'coat', entityId: coat.id, buildId: input.buildId, before: coat, after: { ...checked.value, startedAt: input.startedAt, endedAt: input.endedAt } })
  await tx.link.updateMany({ where: { toId: task.id, kind: 'window', washStartedAt: null, washDoneAt: null }, data: { missedAt: null } })
  const windows = await judgeWindows(tx, ctx, task, input)
  await changed(tx, ctx, input.buildId, `The coat of “${task.name}” was corrected (${task.build.name})`)
  return ok({ text: `The coat of “${task.name}” is corrected.${windows}` })
}

async function checkCoat(tx: Tx, ctx: Ctx, task: LockedTask, input: LogCoat): Promise<Result<{ productId: string; placeId: string }, Refusal>> {
  const productId = input.productId ?? task.productId
  if (productId === null) return refused(422, `“${task.name}” has no cure product: give it one first, or mark it finished.`)
  if (input.endedAt < input.startedAt) return refused(422, 'The coat ends before it begins: check the two times.', { fields: { ended: 'Before the beginning' } })
  if (input.endedAt.getTime() > ctx.now.getTime() + 5 * 60_000) return refused(422, 'A coat is logged when it is on: this time is still to come.', { fields: { ended: 'Still to come' } })
  if (input.endedAt.getTime() - input.startedAt.getTime() > 24 * 3_600_000) return refused(422, 'A coat goes on in one go: more than a day from first to last stroke can’t be.', { fields: { started: 'More than a day' } })
  const product = isUuid(productId) ? await tx.cureProduct.findUnique({ where: { id: productId }, select: { id: true } }) : null
  if (!product) return refused(422, 'This cure product is not there any more: choose another.', { fields: { product: 'Not there any more' } })
  const placeId = input.placeId ?? task.places[0]?.placeId ?? task.build.placeId
  const place = isUuid(placeId) ? await tx.place.findUnique({ where: { id: placeId }, select: { id: true } }) : null
  if (!place) return refused(422, 'This place is not there any more: choose another.', { fields: { place: 'Not there any more' } })
  return ok({ productId: product.id, placeId: place.id })
}

/** Marks windows that this coat came too late for, and says what that means. Too early is the builder's to judge. */
async function judgeWindows(tx: Tx, ctx: Ctx, task: LockedTask, coat: { startedAt: Date; endedAt: Date; washed?: boolean }): Promise<string> {
  const links = (await linkRows(tx, [task.buildId])).filter((l) => l.toId === task.id && l.kind === 'window')
  if (links.length === 0) return ''
  const rows = await taskRows(tx, [task.buildId])
  const films = await filmsOf(tx, rows.filter((r) => links.some((l) => l.fromId === r.id)), toInstant(ctx.now))
  const club = await tx.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true, locale: true } })
  const { at } = clubWords(club, toInstant(ctx.now))
  const said: string[] = []
  for (const link of links) {
    const film = films.get(link.fromId)
    const name = rows.find((r) => r.id === link.fromId)?.name ?? 'the coat before'
    if (coat.washed) {
      await tx.link.update({ where: { id: link.id }, data: { missedAt: link.missedAt ?? coat.startedAt, washDoneAt: link.washDoneAt ?? coat.startedAt } })
      continue
    }
    if (!film || link.washDoneAt !== null) continue
    const { opens, closes } = film.times
    if (closes !== null && toInstant(coat.endedAt) > closes) {
      await tx.link.update({ where: { id: link.id }, data: { missedAt: toDate(closes) } })
      said.push(`The window over “${name}” shut ${at(closes)}, so this coat came too late for it: without a wash and sand between them it may peel. Say so here if she was washed and sanded; else test how it holds.`)
    } else if (opens !== null && toInstant(coat.startedAt) < opens) {
      said.push(`By the clock the window over “${name}” opens only ${at(opens)}; your judgement counts.`)
    }
  }
  return said.length === 0 ? '' : ` ${said.join(' ')}`
}

/** A thumbnail or tape test: from then on the stage is as the person found it; the computed instant is kept beside it. */
export async function logFinding(tx: Tx, ctx: Ctx, input: { buildId: string; taskId: string; finding: Finding; at?: Date; note?: string }): Promise<Said> {
  const locked = await lockTask(tx, input.buildId, input.taskId)
  if (!locked.ok) return locked
  const task = locked.value
  const { coat } = task
  if (coat === null) return refused(422, `No coat is logged on “${task.name}” yet: log when it went on first.`)
  const at = input.at ?? ctx.now
  if (at > ctx.now) return refused(422, 'The test can’t be in the future.', { fields: { at: 'In the future' } })
  if (at < coat.endedAt) return refused(422, 'The test is before the end of the coat: check the time.', { fields: { at: 'Before the coat was on' } })
  const [row] = (await taskRows(tx, [task.buildId])).filter((r) => r.id === task.id)
  const film = (await filmsOf(tx, [row!], toInstant(ctx.now))).get(task.id)
  const { later, how, label, ...found } = FINDINGS[input.finding]
  // A film without a closing can't be found too late; firm then says that it can be handled.
  const stage: CureStage = input.finding === 'firm' && film?.computed.closes === null ? 'handleable' : found.stage
  const computed = film?.computed[stage] ?? null
  await tx.stageFinding.create({
    data: {
      coatId: coat.id, stage, at: new Date(at.getTime() + later * 60_000), computedAt: computed === null ? null : toDate(computed),
      how: input.note ? `${how}. ${input.note}` : how, memberId: ctx.member.id, loggedAt: ctx.now,
    },
  })
  const club = await tx.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true, locale: true } })
  const reckoned = computed === null ? '' : `; reckoned was ${clubWords(club, toInstant(ctx.now)).at(computed)}`
  await changed(tx, ctx, input.buildId, `“${task.name}” found ${label.toLowerCase()} (${task.build.name})`)
  return ok({ text: `“${task.name}”: ${label.toLowerCase()}. From now on that counts for “${STAGE_WORDS[stage]}”${reckoned}.` })
}
