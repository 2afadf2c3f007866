import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { BatchPage } from '../../../../views/stores/batch.tsx'
import { MixPage } from '../../../../views/stores/mix.tsx'
import { ok } from '../../../core/result.ts'
import type { Deps } from '../../../platform/deps.ts'
import { failure, found } from '../../../platform/errors.ts'
import { isUuid } from '../../../platform/request.ts'
import { localDate } from '../../../platform/times.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { logBatch, undoBatch } from '../commands/batches.ts'
import { OWN_UNDO_MS } from '../commands/ledger-undo.ts'
import { mixAsked, mixHints } from '../facts/mix-asked.ts'
import { mixValues, TYPED } from '../facts/mix.ts'
import { batchLines, batchPage } from '../queries/batches.ts'
import { activePeople, mixables, systemLots } from '../queries/mix.ts'
import { loadSystems } from '../queries/systems.ts'
import { LogBatchForm, UndoBatchForm } from '../schemas/mix.ts'

const VIEW = { config: { may: 'stores.view' } }
const DRAW = { config: { may: 'stores.draw' } }

export default function mixRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const show = async (req: FastifyRequest, reply: FastifyReply, logged?: { refusal: Refusal; typed: Typed }) => {
    const query = (req.query ?? {}) as Typed
    const all = await mixables(db)
    // Before anything is asked, the first system of the club stands in the field.
    const isAsked = Object.keys(query).length > 0
    const chosen = String(query['product'] ?? (isAsked ? '' : (all.find((m) => m.hasSystem)?.productId ?? '')))
    const source = chosen === '' ? TYPED : (all.find((m) => m.productId === chosen) ?? TYPED)
    const answer = isAsked ? mixAsked(source, query) : null
    const shown = answer?.ok ? answer.value : null
    const system = source.productId === null ? undefined : (await loadSystems(db)).get(source.productId)
    const first = shown?.card.masses[0]
    const structural = (logged?.typed['structural'] ?? 'yes') === 'yes'
    const lots = system && first ? await systemLots(db, system, { resinMg: first.a, hardenerMg: first.b }, structural, localDate(found(req.club).zone, clock.now())) : null
    const asked = isAsked && answer !== null ? { typed: { ...mixValues(source), ...query }, refusal: answer.ok ? undefined : answer.refusal } : undefined
    return reply.view(MixPage, {
      form: { products: all.map((m) => ({ id: m.productId ?? '', name: m.name })), values: mixValues(source), hints: mixHints(source) },
      shown, lots, structural, members: await activePeople(db), recent: await batchLines(db, { buildId: null }, 8), query: req.url.includes('?') ? req.url.slice(req.url.indexOf('?')) : '', asked, logged,
    }, { status: logged?.refusal.status ?? asked?.refusal?.status ?? 200 })
  }
  app.get('/stores/mix', VIEW, (req, reply) => show(req, reply))
  app.post('/stores/mix', DRAW, (req, reply) =>
    write(req, reply, {
      schema: LogBatchForm,
      run: async (tx, ctx, input) => {
        const logged = await logBatch(tx, ctx, {
          productId: input.product, massMg: input.resin + input.hardener, resinMg: input.resin, hardenerMg: input.hardener, structural: input.structural, offRatio: input.offRatio,
          resin: { lotId: input.resinLot, weighedMg: input.resinLeft }, hardener: { lotId: input.hardenerLot, weighedMg: input.hardenerLeft },
          note: input.note, by: input.by === '' ? undefined : input.by, chargedToId: input.use === 'own' ? ctx.member.id : undefined,
        })
        return logged.ok ? ok({ location: `/stores/batches/${logged.value.batchId}`, flash: `Batch ${logged.value.number} is booked. Its cup label can be printed here.` }) : logged
      },
      refused: (refusal, typed) => show(req, reply, { refusal, typed }),
    }))

  const batch = async (req: FastifyRequest, reply: FastifyReply, sent?: { refusal: Refusal; typed: Typed }) => {
    const member = found(req.member)
    const line = await batchPage(db, (req.params as { batchId: string }).batchId, member)
    const isOwn = line.parts.every((p) => p.byId === member.id) && clock.now().getTime() - line.mixedAt.getTime() <= OWN_UNDO_MS
    return reply.view(BatchPage, { batch: line, mayUndo: isOwn || req.may('stores.book'), ...sent }, { status: sent?.refusal.status ?? 200 })
  }
  app.get('/stores/batches/:batchId', VIEW, (req, reply) => batch(req, reply))
  app.post('/stores/batches/:batchId/undo', DRAW, async (req, reply) => {
    const { batchId } = req.params as { batchId: string }
    if (!isUuid(batchId)) throw failure('not-found')
    await batchPage(db, batchId, found(req.member))
    return write(req, reply, {
      schema: UndoBatchForm,
      run: async (tx, ctx, input) => {
        const undone = await undoBatch(tx, ctx, { batchId, why: input.why })
        return undone.ok ? ok({ location: `/stores/batches/${batchId}`, flash: `Batch ${undone.value.number} is taken back; resin and hardener are in their lots again.` }) : undone
      },
      refused: (refusal, typed) => batch(req, reply, { refusal, typed }),
    })
  })
}
