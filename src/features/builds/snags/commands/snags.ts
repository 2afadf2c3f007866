import { ok, type Result } from '../../../../core/result.ts'
import type { Tx } from '../../../../platform/database.ts'
import type { SnagBad } from '../../../../platform/generated/enums.ts'
import { isUuid } from '../../../../platform/request.ts'
import { dateColumn, isoDate, localDate } from '../../../../platform/times.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../../platform/write.ts'
import { tellPages } from '../../commands/changed.ts'
import { faultOf } from '../catalogue.ts'

export type SnagInput = {
  buildId: string
  /** Key of a common fault; null: another. */
  kind: string | null
  what: string
  whereAt: string
  bad: SnagBad
  /** 'YYYY-MM-DD' */
  foundOn: string
  taskId: string | null
}

const wrong = (field: string, message: string) => refused(422, 'Nothing was changed: see the note at the field.', { fields: { [field]: message } })

/** Writes a fault down; numbers count within the build and are never used again. */
export async function addSnag(tx: Tx, ctx: Ctx, input: SnagInput): Promise<Result<{ snagId: string; no: number }, Refusal>> {
  // One at a time on a build, or two would get one number.
  await tx.$queryRaw`select id from build where id = ${input.buildId}::uuid for update`
  const fault = await faultIn(tx, ctx, input)
  if (fault) return fault
  const last = await tx.snag.aggregate({ where: { buildId: input.buildId }, _max: { no: true } })
  const no = (last._max.no ?? 0) + 1
  const { buildId, kind, bad, taskId } = input
  const row = await tx.snag.create({
    data: { buildId, no, kind, what: wordsOf(input), whereAt: input.whereAt.trim(), bad, foundOn: dateColumn(input.foundOn), foundById: ctx.member.id, taskId, createdAt: ctx.now },
    select: { id: true },
  })
  await tellPages(tx, buildId)
  return ok({ snagId: row.id, no })
}

/** Left empty, a known fault is its own description. */
const wordsOf = ({ kind, what }: Pick<SnagInput, 'kind' | 'what'>): string => what.trim() || (faultOf(kind)?.name ?? '')

export async function editSnag(tx: Tx, ctx: Ctx, { snagId, version, ...input }: SnagInput & { snagId: string; version: number }): Promise<Result<{ text: string }, Refusal>> {
  const snag = await lockSnag(tx, input.buildId, snagId)
  if (!snag.ok) return snag
  const before = snag.value
  if (before.version !== version) {
    return refused(409, 'Somebody saved this snag while you were typing. Nothing of yours is saved yet.', { current: { what: before.what, whereAt: before.whereAt, bad: before.bad, foundOn: isoDate(before.foundOn), kind: before.kind ?? '', taskId: before.taskId ?? '' } })
  }
  const fault = await faultIn(tx, ctx, input)
  if (fault) return fault
  if (before.closedOn !== null && isoDate(before.closedOn) < input.foundOn) return wrong('foundOn', `It was closed on ${isoDate(before.closedOn)}: found before that`)
  const data = { kind: input.kind, what: wordsOf(input), whereAt: input.whereAt.trim(), bad: input.bad, foundOn: dateColumn(input.foundOn), taskId: input.taskId }
  await tx.snag.update({ where: { id: snagId }, data: { ...data, version: { increment: 1 } } })
  const { kind, what, whereAt, bad, foundOn, taskId } = before
  await audit(tx, ctx, { what: 'snag edited', entity: 'snag', entityId: snagId, buildId: input.buildId, before: { kind, what, whereAt, bad, foundOn, taskId }, after: data })
  await tellPages(tx, input.buildId)
  return ok({ text: `Snag ${before.no} is saved.` })
}

type OnSnag = { buildId: string; snagId: string }

