import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { EditSnag, NewSnag } from '../../../../views/builds/snag-form.tsx'
import { SnagPage } from '../../../../views/builds/snag.tsx'
import { SnagsPage } from '../../../../views/builds/snags.tsx'
import { ok } from '../../../core/result.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { Nothing } from '../../../platform/form-fields.ts'
import { localDate } from '../../../platform/times.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { back, keepAll } from '../log/routes.ts'
import { readPhotos } from '../log/uploads.ts'
import { makeRework } from './commands/rework.ts'
import { addSnag, closeSnag, editSnag, reopenSnag, withdrawSnag } from './commands/snags.ts'
import { editSnagPage, snagForm, snagPage, snagsPage } from './queries/snag-page.ts'
import { CloseForm, EditSnagForm, ReworkForm, SnagForm } from './schemas.ts'

const VIEW = { config: { may: 'builds.view' } }
const LOG = { config: { may: 'builds.log' } }
const FILES = { config: { may: 'builds.log', files: true } }
const EDIT = { config: { may: 'builds.edit' } }

export function snagRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const idOf = (req: FastifyRequest): string => found(req.build).id
  const snagOf = (req: FastifyRequest): string => (req.params as { snagId?: string }).snagId ?? ''
  const at = (req: FastifyRequest) => `/builds/${idOf(req)}/snags/${snagOf(req)}`

  app.get('/builds/:buildId/snags', VIEW, async (req, reply) => reply.view(SnagsPage, await snagsPage(db, idOf(req), clock.now())))

  const form = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) =>
    reply.view(NewSnag, { ...(await snagForm(db, idOf(req), clock.now(), (req.query as { task?: string }).task)), refusal, typed }, { status: refusal?.status ?? 200 })
  app.get('/builds/:buildId/snags/new', LOG, (req, reply) => form(req, reply))
  app.post('/builds/:buildId/snags/new', FILES, (req, reply) =>
    write(req, reply, {
      schema: SnagForm,
      prepare: () => readPhotos(req.uploads),
      run: async (tx, ctx, { forGuests, foundOn, ...input }, photos) => {
        const buildId = idOf(req)
        const day = foundOn ?? localDate(ctx.clubZone, ctx.now)
        const added = await addSnag(tx, ctx, { ...input, buildId, foundOn: day })
        if (!added.ok) return added
        await keepAll(tx, ctx, photos, { buildId, forGuests, snagId: added.value.snagId, otherwise: day })
        return ok({ location: `/builds/${buildId}/snags/${added.value.snagId}`, flash: `Snag ${added.value.no} is written down.` })
      },
      refused: (refusal, typed) => form(req, reply, refusal, typed),
    }))

  const page = async (req: FastifyRequest, reply: FastifyReply, which?: string, refusal?: Refusal, typed?: Typed) =>
    reply.view(SnagPage, { ...(await snagPage(db, idOf(req), snagOf(req), clock.now())), sent: which && refusal ? { form: which, refusal, typed: typed ?? {} } : undefined }, { status: refusal?.status ?? 200 })
  app.get('/builds/:buildId/snags/:snagId', VIEW, (req, reply) => page(req, reply))

  const edit = async (req: FastifyRequest, reply: FastifyReply, refusal?: Refusal, typed?: Typed) =>
    reply.view(EditSnag, { ...(await editSnagPage(db, idOf(req), snagOf(req), clock.now())), refusal, typed }, { status: refusal?.status ?? 200 })
  app.get('/builds/:buildId/snags/:snagId/edit', LOG, (req, reply) => edit(req, reply))
  app.post('/builds/:buildId/snags/:snagId/edit', LOG, (req, reply) =>
    write(req, reply, {
      schema: EditSnagForm,
      run: async (tx, ctx, input) => back(await editSnag(tx, ctx, { ...input, buildId: idOf(req), snagId: snagOf(req) }), at(req)),
      refused: (refusal, typed) => edit(req, reply, refusal, typed),
    }))

  app.post('/builds/:buildId/snags/:snagId/rework', EDIT, (req, reply) =>
    write(req, reply, {
      schema: ReworkForm,
      run: async (tx, ctx, { low, likely, high, handsFrom, handsTo, ...input }) => {
        const made = await makeRework(tx, ctx, { ...input, buildId: idOf(req), snagId: snagOf(req), minutes: { low, likely, high }, hands: { from: handsFrom, to: handsTo } })
        return made.ok ? ok({ location: at(req), flash: made.value.text }) : made
      },
      refused: (refusal, typed) => page(req, reply, 'rework', refusal, typed),
    }))
  app.post('/builds/:buildId/snags/:snagId/close', LOG, (req, reply) =>
    write(req, reply, {
      schema: CloseForm,
      run: async (tx, ctx, { note, on }) => back(await closeSnag(tx, ctx, { buildId: idOf(req), snagId: snagOf(req), note, ...(on === null ? {} : { on }) }), at(req)),
      refused: (refusal, typed) => page(req, reply, 'close', refusal, typed),
    }))
  app.post('/builds/:buildId/snags/:snagId/reopen', LOG, (req, reply) =>
    write(req, reply, {
      schema: Nothing, run: async (tx, ctx) => back(await reopenSnag(tx, ctx, { buildId: idOf(req), snagId: snagOf(req) }), at(req)),
      refused: (refusal, typed) => page(req, reply, 'close', refusal, typed),
    }))
  app.post('/builds/:buildId/snags/:snagId/withdraw', LOG, (req, reply) =>
    write(req, reply, {
      schema: Nothing, run: async (tx, ctx) => back(await withdrawSnag(tx, ctx, { buildId: idOf(req), snagId: snagOf(req) }), `/builds/${idOf(req)}/snags`),
      refused: (refusal, typed) => page(req, reply, 'withdraw', refusal, typed),
    }))
}
