import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { SupplierPage, SuppliersPage } from '../../../../views/stores/suppliers.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { saveSupplier } from '../commands/suppliers.ts'
import { supplierPage, suppliersPage } from '../queries/suppliers.ts'
import { EditSupplierForm, SupplierForm } from '../schemas/buying.ts'
import { idIn } from './items.ts'

const KEEP = { config: { may: 'stores.keep' } }
const VIEW = { config: { may: 'stores.view' } }

export default function suppliers(app: FastifyInstance, { db }: Deps): void {
  app.get('/stores/suppliers', VIEW, async (_req, reply) => reply.view(SuppliersPage, await suppliersPage(db)))

  app.get('/stores/suppliers/new', KEEP, (_req, reply) => reply.view(SupplierPage, { supplier: null, values: {}, items: [], orders: [] }))
  app.post('/stores/suppliers/new', KEEP, (req, reply) =>
    write(req, reply, {
      schema: SupplierForm,
      run: (tx, ctx, input) => saveSupplier(tx, ctx, null, input),
      refused: (refusal, typed) => reply.view(SupplierPage, { supplier: null, values: {}, items: [], orders: [], refusal, typed }, { status: refusal.status }),
    }))

  const page = async (req: FastifyRequest, reply: FastifyReply, sent?: { refusal: Refusal; typed: Typed }) =>
    reply.view(SupplierPage, { ...(await supplierPage(db, idIn(req, 'supplierId'))), ...sent }, { status: sent?.refusal.status ?? 200 })
  app.get('/stores/suppliers/:supplierId', VIEW, (req, reply) => page(req, reply))
  app.post('/stores/suppliers/:supplierId', KEEP, (req, reply) =>
    write(req, reply, {
      schema: EditSupplierForm,
      run: (tx, ctx, { version, ...input }) => saveSupplier(tx, ctx, { id: idIn(req, 'supplierId'), version }, input),
      refused: (refusal, typed) => page(req, reply, { refusal, typed }),
    }))
}
