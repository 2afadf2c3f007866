import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { CureProductPage } from '../../../../views/stores/cure-product.tsx'
import { CureProductFormPage } from '../../../../views/stores/cure-product-form.tsx'
import { CureProducts } from '../../../../views/stores/cure-products.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { addProduct, addUsualProducts, editProduct, retireProduct } from '../commands/products.ts'
import { productPage, productsPage } from '../queries/products.ts'
import { CureProductForm, EditCureProductForm, NoForm, RetireForm } from '../schemas/products.ts'

const VIEW = { config: { may: 'stores.view' } }
const EDIT = { config: { may: 'stores.products' } }
const idOf = (req: FastifyRequest): string => (req.params as { id: string }).id

/** What an empty form begins with: the figures that are usual where a data sheet says nothing. */
const BEGIN = { kind: 'epoxy', referenceTemp: '20', filmEnergyLow: '18', filmEnergyHigh: '55', potEnergy: '55', cureFloor: '10', dustSensitive: 'on' }

export default function products(app: FastifyInstance, { db }: Deps): void {
  app.get('/stores/cure-products', VIEW, async (_req, reply) => reply.view(CureProducts, { products: await productsPage(db) }))
  app.post('/stores/cure-products/usual', EDIT, (req, reply) =>
    write(req, reply, { schema: NoForm, run: addUsualProducts, refused: async (refusal) => reply.view(CureProducts, { products: await productsPage(db), refusal }, { status: refusal.status }) }))

  const form = async (reply: FastifyReply, id: string | null, refusal?: Refusal, typed?: Typed) => {
    const product = id === null ? null : await productPage(db, id)
    return reply.view(CureProductFormPage, { product: product && { id: product.product.id, name: product.product.name }, values: product?.values ?? BEGIN, refusal, typed }, { status: refusal?.status ?? 200 })
  }
  app.get('/stores/cure-products/new', EDIT, (_req, reply) => form(reply, null))
  app.post('/stores/cure-products/new', EDIT, (req, reply) =>
    write(req, reply, { schema: CureProductForm, run: addProduct, refused: (refusal, typed) => form(reply, null, refusal, typed) }))

  app.get('/stores/cure-products/:id', VIEW, async (req, reply) => reply.view(CureProductPage, await productPage(db, idOf(req))))
  app.get('/stores/cure-products/:id/edit', EDIT, (req, reply) => form(reply, idOf(req)))
  app.post('/stores/cure-products/:id/edit', EDIT, (req, reply) =>
    write(req, reply, { schema: EditCureProductForm, run: (tx, ctx, input) => editProduct(tx, ctx, idOf(req), input), refused: (refusal, typed) => form(reply, idOf(req), refusal, typed) }))
  for (const [path, isActive] of [['retire', false], ['take-up', true]] as const) {
    app.post(`/stores/cure-products/:id/${path}`, EDIT, (req, reply) =>
      write(req, reply, {
        schema: RetireForm,
        run: (tx, ctx, input) => retireProduct(tx, ctx, idOf(req), input.version, isActive),
        refused: async (refusal) => reply.view(CureProductPage, { ...(await productPage(db, idOf(req))), refusal }, { status: refusal.status }),
      }))
  }
}
