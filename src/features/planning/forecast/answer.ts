import { catchUps, forecast, tryOut, type CatchUpJob, type Forecasted, type ForecastJob, type Tried, type TryJob } from './compute.ts'
import type { CatchUps } from './model.ts'

export type AnyJob = ForecastJob | CatchUpJob | TryJob
export type AnyValue = Forecasted | CatchUps | Tried
/** What can't be simulated says so as a value: a thread that throws is lost to the jobs behind it. */
export type Answer = { readonly ok: true; readonly value: AnyValue } | { readonly ok: false; readonly message: string }

export function answer(job: AnyJob): Answer {
  try {
    return { ok: true, value: valueOf(job) }
  } catch (error) {
    return { ok: false, message: (error as Error).stack ?? String(error) }
  }
}

function valueOf(job: AnyJob): AnyValue {
  switch (job.kind) {
    case 'forecast': return forecast(job)
    case 'catch-up': return catchUps(job)
    case 'try': return tryOut(job)
  }
}
