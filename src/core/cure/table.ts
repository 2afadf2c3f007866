import type { ClimateSteps } from '../calendar/types.ts'
import { instant, type Instant } from '../units/index.ts'
import { arrheniusRate } from './rates.ts'
import { CURE_STAGES, type CureProduct, type CureStage, type StageOverride, type StageTimes } from './types.ts'

/**
 * Cumulative equivalent age of one product in one place, for look-ups in O(log steps) without allocation. Exact for the
 * piecewise-constant temperatures of `climate` from `from` to `until`; the step in force at `from` also serves everything
 * before it, the one in force just before `until` everything after: begin it at or before the oldest coat that is asked about.
 */
export interface CureTable {
  readonly product: CureProduct
  /** Start of the first step; `starts` counts minutes from it, so that another origin gives the same arithmetic. */
  readonly origin: Instant
  readonly starts: Float64Array
  /** "From when" stages: the floor applies. Two activation energies, low and high. */
  readonly slow: readonly [Ageing, Ageing]
  /** "Until when" stages: no floor. */
  readonly fast: readonly [Ageing, Ageing]
}

/** Equivalent age in minutes at the start of each step, and its rate within the step. */
export interface Ageing { readonly age: Float64Array; readonly rate: Float64Array }

/** Stages that tell until when; all others tell from when. */
export const UNTIL_STAGES: ReadonlySet<CureStage> = new Set(['workable', 'closes'])

/** Sums of rates carry rounding errors far below this; without it 240 minutes could round up to 241. In minutes. */
const FUZZ = 1e-6

/** @throws RangeError when the climate is empty or until is before from. */
export function cureTable(product: CureProduct, climate: ClimateSteps, from: Instant, until: Instant): CureTable {
  if (climate.length === 0) throw new RangeError('a climate needs at least one step')
  if (until < from) throw new RangeError('until is before from')
  const at: number[] = []
  const air: number[] = []
  for (let i = 0; i < climate.length; i++) {
    const step = climate[i]!
    const next = climate[i + 1]
    if (next !== undefined && next.from <= from) continue
    if (at.length > 0 && step.from >= until) break
    if (air.length > 0 && air[air.length - 1] === step.value.air) continue
    at.push(step.from)
    air.push(step.value.air)
  }
  const origin = instant(at[0]!)
  const starts = Float64Array.from(at, (t) => t - origin)
  const ageing = (energy: number, floor: number): Ageing => {
    const rate = Float64Array.from(air, (t) => (t < floor ? 0 : arrheniusRate(t, product.referenceTemp, energy)))
    const age = new Float64Array(starts.length)
    for (let i = 1; i < starts.length; i++) age[i] = age[i - 1]! + rate[i - 1]! * (starts[i]! - starts[i - 1]!)
    return { age, rate }
  }
  const { filmEnergyLow: low, filmEnergyHigh: high, cureFloor } = product
  return {
    product, origin, starts,
    slow: [ageing(low, cureFloor), ageing(high, cureFloor)],
    fast: [ageing(low, -Infinity), ageing(high, -Infinity)],
  }
}

/**
 * When one stage of a coat applied in [appliedStart, appliedEnd) comes. "From when" stages (dustFree, opens, sandable,
 * handleable, fullCure) count from the end of application, take the later of the product's two energies, earn nothing while the
 * air is below the cure floor, and are rounded up to the minute. "Until when" stages (workable, closes) count from its start, take
 * the earlier, ignore the floor and are rounded down. `closes` comes at the latest `closesCap` clock minutes after the start,
 * also for a product whose data sheet gives no closing at the reference temperature.
 * Never earlier for a later application.
 * @returns null: the product has no such stage, or it is never reached (below the floor for good)
 */
export function stageTime(table: CureTable, stage: CureStage, appliedStart: Instant, appliedEnd: Instant): Instant | null {
  const lag = table.product.stages[stage]
  const { origin, starts } = table
  if (stage === 'workable' || stage === 'closes') {
    const cap = stage === 'closes' ? table.product.closesCap : null
    const capped = cap === null ? Infinity : appliedStart + cap
    if (lag === null) return capped === Infinity ? null : (capped as Instant)
    const start = appliedStart - origin
    const step = stepAt(starts, start)
    const [low, high] = table.fast
    const reached = Math.floor(Math.min(reach(starts, low, step, start, lag), reach(starts, high, step, start, lag)) + FUZZ)
    return Math.min(origin + reached, capped) as Instant
  }
  if (lag === null) return null
  const end = appliedEnd - origin
  const step = stepAt(starts, end)
  const [low, high] = table.slow
  const reached = Math.max(reach(starts, low, step, end, lag), reach(starts, high, step, end, lag))
  return reached === Infinity ? null : ((origin + Math.ceil(reached - FUZZ)) as Instant)
}

/** All stages of one coat. A person's finding replaces the computed instant; of several for one stage the latest counts. */
export function stageTimes(
  table: CureTable, appliedStart: Instant, appliedEnd: Instant, overrides: readonly StageOverride[] = [],
): StageTimes {
  const times = {} as Record<CureStage, Instant | null>
  for (const stage of CURE_STAGES) {
    let found: Instant | null = null
    for (const o of overrides) if (o.stage === stage && (found === null || o.at > found)) found = o.at
    times[stage] = found ?? stageTime(table, stage, appliedStart, appliedEnd)
  }
  return times
}

/** Index of the step in force at a time in minutes from the table's origin. */
function stepAt(starts: Float64Array, time: number): number {
  let low = 0
  let high = starts.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (starts[middle]! <= time) low = middle
    else high = middle - 1
  }
  return low
}

/** First time at or after `time` by which `lag` minutes of equivalent age are earned since; Infinity: never. */
function reach(starts: Float64Array, { age, rate }: Ageing, step: number, time: number, lag: number): number {
  if (lag <= 0) return time
  const target = age[step]! + rate[step]! * (time - starts[step]!) + lag
  const last = starts.length - 1
  // Lags are hours and steps too, so the answer is near: double the stride, then halve it.
  let low = step
  let stride = 1
  while (low + stride <= last && age[low + stride]! < target) {
    low += stride
    stride *= 2
  }
  let high = Math.min(low + stride, last + 1)
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (age[middle]! < target) low = middle
    else high = middle
  }
  // age[low] < target <= age[low + 1]: it is reached in step `low`, unless that earns nothing (only the last can then).
  const perMinute = rate[low]!
  if (perMinute === 0) return Infinity
  const reached = starts[low]! + (target - age[low]!) / perMinute
  const ends = low === last ? Infinity : starts[low + 1]!
  return Math.max(time, Math.min(reached, ends))
}
