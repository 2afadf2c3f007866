/** What is kept of a forecast, and what pages are told of it. Instants are whole minutes since 1970-01-01T00:00Z. */
import type { FanWeek, Step, StepPart } from '../../../../views/shared/forecast-words.ts'
import type { Attendance, CatchUp, Cause, Driver, Pace, PaceFactor, Rework, Simulation, ThreePoints } from '../../../core/forecast/types.ts'

export type { FanWeek, Step, StepPart }

/**
 * Causes of a step's parts.
 * took-longer: pace and what the week's hours made; fewer-hands: attendance and the hours of the week; rework and added: work that was not
 * there; plan: all else, such as sessions, deliveries, windows and other builds.
 */
export const STEP_CAUSES = ['took-longer', 'fewer-hands', 'rework', 'added', 'plan'] as const
export type StepCause = (typeof STEP_CAUSES)[number]

export type Drivers = {
  /** In order of the minutes that fall to them. */
  readonly phases: readonly ({ readonly name: string } & Driver)[]
  readonly causes: Readonly<Record<Cause, Driver>>
  readonly sources: Simulation['bySource']
  /** Hands-on minutes left, mean of the runs. */
  readonly meanWork: number
}

/** What would make the target the even date, and the date of four in five. */
export type CatchUps = { readonly half: CatchUp | null; readonly fourInFive: CatchUp | null }

/** What a forecast was made from, so that a later one is explained by what differs. */
export type Inputs = {
  readonly now: number
  readonly target: number | null
  readonly pace: Pace
  readonly attendance: Attendance
  readonly rework: Rework
  readonly temperatureSd: number
  /** Hands-on minutes left of each task and wash; those that mend a snag are marked. */
  readonly left: Readonly<Record<string, ThreePoints & { readonly mends?: true }>>
  /** Tasks that were finished then. */
  readonly done: readonly string[]
  /** Ends of her pieces of the next weeks, and their hands-on minutes. */
  readonly planned: readonly (readonly [end: number, minutes: number])[]
}

export type ForecastModel = {
  readonly madeAt: number
  readonly runs: number
  readonly p10: number | null
  readonly p50: number | null
  readonly p80: number | null
  readonly p90: number | null
  readonly targetOn: string | null
  /** 0 to 1; null: no target. */
  readonly targetChance: number | null
  readonly step: Step | null
  readonly drivers: Drivers
  readonly catchUp: CatchUps
  readonly pace: readonly PaceFactor[]
  readonly attendance: Attendance
  /** The last forecast of each past week and the newest of this one, oldest first. */
  readonly fan: readonly FanWeek[]
}
