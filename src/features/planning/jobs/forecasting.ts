import { transact } from '../../../platform/database.ts'
import { lacksForecast, plannedNow, type Planned } from '../forecast/queries/plan.ts'
import { forecastBuilds, type ForecastParts } from './forecasts.ts'

export type Forecasting = { take(planned: Planned): void; start(): Promise<void>; stop(): Promise<void> }

/** Forecasts every plan that is handed to it, or as many builds of it as there is time for before the next one. */
export function createForecasting(parts: Omit<ForecastParts, 'isOvertaken'>): Forecasting {
  let isRunning = false
  let newest: Planned | null = null
  let current: Promise<void> | null = null

  const work = async () => {
    while (isRunning && newest) {
      const planned = newest
      newest = null
      try {
        await forecastBuilds({ ...parts, isOvertaken: () => !isRunning || newest !== null }, planned)
      } catch (error) {
        if (isRunning) parts.log.error({ err: error }, 'forecasts could not be made; the next plan has them again')
      }
    }
  }
  const take = (planned: Planned) => {
    if (!isRunning) return
    newest = planned
    current ??= work().finally(() => {
      current = null
    })
  }

  return {
    take,
    /** What was left undone when the service ended is done now. */
    async start() {
      isRunning = true
      const left = await transact(parts.db, async (tx) => ((await lacksForecast(tx)) ? plannedNow(tx) : null), { isolation: 'repeatable read', timeoutMs: 60_000 })
      if (left) take(left)
    },
    async stop() {
      isRunning = false
      await parts.forecaster.close()
      await current
    },
  }
}
