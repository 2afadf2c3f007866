import type { AnyJob, Answer } from '../forecast/answer.ts'
import type { Forecasted, ForecastJob, Tried, TryJob } from '../forecast/compute.ts'
import { inThread } from './thread.ts'

/** Works out forecasts. The module that does it is loaded in its thread only. */
export type Forecaster = { forecast(job: ForecastJob): Promise<Forecasted>; tryOut(job: TryJob): Promise<Tried>; close(): Promise<void> }

/** In a thread beside the planner's: a forecast takes longer than a plan, and a plan never waits for one. */
export function forecastInThread(): Forecaster {
  const thread = inThread<AnyJob, Answer>('../forecast/worker')
  return forecaster((job) => thread.ask(job), () => thread.close())
}

export function forecaster(ask: (job: AnyJob) => Promise<Answer>, close: () => Promise<void> = async () => undefined): Forecaster {
  const value = async (job: AnyJob) => {
    const answer = await ask(job)
    if (!answer.ok) throw new Error(answer.message)
    return answer.value
  }
  return { forecast: (job) => value(job) as Promise<Forecasted>, tryOut: (job) => value(job) as Promise<Tried>, close }
}
