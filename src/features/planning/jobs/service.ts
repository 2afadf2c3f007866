import type { FastifyInstance } from 'fastify'
import type { Deps } from '../../../platform/deps.ts'
import { createPlanner, type Planner } from './planner.ts'
import { solveInThread } from './thread.ts'

/** Plans as long as this app listens; an app that only answers injected requests leaves the plans to others. */
export function runPlanner(app: FastifyInstance, deps: Deps): Planner {
  const { db, clock, log, events } = deps
  const planner = createPlanner({ db, clock, log, solver: solveInThread() })
  app.addHook('onListen', async () => {
    await planner.start(events).catch((error: Error) => log.error({ err: error }, 'the planner can’t hear requests; it looks for them every minute'))
  })
  app.addHook('preClose', async () => planner.stop())
  return planner
}