/** Closed by a person, in words: mended by the way, or left as it is and why. One with rework in the plan closes by that work. */
export async function closeSnag(tx: Tx, ctx: Ctx, input: OnSnag & { note: string; on?: string }): Promise<Result<{ text: string }, Refusal>> {
  const locked = await lockSnag(tx, input.buildId, input.snagId)
  if (!locked.ok) return locked
  const snag = locked.value
  const today = localDate(ctx.clubZone, ctx.now)
  const on = input.on ?? today
  if (snag.closedOn !== null) return ok({ text: `Snag ${snag.no} was closed already.` })
  if (input.note.trim() === '') return wrong('note', 'Say in a few words how: “mended while fairing”, or “left as it is: under the seat”')
  if (on > today) return wrong('on', 'That day is still to come')
  if (on < isoDate(snag.foundOn)) return wrong('on', `It was found on ${isoDate(snag.foundOn)}: not closed before that`)
  if (snag.reworkTask && snag.reworkTask.finishedAt === null) {
    return refused(422, `Its rework “${snag.reworkTask.name}” is still open in the plan: finish that task, which closes the snag, or delete it if it isn’t to be done.`)
  }
  await tx.snag.update({ where: { id: snag.id }, data: { closedOn: dateColumn(on), closedBy: ctx.member.id, closedNote: input.note.trim(), version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'snag closed', entity: 'snag', entityId: snag.id, buildId: input.buildId, after: { on, note: input.note.trim() } })
  await tellPages(tx, input.buildId)
  return ok({ text: `Snag ${snag.no} is closed.` })
}

export async function reopenSnag(tx: Tx, ctx: Ctx, input: OnSnag): Promise<Result<{ text: string }, Refusal>> {
  const locked = await lockSnag(tx, input.buildId, input.snagId)
  if (!locked.ok) return locked
  const snag = locked.value
  if (snag.closedOn === null) return ok({ text: `Snag ${snag.no} is open already.` })
  // Its rework is done: what is still wrong needs rework of its own.
  await tx.snag.update({ where: { id: snag.id }, data: { closedOn: null, closedBy: null, closedNote: '', version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'snag reopened', entity: 'snag', entityId: snag.id, buildId: input.buildId, before: { closedOn: snag.closedOn, closedNote: snag.closedNote } })
  await tellPages(tx, input.buildId)
  return ok({ text: `Snag ${snag.no} is open again.` })
}

/** It was none, or stands twice. Rework that nobody began goes with it only by hand: deleting a task is a step of its own. */
export async function withdrawSnag(tx: Tx, ctx: Ctx, input: OnSnag): Promise<Result<{ text: string }, Refusal>> {
  const locked = await lockSnag(tx, input.buildId, input.snagId)
  if (!locked.ok) return locked
  const snag = locked.value
  if (snag.foundById !== ctx.member.id && !ctx.may('builds.edit')) return refused(403, 'Somebody else wrote this snag down: they, or who may change the build, can take it back. You can close it, saying why.')
  if (snag.reworkTask) return refused(422, `“${snag.reworkTask.name}” is in the plan because of it: delete that task first, or close the snag, saying why.`)
  await tx.snag.update({ where: { id: snag.id }, data: { withdrawnAt: ctx.now, version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'snag taken back', entity: 'snag', entityId: snag.id, buildId: input.buildId, before: { what: snag.what, whereAt: snag.whereAt } })
  await tellPages(tx, input.buildId)
  return ok({ text: `Snag ${snag.no} is taken back.` })
}

/**
 * The snag whose rework a task is, if it is one: finished work closes it, reopened work opens it again.
 * @returns the number of the snag that this closed
 */
export async function followRework(tx: Tx, ctx: Ctx, task: { id: string; buildId: string }, finishedAt: Date | null): Promise<number | null> {
  const snag = await tx.snag.findUnique({ where: { reworkTaskId: task.id } })
  if (!snag || snag.withdrawnAt !== null) return null
  if (finishedAt !== null && snag.closedOn === null) {
    const [day, found] = [localDate(ctx.clubZone, finishedAt), isoDate(snag.foundOn)]
    await tx.snag.update({ where: { id: snag.id }, data: { closedOn: dateColumn(day < found ? found : day), closedBy: ctx.member.id, closedNote: '', version: { increment: 1 } } })
    await audit(tx, ctx, { what: 'snag mended', entity: 'snag', entityId: snag.id, buildId: task.buildId, after: { by: task.id } })
    return snag.no
  }
  if (finishedAt === null && snag.closedOn !== null && snag.closedNote === '') {
    await tx.snag.update({ where: { id: snag.id }, data: { closedOn: null, closedBy: null, version: { increment: 1 } } })
    await audit(tx, ctx, { what: 'snag reopened', entity: 'snag', entityId: snag.id, buildId: task.buildId, after: { by: task.id } })
  }
  return null
}

/** The snag, locked until the end of the transaction. */
export async function lockSnag(tx: Tx, buildId: string, snagId: string) {
  const gone = refused(404, 'This snag is not there any more. Open the list again.')
  if (!isUuid(snagId)) return gone
  await tx.$queryRaw`select id from snag where id = ${snagId}::uuid and build_id = ${buildId}::uuid for update`
  const snag = await tx.snag.findFirst({ where: { id: snagId, buildId, withdrawnAt: null }, include: { reworkTask: { select: { id: true, name: true, finishedAt: true } }, build: { select: { name: true, launchTaskId: true } } } })
  return snag ? ok(snag) : gone
}

async function faultIn(tx: Tx, ctx: Ctx, input: SnagInput) {
  if (input.kind !== null && faultOf(input.kind) === null) return wrong('kind', 'Choose from the list')
  if (wordsOf(input) === '') return wrong('what', 'Say what is wrong, or choose a common fault')
  if (input.foundOn > localDate(ctx.clubZone, ctx.now)) return wrong('foundOn', 'That day is still to come')
  if (input.taskId !== null && (!isUuid(input.taskId) || (await tx.task.count({ where: { id: input.taskId, buildId: input.buildId } })) === 0)) return wrong('taskId', 'This task is not there any more: choose another')
  return null
}

