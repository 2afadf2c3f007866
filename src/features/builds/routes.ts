import type { FastifyInstance } from 'fastify'
import type { Deps } from '../../platform/deps.ts'
import { logBookRoutes } from './log/routes.ts'
import { buildRoutes } from './routes/build.ts'
import { chargeRoutes } from './routes/charges.ts'
import { drawRoutes } from './routes/draw.ts'
import { estimateRoutes } from './routes/estimate.ts'
import { geometryRoutes } from './routes/geometry.ts'
import { layoutRoutes } from './routes/layout.ts'
import { logRoutes } from './routes/logging.ts'
import { materialRoutes } from './routes/materials.ts'
import { mixRoutes } from './routes/mix.ts'
import { ruleRoutes } from './routes/rules.ts'
import { startRoutes } from './routes/start.ts'
import { taskRoutes } from './routes/task.ts'
import { weightRoutes } from './routes/weight.ts'
import { snagRoutes } from './snags/routes.ts'

export default async function routes(app: FastifyInstance, deps: Deps): Promise<void> {
  startRoutes(app, deps)
  buildRoutes(app, deps)
  geometryRoutes(app, deps)
  taskRoutes(app, deps)
  layoutRoutes(app, deps)
  logRoutes(app, deps)
  materialRoutes(app, deps)
  mixRoutes(app, deps)
  chargeRoutes(app, deps)
  drawRoutes(app, deps)
  estimateRoutes(app, deps)
  ruleRoutes(app, deps)
  weightRoutes(app, deps)
  snagRoutes(app, deps)
  logBookRoutes(app, deps)
}
