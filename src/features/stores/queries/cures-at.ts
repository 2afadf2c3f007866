/** A product at steady temperatures, by the same cure clock that plans use. Pure. */
import { cureTable, stageTime } from '../../../core/cure/index.ts'
import { CURE_STAGES, type CureProduct, type CureStage } from '../../../core/cure/types.ts'
import { celsius, instant } from '../../../core/units/index.ts'

export const SHOWN_AT = [8, 12, 15, 20, 25] as const

export type CuresAt = {
  air: number
  /** Minutes after the coat; null: never at this temperature, or no figure. */
  stages: Record<CureStage, number | null>
  /** Whether a coat may be started: null, or why not. */
  gate: 'cold' | 'hot' | null
  /** Opens before it shuts. */
  hasWindow: boolean
}

/** A coat that takes no time at each temperature. Steady air, dew point out of the way. */
export function curesAt(product: CureProduct, temperatures: readonly number[] = SHOWN_AT): CuresAt[] {
  return temperatures.map((air) => {
    const climate = [{ from: instant(0), value: { air: celsius(air), dewPoint: celsius(-40) } }]
    const table = cureTable(product, climate, instant(0), instant(0))
    const stages = {} as Record<CureStage, number | null>
    for (const stage of CURE_STAGES) stages[stage] = stageTime(table, stage, instant(0), instant(0))
    const { minAir, maxAir } = product.gate
    const gate = minAir !== null && air < minAir ? 'cold' : maxAir !== null && air > maxAir ? 'hot' : null
    return { air, stages, gate, hasWindow: stages.opens !== null && (stages.closes === null || stages.opens < stages.closes) }
  })
}
