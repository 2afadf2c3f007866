import type { Climate } from '../calendar/types.ts'
import { celsius, type Celsius } from '../units/index.ts'
import type { ConditionGate } from './types.ts'

/**
 * Magnus coefficients (hPa, -, °C). AE: Alduchov & Eskridge, J. Appl. Meteorol. 35 (1996) 601 (coefficients second-hand).
 * WMO: WMO-No. 8, Annex 4.B (second-hand).
 */
const MAGNUS = { AE: { a: 6.1094, b: 17.625, c: 243.04 }, WMO: { a: 6.112, b: 17.62, c: 243.12 } } as const
export type Coefficients = keyof typeof MAGNUS

/** Saturation vapour pressure over water, hPa: a exp(b T / (T + c)), T in °C. */
export function saturationVapourPressure(t: number, coefficients: Coefficients = 'AE'): number {
  const { a, b, c } = MAGNUS[coefficients]
  return a * Math.exp((b * t) / (t + c))
}

/**
 * Dew point in °C of air at t °C and relative humidity in %: c g / (b - g), g = ln(RH/100) + b T / (c + T).
 * @throws RangeError unless 0 < humidity <= 100.
 */
export function dewPoint(t: number, humidity: number, coefficients: Coefficients = 'AE'): number {
  if (!(humidity > 0 && humidity <= 100)) throw new RangeError(`relative humidity must be above 0 and at most 100 %, got ${humidity}`)
  const { b, c } = MAGNUS[coefficients]
  const g = Math.log(humidity / 100) + (b * t) / (c + t)
  return (c * g) / (b - g)
}

/** Relative humidity in % from air temperature and dew point, °C; the inverse of dewPoint. */
export const relativeHumidity = (air: number, dew: number, coefficients: Coefficients = 'AE'): number =>
  (100 * saturationVapourPressure(dew, coefficients)) / saturationVapourPressure(air, coefficients)

/** Why a gate is shut: air below or above its limits, too humid, or the surface too near the dew point. */
export type GateReason = 'cold' | 'hot' | 'humid' | 'dew'

/** Air at 85 % must pass "at most 85 %" although humidity is computed back from the dew point. */
const SLACK = 1e-6

export const surfaceTemperature = (climate: Climate, surfaceOffset: Celsius): Celsius => celsius(climate.air + surfaceOffset)

/** First reason for which the gate is shut in this climate, in the order cold, hot, humid, dew; null: open. */
export function gateAt(gate: ConditionGate, climate: Climate, surfaceOffset: Celsius): GateReason | null {
  if (gate.minAir !== null && climate.air < gate.minAir - SLACK) return 'cold'
  if (gate.maxAir !== null && climate.air > gate.maxAir + SLACK) return 'hot'
  if (gate.maxHumidity !== null && relativeHumidity(climate.air, climate.dewPoint) > gate.maxHumidity + SLACK) return 'humid'
  if (gate.dewPointMargin !== null && climate.air + surfaceOffset - climate.dewPoint < gate.dewPointMargin - SLACK) return 'dew'
  return null
}
