import type { Reader } from '../../../../platform/database.ts'
import { found } from '../../../../platform/errors.ts'
import type { LogKind } from '../../../../platform/generated/enums.ts'
import { isUuid } from '../../../../platform/request.ts'
import { localDate } from '../../../../platform/times.ts'
import { buildHead } from '../../queries/build-page.ts'
import { entryLine, entrySelect, photoLine, photoSelect } from './log.ts'

export const PAGE = 30

const zoneOf = async (db: Reader) => (await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })).zone

/** What entries can be about: what is open or was worked on last comes first. */
const taskChoices = (db: Reader, buildId: string) =>
  db.task.findMany({ where: { buildId }, select: { id: true, name: true, phase: { select: { name: true } } }, orderBy: [{ position: 'asc' }, { id: 'asc' }] })

/** A page of a build's log, newest first. */
export async function logPage(db: Reader, buildId: string, { page, kind, task, snag }: { page: number; kind?: LogKind | undefined; task?: string; snag?: string }, now: Date) {
  const where = { buildId, withdrawnAt: null, ...(kind && { kind }) }
  const count = await db.logEntry.count({ where })
  const pages = Math.max(1, Math.ceil(count / PAGE))
  const at = Math.min(page, pages)
  const rows = await db.logEntry.findMany({ where, select: entrySelect, orderBy: [{ at: 'desc' }, { loggedAt: 'desc' }, { id: 'asc' }], skip: (at - 1) * PAGE, take: PAGE })
  return {
    build: await buildHead(db, buildId), entries: rows.map(entryLine), count, page: at, pages, kind: kind ?? null, today: localDate(await zoneOf(db), now), tasks: await taskChoices(db, buildId),
    about: { task: isUuid(task) ? task : null, snag: isUuid(snag) ? await db.snag.findFirst({ where: { id: snag, buildId, withdrawnAt: null }, select: { id: true, no: true, what: true } }) : null },
  }
}
export type LogPageModel = Awaited<ReturnType<typeof logPage>>

export async function entryPage(db: Reader, buildId: string, entryId: string, now: Date) {
  const zone = await zoneOf(db)
  const row = found(await db.logEntry.findFirst({ where: { id: entryId, buildId, withdrawnAt: null }, select: entrySelect }))
  return { build: await buildHead(db, buildId), entry: entryLine(row), day: localDate(zone, row.at), today: localDate(zone, now), tasks: await taskChoices(db, buildId) }
}
export type EntryPageModel = Awaited<ReturnType<typeof entryPage>>

export async function photoPage(db: Reader, buildId: string, photoId: string, now: Date) {
  const row = found(await db.photo.findFirst({
    where: { id: photoId, buildId },
    select: { ...photoSelect, by: { select: { name: true } }, logEntry: { select: { id: true, text: true } }, snag: { select: { id: true, no: true, what: true } } },
  }))
  const { by, logEntry, snag, ...photo } = row
  return { build: await buildHead(db, buildId), photo: photoLine(photo), by: by.name, entry: logEntry, snag, today: localDate(await zoneOf(db), now) }
}
export type PhotoPageModel = Awaited<ReturnType<typeof photoPage>>
