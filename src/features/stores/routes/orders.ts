import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { NewOrderPage, OrderPage } from '../../../../views/stores/order.tsx'
import { OrdersPage } from '../../../../views/stores/orders.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { Version } from '../../../platform/form-fields.ts'
import { isUuid } from '../../../platform/request.ts'
import { localDate } from '../../../platform/times.ts'
import { write, type Refusal, type Typed } from '../../../platform/write.ts'
import { changeOrder, endOrder, orderStock } from '../commands/orders.ts'
import { newOrderPage, orderPage, ordersPage } from '../queries/orders.ts'
import { EditOrderForm, OrderForm } from '../schemas/buying.ts'
import { idIn } from './items.ts'

const KEEP = { config: { may: 'stores.keep' } }
const VIEW = { config: { may: 'stores.view' } }

/** The day that it is at the club. */
export const todayOf = (req: FastifyRequest): string => localDate(req.club?.zone ?? 'UTC', req.server.deps.clock.now())

export default function orders(app: FastifyInstance, { db }: Deps): void {
  app.get('/stores/orders', VIEW, async (req, reply) => reply.view(OrdersPage, { ...(await ordersPage(db)), today: todayOf(req) }))

  app.get('/stores/orders/new', KEEP, async (req, reply) => {
    const { supplier, item } = req.query as { supplier?: unknown; item?: unknown }
    return reply.view(NewOrderPage, await newOrderPage(db, todayOf(req), isUuid(supplier) ? supplier : '', isUuid(item) ? { what0: `item:${item}` } : {}))
  })
  app.post('/stores/orders/new', KEEP, (req, reply) =>
    write(req, reply, {
      schema: OrderForm,
      run: orderStock,
      refused: async (refusal, typed) => reply.view(NewOrderPage, { ...(await newOrderPage(db, todayOf(req))), refusal, typed }, { status: refusal.status }),
    }))

  const page = async (req: FastifyRequest, reply: FastifyReply, sent?: { refusal: Refusal; typed?: Typed }) =>
    reply.view(OrderPage, { ...(await orderPage(db, idIn(req, 'orderId'))), today: todayOf(req), ...sent }, { status: sent?.refusal.status ?? 200 })
  app.get('/stores/orders/:orderId', VIEW, (req, reply) => page(req, reply))
  app.post('/stores/orders/:orderId', KEEP, (req, reply) =>
    write(req, reply, { schema: EditOrderForm, run: (tx, ctx, input) => changeOrder(tx, ctx, idIn(req, 'orderId'), input), refused: (refusal, typed) => page(req, reply, { refusal, typed }) }))
  app.post('/stores/orders/:orderId/end', KEEP, (req, reply) =>
    write(req, reply, { schema: Version, run: (tx, ctx, { version }) => endOrder(tx, ctx, idIn(req, 'orderId'), version), refused: (refusal) => page(req, reply, { refusal }) }))
}
