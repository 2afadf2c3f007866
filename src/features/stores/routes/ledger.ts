import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { Awaiting } from '../../../../views/stores/awaiting.tsx'
import { DrawPage } from '../../../../views/stores/draw.tsx'
import { EntryPage } from '../../../../views/stores/entry.tsx'
import { ItemPage } from '../../../../views/stores/item.tsx'
import { LotFormPage } from '../../../../views/stores/lot-forms.tsx'
import { LotPage } from '../../../../views/stores/lot.tsx'
import { OwnStock } from '../../../../views/stores/own.tsx'
import { ReceivePage } from '../../../../views/stores/receive.tsx'
import { Stores } from '../../../../views/stores/stores.tsx'
import { Trace } from '../../../../views/stores/trace.tsx'
import { ok } from '../../../core/result.ts'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { Nothing } from '../../../platform/form-fields.ts'
import { isUuid } from '../../../platform/request.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { reviewDifference } from '../commands/ledger-adjust.ts'
import { correctForm, drawForm, moveForm, receiveForm, returnForm, reverseForm, writeOffForm } from '../commands/ledger-forms.ts'
import { saveLot, testLot } from '../commands/lots.ts'
import { drawPage, lotFormPage, receivePage } from '../queries/ledger-forms.ts'
import { awaitingPage, itemPage, loans, ownPage, storesPage } from '../queries/ledger-items.ts'
import { entryPage, lotPage, tracePage } from '../queries/ledger-lots.ts'
import { CorrectForm, DrawForm, LotForm, LotTestForm, MoveForm, ReceiveForm, ReturnForm, ReverseForm, WriteOffForm } from '../schemas/ledger.ts'
import { idIn } from './items.ts'
import { todayOf } from './orders.ts'

const VIEW = { config: { may: 'stores.view' } }
const DRAW = { config: { may: 'stores.draw' } }
const BOOK = { config: { may: 'stores.book' } }
const KEEP = { config: { may: 'stores.keep' } }

type Sent = { refusal: Refusal; typed?: Typed }
/** What an address asks for, as text. */
const asked = (req: FastifyRequest, name: string): string => {
  const value = (req.query as Record<string, unknown>)[name]
  return typeof value === 'string' ? value : ''
}
const status = (sent?: Sent) => ({ status: sent?.refusal.status ?? 200 })
const LOAD_BEARING = new Set(['resin', 'hardener', 'filler', 'cloth', 'tape', 'ply', 'timber', 'fastener'])

