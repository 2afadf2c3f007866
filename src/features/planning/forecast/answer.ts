import { forecast, tryOut, type Forecasted, type ForecastJob, type Tried, type TryJob } from './compute.ts'

export type AnyJob = ForecastJob | TryJob
/** What can't be simulated says so as a value: a thread that throws is lost to the jobs behind it. */
export type Answer = { readonly ok: true; readonly value: Forecasted | Tried } | { readonly ok: false; readonly message: string }

export function answer(job: AnyJob): Answer {
  try {
    return { ok: true, value: job.kind === 'try' ? tryOut(job) : forecast(job) }
  } catch (error) {
    return { ok: false, message: (error as Error).stack ?? String(error) }
  }
}
