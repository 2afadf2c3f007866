import type { FastifyInstance } from 'fastify'
import type { Deps } from '../../../platform/deps.ts'
import { forecastInThread, type Forecaster } from './forecaster.ts'
import { createForecasting } from './forecasting.ts'
import { createPlanner, type Planner } from './planner.ts'
import { solveInThread } from './thread.ts'

/** What would bring a launch forward takes tens of seconds of a core: not while every minute has another plan. */
const QUIET_MS = 20_000

/** Plans, and forecasts what was planned, as long as this app listens; an app that only answers injected requests leaves both to others. */
export function runPlanner(app: FastifyInstance, deps: Deps): { planner: Planner; forecaster: Forecaster } {
  const { db, clock, log, events } = deps
  const forecaster = forecastInThread()
  const forecasting = createForecasting({ db, clock, log, forecaster, quietMs: QUIET_MS })
  const planner = createPlanner({ db, clock, log, solver: solveInThread(), onPlanned: forecasting.take })
  app.addHook('onListen', async () => {
    await planner.start(events).catch((error: Error) => log.error({ err: error }, 'the planner can’t hear requests; it looks for them every minute'))
    // Not waited for: the service listens meanwhile.
    void forecasting.start().catch((error: Error) => log.error({ err: error }, 'forecasts left undone can’t be read; the next plan has them'))
  })
  app.addHook('preClose', async () => {
    await planner.stop()
    await forecasting.stop()
  })
  return { planner, forecaster }
}