export default function ledger(app: FastifyInstance, { db }: Deps): void {
  const looker = (req: FastifyRequest) => found(req.member)

  app.get('/stores', VIEW, async (req, reply) => reply.view(Stores, await storesPage(db, todayOf(req), looker(req), asked(req, 'q'))))
  app.get('/stores/items/:itemId', VIEW, async (req, reply) =>
    reply.view(ItemPage, { ...(await itemPage(db, idIn(req, 'itemId'), todayOf(req), looker(req), asked(req, 'all') !== '')), booked: asked(req, 'booked').split(',') }))
  app.get('/stores/own', VIEW, async (req, reply) =>
    reply.view(OwnStock, { ...(await ownPage(db, todayOf(req), looker(req))), all: req.may('stores.book') ? await loans(db, null) : null }))
  app.get('/stores/trace', VIEW, async (req, reply) => {
    const build = asked(req, 'build')
    return reply.view(Trace, await tracePage(db, asked(req, 'q'), isUuid(build) ? build : null, todayOf(req), looker(req)))
  })

  const draw = async (req: FastifyRequest, reply: FastifyReply, sent?: Sent) => {
    const model = await drawPage(db, idIn(req, 'itemId'), todayOf(req), looker(req))
    const values = Object.fromEntries(['lot', 'from', 'amount', 'use'].flatMap((name) => (asked(req, name) === '' ? [] : [[name, asked(req, name)]])))
    return reply.view(DrawPage, { ...model, bearsLoad: LOAD_BEARING.has(model.item.kind), values, ...sent }, status(sent))
  }
  app.get('/stores/items/:itemId/draw', DRAW, (req, reply) => draw(req, reply))
  app.post('/stores/items/:itemId/draw', DRAW, (req, reply) =>
    write(req, reply, { schema: DrawForm, run: (tx, ctx, input) => drawForm(tx, ctx, idIn(req, 'itemId'), input), refused: (refusal, typed) => draw(req, reply, { refusal, typed }) }))

  const receive = async (req: FastifyRequest, reply: FastifyReply, sent?: Sent) => {
    const order = String(sent?.typed?.['orderId'] ?? asked(req, 'order'))
    const item = asked(req, 'item')
    const model = await receivePage(db, todayOf(req), isUuid(order) ? order : null)
    const own = asked(req, 'own') !== '' || !req.may('stores.book')
    return reply.view(ReceivePage, { ...model, own, values: isUuid(item) ? { item0: item } : {}, ...sent }, status(sent))
  }
  app.get('/stores/receive', DRAW, (req, reply) => receive(req, reply))
  app.post('/stores/receive', DRAW, (req, reply) => write(req, reply, { schema: ReceiveForm, run: receiveForm, refused: (refusal, typed) => receive(req, reply, { refusal, typed }) }))

  const lotForm = async (req: FastifyRequest, reply: FastifyReply, what: 'write-off' | 'transfer' | 'correct', sent?: Sent) => {
    const lot = asked(req, 'lot')
    const model = await lotFormPage(db, idIn(req, 'itemId'), todayOf(req), looker(req))
    return reply.view(LotFormPage, { ...model, what, values: isUuid(lot) ? { lot } : {}, ...sent }, status(sent))
  }
  app.get('/stores/items/:itemId/write-off', DRAW, (req, reply) => lotForm(req, reply, 'write-off'))
  app.post('/stores/items/:itemId/write-off', DRAW, (req, reply) =>
    write(req, reply, { schema: WriteOffForm, run: (tx, ctx, input) => writeOffForm(tx, ctx, idIn(req, 'itemId'), input), refused: (refusal, typed) => lotForm(req, reply, 'write-off', { refusal, typed }) }))
  app.get('/stores/items/:itemId/transfer', DRAW, (req, reply) => lotForm(req, reply, 'transfer'))
  app.post('/stores/items/:itemId/transfer', DRAW, (req, reply) =>
    write(req, reply, { schema: MoveForm, run: (tx, ctx, input) => moveForm(tx, ctx, idIn(req, 'itemId'), input), refused: (refusal, typed) => lotForm(req, reply, 'transfer', { refusal, typed }) }))
  app.get('/stores/items/:itemId/correct', BOOK, (req, reply) => lotForm(req, reply, 'correct'))
  app.post('/stores/items/:itemId/correct', BOOK, (req, reply) =>
    write(req, reply, {
      schema: CorrectForm,
      run: async (tx, ctx, input) => {
        const { lots } = await lotFormPage(tx, idIn(req, 'itemId'), todayOf(req), ctx.member)
        return correctForm(tx, ctx, idIn(req, 'itemId'), input, lots.find((lot) => lot.id === input.lotId)?.costCents ?? 0)
      },
      refused: (refusal, typed) => lotForm(req, reply, 'correct', { refusal, typed }),
    }))

  const lot = async (req: FastifyRequest, reply: FastifyReply, form?: 'lot' | 'test', sent?: Sent) =>
    reply.view(LotPage, { ...(await lotPage(db, idIn(req, 'lotId'), todayOf(req), looker(req))), ...(form && { form }), ...sent }, status(sent))
  app.get('/stores/lots/:lotId', VIEW, (req, reply) => lot(req, reply))
  app.post('/stores/lots/:lotId', KEEP, (req, reply) =>
    write(req, reply, { schema: LotForm, run: (tx, ctx, input) => saveLot(tx, ctx, idIn(req, 'lotId'), input), refused: (refusal, typed) => lot(req, reply, 'lot', { refusal, typed }) }))
  app.post('/stores/lots/:lotId/test', KEEP, (req, reply) =>
    write(req, reply, { schema: LotTestForm, run: (tx, ctx, input) => testLot(tx, ctx, idIn(req, 'lotId'), input), refused: (refusal, typed) => lot(req, reply, 'test', { refusal, typed }) }))

  const entry = async (req: FastifyRequest, reply: FastifyReply, form?: 'return' | 'reverse', sent?: Sent) =>
    reply.view(EntryPage, { ...(await entryPage(db, idIn(req, 'entryId'), looker(req))), ...(form && { form }), ...sent }, status(sent))
  app.get('/stores/entries/:entryId', VIEW, (req, reply) => entry(req, reply))
  app.post('/stores/entries/:entryId/return', DRAW, (req, reply) =>
    write(req, reply, { schema: ReturnForm, run: (tx, ctx, input) => returnForm(tx, ctx, idIn(req, 'entryId'), input), refused: (refusal, typed) => entry(req, reply, 'return', { refusal, typed }) }))
  app.post('/stores/entries/:entryId/reverse', DRAW, (req, reply) =>
    write(req, reply, { schema: ReverseForm, run: (tx, ctx, input) => reverseForm(tx, ctx, idIn(req, 'entryId'), input), refused: (refusal, typed) => entry(req, reply, 'reverse', { refusal, typed }) }))

  app.get('/stores/awaiting', BOOK, async (req, reply) => reply.view(Awaiting, await awaitingPage(db, looker(req))))
  app.post('/stores/awaiting/:entryId', BOOK, (req, reply) =>
    write(req, reply, {
      schema: Nothing,
      run: async (tx, ctx) => {
        const done = await reviewDifference(tx, ctx, { entryId: idIn(req, 'entryId'), note: '' })
        return done.ok ? ok({ location: '/stores/awaiting', flash: 'Looked at: the difference stands.' }) : done
      },
      refused: async (refusal) => reply.view(Awaiting, { ...(await awaitingPage(db, looker(req))), refusal }, { status: refusal.status }),
    }))
}
