import { ok, type Result } from '../../../../core/result.ts'
import type { Tx } from '../../../../platform/database.ts'
import type { LogKind } from '../../../../platform/generated/enums.ts'
import { isUuid } from '../../../../platform/request.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../../platform/write.ts'
import { tellPages } from '../../commands/changed.ts'
import { dropPhotos } from './photos.ts'

export type LogInput = { buildId: string; kind: LogKind; text: string; at: Date; taskId?: string | null; snagId?: string | null }

const DAY = 86_400_000
const bad = (field: string, message: string) => refused(422, 'Nothing was changed: see the note at the field.', { fields: { [field]: message } })

/** What somebody noted, learnt or decided, as of when it happened. */
export async function addLogEntry(tx: Tx, ctx: Ctx, input: LogInput): Promise<Result<{ entryId: string }, Refusal>> {
  const fault = await faultOf(tx, ctx, input)
  if (fault) return fault
  const { buildId, kind, text, at } = input
  const row = await tx.logEntry.create({
    data: { buildId, kind, text: text.trim(), at, taskId: input.taskId ?? null, snagId: input.snagId ?? null, byId: ctx.member.id, loggedAt: ctx.now },
    select: { id: true },
  })
  await tellPages(tx, buildId)
  return ok({ entryId: row.id })
}

/** Its writer corrects it; how it read before stays in the audit trail. */
export async function editLogEntry(tx: Tx, ctx: Ctx, { entryId, version, ...input }: LogInput & { entryId: string; version: number }): Promise<Result<{ text: string }, Refusal>> {
  const entry = await entryOf(tx, input.buildId, entryId)
  if (!entry) return gone()
  if (entry.byId !== ctx.member.id) return refused(403, 'Somebody else wrote this entry: only they can correct it. Add an entry of your own.')
  const fault = await faultOf(tx, ctx, input)
  if (fault) return fault
  const { kind, text, at, taskId = null } = input
  const data = { kind, text: text.trim(), at, taskId }
  const { count } = await tx.logEntry.updateMany({ where: { id: entry.id, version }, data: { ...data, version: { increment: 1 } } })
  if (count === 0) return refused(409, 'This entry was saved from elsewhere while you were typing. Nothing of yours is saved yet.', { current: { text: entry.text, kind: entry.kind } })
  await audit(tx, ctx, { what: 'log entry corrected', entity: 'log_entry', entityId: entry.id, buildId: input.buildId, before: { kind: entry.kind, text: entry.text, at: entry.at, taskId: entry.taskId }, after: data })
  await tellPages(tx, input.buildId)
  return ok({ text: 'The entry is corrected.' })
}

/** Takes an entry back: its words stay in the audit trail, its photos go for good. */
export async function withdrawLogEntry(tx: Tx, ctx: Ctx, { buildId, entryId }: { buildId: string; entryId: string }): Promise<Result<{ text: string }, Refusal>> {
  const entry = await entryOf(tx, buildId, entryId)
  if (!entry) return gone()
  if (entry.byId !== ctx.member.id && !ctx.may('builds.edit')) return refused(403, 'Somebody else wrote this entry: they, or who may change the build, can take it back.')
  await tx.logEntry.update({ where: { id: entry.id }, data: { withdrawnAt: ctx.now, version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'log entry taken back', entity: 'log_entry', entityId: entry.id, buildId, before: { text: entry.text, at: entry.at } })
  await dropPhotos(tx, ctx, buildId, entry.photos)
  await tellPages(tx, buildId)
  return ok({ text: entry.photos.length === 0 ? 'The entry is taken back.' : `The entry is taken back, with its ${entry.photos.length === 1 ? 'photo' : 'photos'}.` })
}

const gone = () => refused(404, 'This entry is not there any more.')

async function entryOf(tx: Tx, buildId: string, entryId: string) {
  if (!isUuid(entryId)) return null
  await tx.$queryRaw`select id from log_entry where id = ${entryId}::uuid for update`
  return tx.logEntry.findFirst({ where: { id: entryId, buildId, withdrawnAt: null }, include: { photos: true } })
}

async function faultOf(tx: Tx, ctx: Ctx, { buildId, text, at, taskId, snagId }: LogInput) {
  if (text.trim() === '') return bad('text', 'Say what happened: a word or two will do')
  if (at > ctx.now) return bad('day', 'That day is still to come')
  const { startedOn } = await tx.build.findUniqueOrThrow({ where: { id: buildId }, select: { startedOn: true } })
  if (at.getTime() < startedOn.getTime() - 366 * DAY) return bad('day', 'That is more than a year before she was begun: is the year right?')
  if (taskId && (!isUuid(taskId) || (await tx.task.count({ where: { id: taskId, buildId } })) === 0)) return bad('task', 'This task is not there any more: choose another')
  if (snagId && (!isUuid(snagId) || (await tx.snag.count({ where: { id: snagId, buildId, withdrawnAt: null } })) === 0)) return bad('snag', 'This snag is not there any more')
  return null
}
