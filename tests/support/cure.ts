import type { ClimateSteps } from '../../src/core/calendar/types.ts'
import { CURE_STAGES, type CureProduct, type CureStage } from '../../src/core/cure/types.ts'
import { celsius, instant, type Minutes } from '../../src/core/units/index.ts'

/** A cure product with no stages, no limits and one pair of energies, but for what is given. */
export function makeProduct(
  { stages = {}, ...rest }: Partial<Omit<CureProduct, 'stages'>> & { stages?: Partial<Record<CureStage, Minutes | null>> } = {},
): CureProduct {
  return {
    id: 'product',
    referenceTemp: celsius(20),
    stages: Object.fromEntries(CURE_STAGES.map((s) => [s, stages[s] ?? null])) as Record<CureStage, Minutes | null>,
    filmEnergyLow: 18,
    filmEnergyHigh: 55,
    potEnergy: 55,
    closesCap: null,
    cureFloor: celsius(-20),
    gate: { minAir: null, maxAir: null, maxHumidity: null, dewPointMargin: null },
    dustSensitive: true,
    ...rest,
  }
}

/** Climate of [start minute, air °C] steps with a dry dew point. */
export const makeClimate = (...steps: readonly (readonly [number, number])[]): ClimateSteps =>
  steps.map(([from, air]) => ({ from: instant(from), value: { air: celsius(air), dewPoint: celsius(-40) } }))
