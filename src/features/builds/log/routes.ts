import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { EntryPage } from '../../../../views/builds/log-entry.tsx'
import { LogSearch } from '../../../../views/builds/log-search.tsx'
import { LogPage } from '../../../../views/builds/log.tsx'
import { PhotoPage } from '../../../../views/builds/photo.tsx'
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { Nothing } from '../../../platform/form-fields.ts'
import { localDate, localMoment } from '../../../platform/times.ts'
import { write, type Ctx, type Done, type Refusal, type Typed } from '../../../platform/write.ts'
import { addLogEntry, editLogEntry, withdrawLogEntry } from './commands/entries.ts'
import { editPhoto, keepPhoto, removePhoto } from './commands/photos.ts'
import type { ReadPhoto } from './photo.ts'
import { photoFile } from './queries/log.ts'
import { entryPage, logPage, photoPage } from './queries/log-page.ts'
import { searchLog } from './queries/search.ts'
import { EditEntryForm, EntryForm, LogQuery, PhotoForm, SearchQuery } from './schemas.ts'
import { readPhotos } from './uploads.ts'

const VIEW = { config: { may: 'builds.view' } }
const LOG = { config: { may: 'builds.log' } }
const FILES = { config: { may: 'builds.log', files: true } }
const idOf = (req: FastifyRequest): string => found(req.build).id
const param = (req: FastifyRequest, name: string): string => (req.params as Record<string, string>)[name] ?? ''
const logUrl = (buildId: string) => `/builds/${buildId}/log`

export function logBookRoutes(app: FastifyInstance, deps: Deps): void {
  const { db, clock } = deps
  app.get('/log', VIEW, async (req, reply) => {
    const asked = SearchQuery.parse(req.query)
    return reply.view(LogSearch, { ...(await searchLog(db, found(req.member), asked)), asked })
  })

  const log = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) => {
    const query = req.query as { task?: string; snag?: string }
    const asked = { ...LogQuery.parse(req.query), ...query, ...(typed?.['snag'] ? { snag: String(typed['snag']) } : {}) }
    return reply.view(LogPage, { ...(await logPage(db, idOf(req), asked, clock.now())), refusal, typed }, { status: refusal?.status ?? 200 })
  }
  app.get('/builds/:buildId/log', VIEW, (req, reply) => log(req, reply))
  app.post('/builds/:buildId/log', FILES, (req, reply) =>
    write(req, reply, {
      schema: EntryForm,
      prepare: () => readPhotos(req.uploads),
      run: async (tx, ctx, { text, kind, day, task, snag, forGuests }, photos) => {
        const buildId = idOf(req)
        const added = await addLogEntry(tx, ctx, { buildId, kind, text, at: momentOf(ctx, day), taskId: task, snagId: snag })
        if (!added.ok) return added
        await keepAll(tx, ctx, photos, { buildId, forGuests, logEntryId: added.value.entryId, snagId: snag, otherwise: day })
        return ok({ location: snag === null ? logUrl(buildId) : `/builds/${buildId}/snags/${snag}`, flash: photos.length === 0 ? 'It is written down.' : `It is written down, with ${photos.length === 1 ? 'a photo' : `${photos.length} photos`}.` })
      },
      refused: (refusal, typed) => log(req, reply, refusal, typed),
    }))

  const entry = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) =>
    reply.view(EntryPage, { ...(await entryPage(db, idOf(req), param(req, 'entryId'), clock.now())), refusal, typed }, { status: refusal?.status ?? 200 })
  app.get('/builds/:buildId/log/:entryId', VIEW, (req, reply) => entry(req, reply))
  app.post('/builds/:buildId/log/:entryId', LOG, (req, reply) =>
    write(req, reply, {
      schema: EditEntryForm,
      run: async (tx, ctx, { text, kind, day, task, version }) => {
        const buildId = idOf(req)
        return back(await editLogEntry(tx, ctx, { buildId, entryId: param(req, 'entryId'), version, text, kind, at: await momentKept(tx, ctx, param(req, 'entryId'), day), taskId: task }), logUrl(buildId))
      },
      refused: (refusal, typed) => entry(req, reply, refusal, typed),
    }))
  app.post('/builds/:buildId/log/:entryId/withdraw', LOG, (req, reply) =>
    write(req, reply, {
      schema: Nothing,
      run: async (tx, ctx) => back(await withdrawLogEntry(tx, ctx, { buildId: idOf(req), entryId: param(req, 'entryId') }), logUrl(idOf(req))),
      refused: (refusal, typed) => entry(req, reply, refusal, typed),
    }))
  photoRoutes(app, deps)
}

function photoRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const image = (size: 'whole' | 'small') => async (req: FastifyRequest, reply: FastifyReply) => {
    const { type, bytes } = found(await photoFile(db, idOf(req), param(req, 'photoId'), size))
    // An id's bytes never change.
    return reply.header('content-type', type).header('cache-control', 'private, max-age=31536000, immutable').send(Buffer.from(bytes))
  }
  app.get('/builds/:buildId/photos/:photoId', VIEW, image('whole'))
  app.get('/builds/:buildId/photos/:photoId/small', VIEW, image('small'))

  const about = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) =>
    reply.view(PhotoPage, { ...(await photoPage(db, idOf(req), param(req, 'photoId'), clock.now())), refusal, typed }, { status: refusal?.status ?? 200 })
  app.get('/builds/:buildId/photos/:photoId/about', VIEW, (req, reply) => about(req, reply))
  app.post('/builds/:buildId/photos/:photoId', LOG, (req, reply) =>
    write(req, reply, {
      schema: PhotoForm,
      run: async (tx, ctx, input) => back(await editPhoto(tx, ctx, { ...input, buildId: idOf(req), photoId: param(req, 'photoId') }), `/builds/${idOf(req)}/photos/${param(req, 'photoId')}/about`),
      refused: (refusal, typed) => about(req, reply, refusal, typed),
    }))
  app.post('/builds/:buildId/photos/:photoId/remove', LOG, (req, reply) =>
    write(req, reply, {
      schema: Nothing,
      run: async (tx, ctx) => back(await removePhoto(tx, ctx, { buildId: idOf(req), photoId: param(req, 'photoId') }), logUrl(idOf(req))),
      refused: (refusal, typed) => about(req, reply, refusal, typed),
    }))
}

export const back = (said: Result<{ text: string }, Refusal>, location: string): Result<Done, Refusal> => (said.ok ? ok({ location, flash: said.value.text }) : said)

/** Photos that came with an entry or a snag, in the order they were chosen. */
export async function keepAll(tx: Tx, ctx: Ctx, photos: readonly ReadPhoto[], about: { buildId: string; forGuests: boolean; logEntryId?: string | null; snagId?: string | null; otherwise?: string | null }): Promise<void> {
  const { otherwise, ...rest } = about
  for (const [nth, photo] of photos.entries()) await keepPhoto(tx, ctx, { ...rest, photo, nth, caption: '', takenOn: null, ...(otherwise ? { otherwise } : {}) })
}

/** Now for today; of another day its noon, for nobody says when. */
function momentOf(ctx: Ctx, day: string | null): Date {
  return day === null || day === localDate(ctx.clubZone, ctx.now) ? ctx.now : localMoment(ctx.clubZone, day, '12:00')
}

/** An entry whose day was left as it was keeps its time of day. */
async function momentKept(tx: Tx, ctx: Ctx, entryId: string, day: string): Promise<Date> {
  const entry = await tx.logEntry.findUnique({ where: { id: entryId }, select: { at: true } })
  return entry && localDate(ctx.clubZone, entry.at) === day ? entry.at : momentOf(ctx, day)
}
