/** One build's forecast from the question, the plan and what is uncertain; runs in a thread of its own. Pure. */
import { catchUp, chanceBy, compileForecast, quantile, simulate } from '../../../core/forecast/index.ts'
import type { Simulation, Uncertainty, WhatIf } from '../../../core/forecast/types.ts'
import type { Plan } from '../../../core/schedule/answer.ts'
import type { Problem } from '../../../core/schedule/problem.ts'
import { instant } from '../../../core/units/index.ts'
import type { CatchUps, Drivers, Inputs } from './model.ts'
import { canCatchUp } from './uncertain.ts'
import { stepParts, type Before, type PlainStep } from './step.ts'

export type ForecastJob = {
  readonly kind: 'forecast'
  readonly problem: Problem
  readonly plan: Plan
  readonly buildId: string
  readonly uncertainty: Uncertainty
  readonly target: number | null
  readonly inputs: Inputs
  /** The last forecast of an earlier week. */
  readonly before: Before | null
  readonly runs?: Runs
}
type AboutHer = Pick<ForecastJob, 'problem' | 'plan' | 'buildId' | 'uncertainty' | 'target' | 'runs'>
export type CatchUpJob = AboutHer & { readonly kind: 'catch-up' }
export type TryJob = AboutHer & { readonly kind: 'try'; readonly whatIf: WhatIf }

/** Simulated launches: of the forecast itself and of each part of a step; and of each question of what would bring it forward, 0: not asked. */
export type Runs = { readonly own: number; readonly catchUp: number; readonly tried: number }
export const RUNS: Runs = { own: 1000, catchUp: 200, tried: 1000 }
/** The same draws every time, so that forecasts differ by what they are made from and not by chance. */
const SEED = 1

export type Range = { readonly p10: number | null; readonly p50: number | null; readonly p80: number | null; readonly p90: number | null; readonly targetChance: number | null }
export type Forecasted = Range & { readonly runs: number; readonly drivers: Drivers; readonly step: PlainStep | null }
export type Tried = { readonly now: Range; readonly then: Range }

const rangeOf = (simulation: Simulation, target: number | null): Range => ({
  p10: quantile(simulation, 0.1), p50: quantile(simulation, 0.5), p80: quantile(simulation, 0.8), p90: quantile(simulation, 0.9),
  targetChance: target === null ? null : chanceBy(simulation, instant(target)),
})

export function forecast(job: ForecastJob): Forecasted {
  const { problem, plan, buildId, uncertainty, target, before, inputs } = job
  const runs = job.runs ?? RUNS
  const simulation = simulate(compileForecast(problem, plan, buildId, uncertainty), { runs: runs.own, seed: SEED })
  const range = rangeOf(simulation, target)
  return {
    ...range, runs: runs.own,
    drivers: {
      phases: [...simulation.byPhase].map(([name, driver]) => ({ name, ...driver })).sort((a, b) => b.minutes - a.minutes || (a.name < b.name ? -1 : 1)),
      causes: simulation.byCause, sources: simulation.bySource, meanWork: simulation.meanWork,
    },
    step: before === null || range.p50 === null ? null : stepParts({
      problem, plan, uncertainty, inputs, before, p50: range.p50,
      median: (what) => quantile(simulate(compileForecast(what.problem, what.plan, buildId, what.uncertainty), { runs: runs.own, seed: SEED }), 0.5),
    }),
  }
}

export function catchUps({ problem, plan, buildId, uncertainty, target, runs }: CatchUpJob): CatchUps {
  if (!canCatchUp(target, problem.now)) return { half: null, fourInFive: null }
  const ask = (share: number) => catchUp(problem, plan, buildId, uncertainty, { target: instant(target), share, runs: (runs ?? RUNS).catchUp, seed: SEED })
  return { half: ask(0.5), fourInFive: ask(0.8) }
}

/** The range as it is, and with somebody's own figures: the same draws in both. */
export function tryOut({ problem, plan, buildId, uncertainty, target, whatIf, runs }: TryJob): Tried {
  const range = (what?: WhatIf) => rangeOf(simulate(compileForecast(problem, plan, buildId, uncertainty, what), { runs: (runs ?? RUNS).tried, seed: SEED }), target)
  return { now: range(), then: range(whatIf) }
}
