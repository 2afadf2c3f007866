/**
 * Cure stages for the checker: the sum of rate x minutes, step by step, from the definition (equivalent age in the form of
 * ASTM C1074). Slow on purpose and apart from the tables of `core/cure`, so that the two can disagree.
 */
import type { ClimateSteps } from '../../calendar/types.ts'
import type { CureProduct, CureStage, StageOverride } from '../../cure/types.ts'
import type { Instant } from '../../units/index.ts'

/** One application of a coat, in minutes, and what people found since. */
export interface Applied { readonly start: number; readonly end: number; readonly placeId: string; readonly overrides: readonly StageOverride[] }

const GAS = 8.314
const KELVIN = 273.15
/** Sums of rates are off by far less than this; 240 minutes must not round to 241. In minutes. */
const ROUNDING = 1e-6

/** @param rates cache of rates, by product, energy and temperature @returns null: no such stage, or never reached */
export function stageInstant(
  product: CureProduct, climate: ClimateSteps, coat: Applied, stage: CureStage, rates: Map<string, number>,
): Instant | null {
  const found = coat.overrides.filter((o) => o.stage === stage).map((o) => o.at as number)
  if (found.length > 0) return Math.max(...found) as Instant
  const lag = product.stages[stage]
  const untilWhen = stage === 'workable' || stage === 'closes'
  const from = untilWhen ? coat.start : coat.end
  const floor = untilWhen ? -Infinity : product.cureFloor
  const cap = stage === 'closes' && product.closesCap !== null ? coat.start + product.closesCap : Infinity
  const energies = [product.filmEnergyLow, product.filmEnergyHigh]
  const reach = (lag: number, energy: number): number =>
    earned(lag, from, (air) => (air < floor ? 0 : rate(product, energy, air, rates)), climate)
  const reached = lag === null ? null : energies.map((energy) => reach(lag, energy))
  if (untilWhen) {
    const closing = Math.min(cap, reached === null ? Infinity : Math.floor(Math.min(...reached) + ROUNDING))
    return closing === Infinity ? null : closing as Instant
  }
  const opening = reached === null ? Infinity : Math.ceil(Math.max(...reached) - ROUNDING)
  return opening === Infinity ? null : opening as Instant
}

function rate(product: CureProduct, energyKJ: number, air: number, rates: Map<string, number>): number {
  const key = `${product.id} ${energyKJ} ${air}`
  let value = rates.get(key)
  if (value === undefined) {
    value = Math.exp(((-energyKJ * 1000) / GAS) * (1 / (air + KELVIN) - 1 / (product.referenceTemp + KELVIN)))
    rates.set(key, value)
  }
  return value
}

/** First time from `from` on by which `lag` minutes at the reference temperature are earned; Infinity: never. */
function earned(lag: number, from: number, rateAt: (air: number) => number, climate: ClimateSteps): number {
  let left = lag
  let t = from
  if (left <= 0) return t
  for (let i = stepIndex(climate, from); ; i++) {
    const perMinute = rateAt(climate[i]!.value.air)
    const next = climate[i + 1]?.from ?? Infinity
    // The last step serves everything after.
    if (next === Infinity) return perMinute === 0 ? Infinity : t + left / perMinute
    const gain = perMinute * (next - t)
    if (gain >= left && perMinute > 0) return t + left / perMinute
    left -= gain
    t = next
  }
}

/** The step in force at t; the first one serves everything before it. */
export function stepIndex(climate: ClimateSteps, t: number): number {
  let low = 0
  let high = climate.length
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (climate[middle]!.from <= t) low = middle
    else high = middle
  }
  return low
}
