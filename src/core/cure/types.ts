import type { Celsius, Instant, Minutes } from '../units/index.ts'

/** The stages in which a film is told apart, in the order in which a good product reaches them. */
export const CURE_STAGES = ['workable', 'dustFree', 'opens', 'closes', 'sandable', 'handleable', 'fullCure'] as const
/** `workable`: until when the film may be worked; `opens`/`closes`: recoat window; the rest: from when. */
export type CureStage = (typeof CURE_STAGES)[number]

/** Limits on starting an application or another task; null: no limit. */
export interface ConditionGate {
  readonly minAir: Celsius | null
  readonly maxAir: Celsius | null
  /** Relative humidity in %, 0-100, at most. */
  readonly maxHumidity: number | null
  /** Surface at least this many °C above dew point; surface = air + Place.surfaceOffset. */
  readonly dewPointMargin: number | null
}

/** What the data sheet says, at `referenceTemp`. An absent stage is null ("closes: never"). */
export interface CureProduct {
  readonly id: string
  readonly referenceTemp: Celsius
  /** Minutes at the reference temperature, counted from the END of application for dustFree, opens, sandable,
   *  handleable, fullCure and from its START for workable and closes. */
  readonly stages: Readonly<Record<CureStage, Minutes | null>>
  /** Activation energies of the film in kJ/mol, low <= high; sources conflict, so a range (default 18 to 55). */
  readonly filmEnergyLow: number
  readonly filmEnergyHigh: number
  /** Activation energy for the pot, kJ/mol. */
  readonly potEnergy: number
  /** Closing never later than this many clock minutes after the start of application, however cold; null: no cap. */
  readonly closesCap: Minutes | null
  /** At air temperatures below this, curing earns nothing towards the "from when" stages. */
  readonly cureFloor: Celsius
  readonly gate: ConditionGate
  /** True for films that dust spoils until dust-free (coats); false for glue lines under clamps. */
  readonly dustSensitive: boolean
}

/** A person's finding (thumbnail or tape test) replaces the computed instant of a stage; the computed one is kept. */
export interface StageOverride { readonly stage: CureStage; readonly at: Instant }

/** Instants of each stage of one applied coat; null: the product has no such stage, or it is not reached in the profile. */
export type StageTimes = Readonly<Record<CureStage, Instant | null>>
