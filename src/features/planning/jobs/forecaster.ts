import type { AnyJob, Answer } from '../forecast/answer.ts'
import type { CatchUpJob, Forecasted, ForecastJob, Tried, TryJob } from '../forecast/compute.ts'
import type { CatchUps } from '../forecast/model.ts'
import { inThread } from './thread.ts'

/** Works out forecasts of a plan. The module that does it is loaded in its thread only. */
export type Forecaster = {
  forecast(planId: bigint, job: ForecastJob): Promise<Forecasted>
  catchUps(planId: bigint, job: CatchUpJob): Promise<CatchUps>
  tryOut(planId: bigint, job: TryJob): Promise<Tried>
  close(): Promise<void>
}

/** In a thread beside the planner's: a forecast takes longer than a plan, and a plan never waits for one. */
export function forecastInThread(): Forecaster {
  const thread = inThread<{ planId: string; job: AnyJob }, Answer>('../forecast/worker')
  return forecaster((planId, job) => thread.ask({ planId: String(planId), job }), () => thread.close())
}

export function forecaster(ask: (planId: bigint, job: AnyJob) => Promise<Answer>, close: () => Promise<void> = async () => undefined): Forecaster {
  const value = async <V>(planId: bigint, job: AnyJob): Promise<V> => {
    const answer = await ask(planId, job)
    if (!answer.ok) throw new Error(answer.message)
    // Each kind of job has its own kind of answer.
    return answer.value as V
  }
  return { forecast: (id, job) => value<Forecasted>(id, job), catchUps: (id, job) => value<CatchUps>(id, job), tryOut: (id, job) => value<Tried>(id, job), close }
}
