import type { FastifyInstance } from 'fastify'
import { ForecastPage } from '../../../../views/planning/forecast.tsx'
import type { Deps } from '../../../platform/deps.ts'
import { found } from '../../../platform/errors.ts'
import { fromZod } from '../../../platform/write.ts'
import type { Forecaster } from '../jobs/forecaster.ts'
import { tryJob } from '../jobs/forecasts.ts'
import { forecastPage } from './queries/page.ts'
import { asksNothing, TryQuery } from './schemas.ts'

const FIELDS = ['hours', 'helper', 'warmer']
const NO_LAUNCH = { status: 422, message: 'There is nothing to try it on: by the plan as it is she has no launch. What is in the way stands above.' }

/** When she will be launched, why it moved, and what would bring it forward. */
export function forecastRoutes(app: FastifyInstance, { db, clock, log }: Deps, forecaster: Forecaster): void {
  app.get('/builds/:buildId/forecast', { config: { may: 'planning.view' } }, async (req, reply) => {
    const { id } = found(req.build)
    const page = await forecastPage(db, id, clock.now())
    const query = req.query as Record<string, string>
    if (!FIELDS.some((name) => name in query)) return reply.view(ForecastPage, page)
    const asked = TryQuery.safeParse(query)
    if (!asked.success) return reply.view(ForecastPage, { ...page, refusal: fromZod(asked.error), typed: query }, { status: 422 })
    if (asksNothing(asked.data)) return reply.view(ForecastPage, { ...page, refusal: { status: 422, message: 'Say at least one thing to try.' }, typed: query }, { status: 422 })
    const asking = await tryJob(db, id, asked.data)
    if (!asking) return reply.view(ForecastPage, { ...page, refusal: NO_LAUNCH, typed: query }, { status: 422 })
    try {
      return reply.view(ForecastPage, { ...page, tried: { input: asked.data, result: await forecaster.tryOut(asking.planId, asking.job) }, typed: query })
    } catch (error) {
      log.error({ err: error }, 'figures could not be tried')
      return reply.view(ForecastPage, { ...page, refusal: { status: 500, message: 'It could not be worked out just now; it is written down. Try it again in a minute.' }, typed: query }, { status: 500 })
    }
  })
}
