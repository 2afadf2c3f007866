/** Maturity functions: how fast a film cures at a temperature, seen from a reference temperature. */

/** Molar gas constant, J/(mol K). */
export const GAS_CONSTANT = 8.314
/** 0 °C in kelvin. */
export const ZERO_CELSIUS = 273.15

/** A stretch of constant temperature; the duration's unit is the result's. */
export interface Hold { readonly duration: number; readonly air: number }

/**
 * Rate of curing at `airCelsius` as a multiple of the rate at `refCelsius`: exp(-Q (1/Ta - 1/Tr)), Q = Ea/R, kelvin.
 * The form of ASTM C1074 (maturity of concrete; formula second-hand): only the form carries over to epoxy.
 * @param energyKJ apparent activation energy, kJ/mol
 */
export const arrheniusRate = (airCelsius: number, refCelsius: number, energyKJ: number): number =>
  Math.exp((-energyKJ * 1000 / GAS_CONSTANT) * (1 / (airCelsius + ZERO_CELSIUS) - 1 / (refCelsius + ZERO_CELSIUS)))

/** Equivalent age at `refCelsius`: the sum of rate x duration (ASTM C1074, second-hand), in the unit of the durations. */
export const equivalentAge = (holds: readonly Hold[], refCelsius: number, energyKJ: number): number =>
  holds.reduce((age, { duration, air }) => age + arrheniusRate(air, refCelsius, energyKJ) * duration, 0)

/** Nurse-Saul maturity, the sum of (air - datum) x duration with negative terms set to 0 (ASTM C1074, second-hand), in °C x unit of duration. */
export const nurseSaul = (holds: readonly Hold[], datumCelsius: number): number =>
  holds.reduce((maturity, { duration, air }) => maturity + Math.max(0, air - datumCelsius) * duration, 0)

/**
 * Activation energy in kJ/mol of a reaction that runs `factor` times as fast at t2 as at t1 (°C): R ln(factor) / (1/T1 - 1/T2).
 * @throws RangeError unless t1 and t2 differ and factor > 0.
 */
export function activationEnergyFromDoubling(t1Celsius: number, t2Celsius: number, factor = 2): number {
  if (t1Celsius === t2Celsius || !(factor > 0)) throw new RangeError('needs two temperatures and a factor above 0')
  return (GAS_CONSTANT * Math.log(factor)) / (1 / (t1Celsius + ZERO_CELSIUS) - 1 / (t2Celsius + ZERO_CELSIUS)) / 1000
}
