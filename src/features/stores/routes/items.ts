import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { ItemFormPage, type ItemFormName } from '../../../../views/stores/item-form.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { isUuid } from '../../../platform/request.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { addItem, editItem, offerPack, retireItem, savePack } from '../commands/items.ts'
import { addUsualItems } from '../commands/usual-items.ts'
import { editItemPage, newItemPage } from '../queries/items.ts'
import { ActiveForm, EditItemForm, ItemForm, PackForm } from '../schemas/items.ts'
import { Nothing } from '../../../platform/form-fields.ts'

const KEEP = { config: { may: 'stores.keep' } }

/** A uuid out of the address; the guard has looked at its form. */
export const idIn = (req: FastifyRequest, name: string): string => {
  const value = (req.params as Record<string, string | undefined>)[name]
  return found(isUuid(value) ? value : null)
}

export default function items(app: FastifyInstance, { db }: Deps): void {
  type Sent = { form: ItemFormName; refusal: Refusal; typed: Typed }
  const page = async (reply: FastifyReply, itemId: string | null, sent?: Sent) =>
    reply.view(ItemFormPage, { ...(itemId === null ? await newItemPage(db) : await editItemPage(db, itemId)), ...sent }, { status: sent?.refusal.status ?? 200 })

  app.get('/stores/items/new', KEEP, (_req, reply) => page(reply, null))
  app.post('/stores/items/new', KEEP, (req, reply) =>
    write(req, reply, { schema: ItemForm, run: addItem, refused: (refusal, typed) => page(reply, null, { form: 'item', refusal, typed }) }))
  app.post('/stores/items/usual', KEEP, (req, reply) =>
    write(req, reply, { schema: Nothing, run: addUsualItems, refused: (refusal, typed) => page(reply, null, { form: 'item', refusal, typed }) }))

  app.get('/stores/items/:itemId/edit', KEEP, (req, reply) => page(reply, idIn(req, 'itemId')))
  app.post('/stores/items/:itemId/edit', KEEP, (req, reply) =>
    write(req, reply, {
      schema: EditItemForm,
      run: (tx, ctx, input) => editItem(tx, ctx, idIn(req, 'itemId'), input),
      refused: (refusal, typed) => page(reply, idIn(req, 'itemId'), { form: 'item', refusal, typed }),
    }))
  app.post('/stores/items/:itemId/active', KEEP, (req, reply) =>
    write(req, reply, {
      schema: ActiveForm,
      run: (tx, ctx, input) => retireItem(tx, ctx, idIn(req, 'itemId'), input),
      refused: (refusal, typed) => page(reply, idIn(req, 'itemId'), { form: 'page', refusal, typed }),
    }))

  app.post('/stores/items/:itemId/packs', KEEP, (req, reply) =>
    write(req, reply, {
      schema: PackForm,
      run: (tx, ctx, input) => savePack(tx, ctx, idIn(req, 'itemId'), null, input),
      refused: (refusal, typed) => page(reply, idIn(req, 'itemId'), { form: 'pack', refusal, typed }),
    }))
  app.post('/stores/items/:itemId/packs/:packId', KEEP, (req, reply) =>
    write(req, reply, {
      schema: PackForm,
      run: (tx, ctx, input) => savePack(tx, ctx, idIn(req, 'itemId'), idIn(req, 'packId'), input),
      refused: (refusal, typed) => page(reply, idIn(req, 'itemId'), { form: idIn(req, 'packId'), refusal, typed }),
    }))
  for (const [path, isActive] of [['give-up', false], ['take-up', true]] as const) {
    app.post(`/stores/items/:itemId/packs/:packId/${path}`, KEEP, (req, reply) =>
      write(req, reply, {
        schema: Nothing,
        run: (tx, ctx) => offerPack(tx, ctx, idIn(req, 'itemId'), idIn(req, 'packId'), isActive),
        refused: (refusal, typed) => page(reply, idIn(req, 'itemId'), { form: 'page', refusal, typed }),
      }))
  }
}
