import type { FastifyInstance } from 'fastify'
import type { Deps } from '../../platform/deps.ts'
import count from './routes/count.ts'
import items from './routes/items.ts'
import labels from './routes/labels.ts'
import ledger from './routes/ledger.ts'
import mix from './routes/mix.ts'
import lists from './routes/lists.ts'
import money from './routes/money.ts'
import orders from './routes/orders.ts'
import products from './routes/products.ts'
import slip from './routes/slip.ts'
import suppliers from './routes/suppliers.ts'
import systems from './routes/systems.ts'

export default async function routes(app: FastifyInstance, deps: Deps): Promise<void> {
  products(app, deps)
  ledger(app, deps)
  items(app, deps)
  suppliers(app, deps)
  orders(app, deps)
  systems(app, deps)
  labels(app, deps)
  lists(app, deps)
  count(app, deps)
  slip(app, deps)
  mix(app, deps)
  money(app, deps)
}
