import type { FastifyInstance } from 'fastify'
import { z } from 'zod'
import { BuildStockPage } from '../../../views/planning/build-stock.tsx'
import { BuyingListPage } from '../../../views/planning/buying.tsx'
import { StockLevelPage } from '../../../views/planning/stock-level.tsx'
import { StockOutlookPage } from '../../../views/planning/stock-outlook.tsx'
import type { Deps } from '../../platform/deps.ts'
import { found } from '../../platform/errors.ts'
import { isUuid } from '../../platform/request.ts'
import { fromZod, write } from '../../platform/write.ts'
import { buy } from './commands/buy.ts'
import { buildStock } from './queries/build-stock.ts'
import { buyingPage } from './queries/buying.ts'
import { levelPage, outlookPage } from './queries/outlook.ts'
import { BuyingForm, BuyingQuery } from './stock-schemas.ts'

const ItemParams = z.object({ itemId: z.string() })
const PLAN = { weeks: null, undated: false }

/** The stores ahead: what the work plan does to them. */
export function stockRoutes(app: FastifyInstance, { db, clock }: Deps): void {
  const view = { config: { may: 'stores.view' } }

  app.get('/stores/outlook', view, async (req, reply) => reply.view(StockOutlookPage, await outlookPage(db, found(req.member), clock.now())))

  app.get('/stores/items/:itemId/level', view, async (req, reply) => {
    const { itemId } = ItemParams.parse(req.params)
    return reply.view(StockLevelPage, await levelPage(db, found(req.member), found(isUuid(itemId) ? itemId : null), clock.now()))
  })

  app.get('/stores/buying', view, async (req, reply) => {
    const asked = BuyingQuery.safeParse(req.query)
    if (asked.success) return reply.view(BuyingListPage, await buyingPage(db, found(req.member), asked.data, clock.now()))
    const page = await buyingPage(db, found(req.member), PLAN, clock.now())
    return reply.view(
      BuyingListPage, { ...page, badAsk: { refusal: fromZod(asked.error), typed: req.query as Record<string, string> } }, { status: 422 },
    )
  })

  app.post('/stores/buying', { config: { may: 'stores.keep' } }, (req, reply) =>
    write(req, reply, {
      schema: BuyingForm,
      run: buy,
      refused: async (refusal, typed) => {
        const asked = BuyingQuery.safeParse(typed)
        const page = await buyingPage(db, found(req.member), asked.success ? asked.data : PLAN, clock.now())
        // What is stored now is the list itself: on a stale one the counts typed before say nothing any more.
        return reply.view(BuyingListPage, { ...page, refusal, ...(refusal.status === 409 ? {} : { typed }) }, { status: refusal.status })
      },
    }))

  app.get('/builds/:buildId/stock', { config: { may: 'planning.view' } }, async (req, reply) =>
    reply.view(BuildStockPage, await buildStock(db, found(req.member), found(req.build).id, clock.now())))
}
