import type { Reader } from '../../../../platform/database.ts'
import { files, type FileBytes } from '../../../../platform/files.ts'
import type { Prisma } from '../../../../platform/generated/client.ts'
import type { LogKind } from '../../../../platform/generated/enums.ts'
import { isUuid } from '../../../../platform/request.ts'
import { dateColumn, isoDate, toInstant } from '../../../../platform/times.ts'

export type PhotoLine = { id: string; caption: string; takenOn: string; width: number; height: number; forGuests: boolean; entryId: string | null; snagId: string | null; byId: string }
export type LogLine = {
  id: string; kind: LogKind; text: string
  /** Minutes since 1970-01-01T00:00Z. */
  at: number
  by: string; byId: string; taskId: string | null; taskName: string | null; snagId: string | null; snagNo: number | null; version: number
  photos: PhotoLine[]
}

export const photoSelect = {
  id: true, caption: true, takenOn: true, width: true, height: true, forGuests: true, logEntryId: true, snagId: true, byId: true,
} satisfies Prisma.PhotoSelect
export const photoOrder = [{ takenOn: 'asc' }, { loggedAt: 'asc' }, { id: 'asc' }] satisfies Prisma.PhotoOrderByWithRelationInput[]
export const photoLine = ({ logEntryId, takenOn, ...p }: Prisma.PhotoGetPayload<{ select: typeof photoSelect }>): PhotoLine => ({ ...p, takenOn: isoDate(takenOn), entryId: logEntryId })

export const entrySelect = {
  id: true, kind: true, text: true, at: true, byId: true, taskId: true, snagId: true, version: true,
  by: { select: { name: true } }, task: { select: { name: true } }, snag: { select: { no: true } },
  photos: { select: photoSelect, orderBy: photoOrder },
} satisfies Prisma.LogEntrySelect
export const entryLine = ({ by, task, snag, at, photos, ...e }: Prisma.LogEntryGetPayload<{ select: typeof entrySelect }>): LogLine => (
  { ...e, at: toInstant(at), by: by.name, taskName: task?.name ?? null, snagNo: snag?.no ?? null, photos: photos.map(photoLine) })

/** Entries of a build between two moments (the second not included), newest first; those taken back left out. */
export async function logOf(db: Reader, buildId: string, { from, until, kinds }: { from?: Date; until?: Date; kinds?: readonly LogKind[] } = {}): Promise<LogLine[]> {
  const rows = await db.logEntry.findMany({
    where: { buildId, withdrawnAt: null, at: { ...(from && { gte: from }), ...(until && { lt: until }) }, ...(kinds && { kind: { in: [...kinds] } }) },
    select: entrySelect,
    orderBy: [{ at: 'desc' }, { loggedAt: 'desc' }, { id: 'asc' }],
  })
  return rows.map(entryLine)
}

/** Photos of a build taken from one day ('YYYY-MM-DD') to before another, oldest first. */
export async function photosOf(db: Reader, buildId: string, { from, until }: { from?: string; until?: string } = {}): Promise<PhotoLine[]> {
  const rows = await db.photo.findMany({
    where: { buildId, takenOn: { ...(from && { gte: dateColumn(from) }), ...(until && { lt: dateColumn(until) }) } },
    select: photoSelect,
    orderBy: photoOrder,
  })
  return rows.map(photoLine)
}

/** The bytes of a build's photo; null where it has no such photo. Who may see the build (or its guests' link) was decided before. */
export async function photoFile(db: Reader, buildId: string, photoId: string, size: 'whole' | 'small'): Promise<FileBytes | null> {
  const photo = isUuid(photoId) ? await db.photo.findFirst({ where: { id: photoId, buildId }, select: { fileId: true, smallId: true } }) : null
  return photo && files.get(db, size === 'whole' ? photo.fileId : photo.smallId)
}
