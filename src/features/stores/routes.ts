import type { FastifyInstance } from 'fastify'
import type { Deps } from '../../platform/deps.ts'
import items from './routes/items.ts'
import products from './routes/products.ts'

export default async function routes(app: FastifyInstance, deps: Deps): Promise<void> {
  products(app, deps)
  items(app, deps)
}
