import type { Reader } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { files, type FileBytes } from '../../../platform/files.ts'
import { isUuid } from '../../../platform/request.ts'
import { isoDate } from '../../../platform/times.ts'
import type { GuestPhoto, OpenLink } from './model.ts'

/** The one rule of which photos a link shows: of its own build, meant for guests, of no snag unless it shows snags, of nothing that was taken back. */
const shown = ({ buildId, shows }: OpenLink): Prisma.PhotoWhereInput => ({
  buildId, forGuests: true,
  ...(shows.photos ? {} : { id: { in: [] } }),
  ...(shows.snags ? {} : { snagId: null, OR: [{ logEntryId: null }, { logEntry: { snagId: null } }] }),
  NOT: { OR: [{ logEntry: { withdrawnAt: { not: null } } }, { snag: { withdrawnAt: { not: null } } }] },
})

export async function photosFor(db: Reader, link: OpenLink, most: number): Promise<GuestPhoto[]> {
  if (!link.shows.photos) return []
  const rows = await db.photo.findMany({
    where: shown(link), orderBy: [{ takenOn: 'desc' }, { loggedAt: 'desc' }, { id: 'asc' }], take: most,
    select: { id: true, caption: true, takenOn: true, width: true, height: true },
  })
  return rows.map((r) => ({ ...r, takenOn: isoDate(r.takenOn) }))
}

/** Of these photos, those that the link shows. */
export async function shownOf(db: Reader, link: OpenLink, ids: readonly string[]): Promise<ReadonlySet<string>> {
  if (!link.shows.photos || ids.length === 0) return new Set()
  return new Set((await db.photo.findMany({ where: { AND: [shown(link), { id: { in: [...ids] } }] }, select: { id: true } })).map((p) => p.id))
}

export async function photoFor(db: Reader, link: OpenLink, photoId: string, size: string): Promise<FileBytes | null> {
  if (!link.shows.photos || !isUuid(photoId) || (size !== 'whole' && size !== 'small')) return null
  const row = await db.photo.findFirst({ where: { AND: [shown(link), { id: photoId }] }, select: { fileId: true, smallId: true } })
  return row && files.get(db, size === 'whole' ? row.fileId : row.smallId)
}
