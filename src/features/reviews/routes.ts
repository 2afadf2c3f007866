import type { FastifyInstance } from 'fastify'
import type { Deps } from '../../platform/deps.ts'
import { clubRoutes } from './club/routes.ts'
import { guestLinkRoutes, guestRoutes } from './guests/routes.ts'
import { progressRoutes } from './progress/routes.ts'
import { recordRoutes } from './record/routes.ts'
import { weekRoutes } from './week/routes.ts'

export default async function routes(app: FastifyInstance, deps: Deps): Promise<void> {
  guestLinkRoutes(app, deps)
  guestRoutes(app, deps)
  progressRoutes(app, deps)
  recordRoutes(app, deps)
  weekRoutes(app, deps)
  clubRoutes(app, deps)
}
