import { ok, type Result } from '../../../../core/result.ts'
import type { Tx } from '../../../../platform/database.ts'
import { files } from '../../../../platform/files.ts'
import { isUuid } from '../../../../platform/request.ts'
import { dateColumn, isoDate, localDate } from '../../../../platform/times.ts'
import { audit, refused, type Ctx, type Refusal } from '../../../../platform/write.ts'
import { tellPages } from '../../commands/changed.ts'
import { plausibleDay } from '../exif.ts'
import { readPhoto, type ReadPhoto } from '../photo.ts'

export type PhotoInput = {
  buildId: string
  caption: string
  /** 'YYYY-MM-DD'; null: as the camera wrote it where that can be, else `otherwise`, else today. */
  takenOn: string | null
  otherwise?: string
  forGuests: boolean
  logEntryId?: string | null
  snagId?: string | null
  /** Which of those sent together it is, so that they stay in order. */
  nth?: number
}

/** Reads a photo and keeps it. Where there is time before the transaction, `readPhoto` there and `keepPhoto` here is kinder to the database. */
export async function storePhoto(tx: Tx, ctx: Ctx, { bytes, ...input }: PhotoInput & { bytes: Uint8Array }): Promise<Result<{ photoId: string }, Refusal>> {
  const read = await readPhoto(bytes)
  if (!read.ok) return refused(422, `This file ${read.refusal}. Nothing was changed.`, { fields: { photos: `It ${read.refusal}` } })
  return ok({ photoId: await keepPhoto(tx, ctx, { ...input, photo: read.value }) })
}

/** Both sizes and the row that names them. Entry and snag are of that build, as whoever calls this has looked up. */
export async function keepPhoto(tx: Tx, ctx: Ctx, { photo, ...input }: PhotoInput & { photo: ReadPhoto }): Promise<string> {
  const today = localDate(ctx.clubZone, ctx.now)
  const { startedOn } = await tx.build.findUniqueOrThrow({ where: { id: input.buildId }, select: { startedOn: true } })
  const takenOn = input.takenOn ?? plausibleDay(photo.takenOn, { startedOn: isoDate(startedOn), today }) ?? input.otherwise ?? today
  const fileId = await files.put(tx, { type: 'image/jpeg', bytes: photo.whole }, ctx.now)
  const smallId = await files.put(tx, { type: 'image/jpeg', bytes: photo.small }, ctx.now)
  const row = await tx.photo.create({
    data: {
      buildId: input.buildId, logEntryId: input.logEntryId ?? null, snagId: input.snagId ?? null, fileId, smallId, width: photo.width, height: photo.height,
      caption: input.caption, takenOn: dateColumn(takenOn), forGuests: input.forGuests, byId: ctx.member.id, loggedAt: new Date(ctx.now.getTime() + (input.nth ?? 0)),
    },
    select: { id: true },
  })
  return row.id
}

type OnPhoto = { buildId: string; photoId: string }
export type PhotoChange = OnPhoto & { caption: string; takenOn: string; forGuests: boolean }

/** Caption, day, and whether guests may see it: whoever sent it, or who may change the build. */
export async function editPhoto(tx: Tx, ctx: Ctx, input: PhotoChange): Promise<Result<{ text: string }, Refusal>> {
  const found = await ownPhoto(tx, ctx, input)
  if (!found.ok) return found
  if (input.takenOn > localDate(ctx.clubZone, ctx.now)) return refused(422, 'Nothing was changed: see the note at the field.', { fields: { takenOn: 'That day is still to come' } })
  const { caption, takenOn, forGuests } = found.value
  const data = { caption: input.caption, takenOn: dateColumn(input.takenOn), forGuests: input.forGuests }
  await tx.photo.update({ where: { id: input.photoId }, data })
  await audit(tx, ctx, { what: 'photo described', entity: 'photo', entityId: input.photoId, buildId: input.buildId, before: { caption, takenOn, forGuests }, after: data })
  await tellPages(tx, input.buildId)
  return ok({ text: 'The photo is saved.' })
}

/** Takes a photo out for good, bytes and all: somebody in it may have asked for that. What it was called stays in the audit trail. */
export async function removePhoto(tx: Tx, ctx: Ctx, input: OnPhoto): Promise<Result<{ text: string }, Refusal>> {
  const found = await ownPhoto(tx, ctx, input)
  if (!found.ok) return found
  await dropPhotos(tx, ctx, input.buildId, [found.value])
  await tellPages(tx, input.buildId)
  return ok({ text: 'The photo is taken out, here and wherever it was shown.' })
}

type PhotoRow = { id: string; fileId: string; smallId: string; caption: string; takenOn: Date; byId: string }

/** Rows and bytes of photos that their right was looked at for. */
export async function dropPhotos(tx: Tx, ctx: Ctx, buildId: string, photos: readonly PhotoRow[]): Promise<void> {
  for (const { id, caption, takenOn, byId } of photos) await audit(tx, ctx, { what: 'photo taken out', entity: 'photo', entityId: id, buildId, before: { caption, takenOn, byId } })
  await tx.photo.deleteMany({ where: { id: { in: photos.map((p) => p.id) } } })
  await files.remove(tx, photos.flatMap((p) => [p.fileId, p.smallId]))
}

async function ownPhoto(tx: Tx, ctx: Ctx, { buildId, photoId }: OnPhoto) {
  const photo = isUuid(photoId) ? await tx.photo.findFirst({ where: { id: photoId, buildId } }) : null
  if (!photo) return refused(404, 'This photo is not there any more.')
  if (photo.byId !== ctx.member.id && !ctx.may('builds.edit')) return refused(403, 'Somebody else sent this photo: they, or who may change the build, can change it or take it out.')
  return ok(photo)
}
