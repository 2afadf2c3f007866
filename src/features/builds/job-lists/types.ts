/**
 * A standard job list: data only, so that it can be stored, exported and edited. Work is in minutes for the boat the list
 * is calibrated for; a task says by which measurements it scales. Materials are per unit of a measured quantity.
 */
import type { CureStage } from '../../../core/cure/types.ts'

export type Grade = 'workboat' | 'good' | 'show'
export type Range = readonly [low: number, likely: number, high: number]

/** plus + times * product of the named measurements. */
export interface Quantity { readonly times: number; readonly of: readonly string[]; readonly plus?: number }

export interface MeasurementDef {
  readonly key: string
  readonly label: string
  readonly unit: 'm' | 'm2' | 'mm' | 'count' | 'g/m2'
  /** Value for the boat the list is calibrated for. */
  readonly calibrated: number
  readonly min: number
  readonly max: number
  /** How it is guessed until measured; null: must be given. */
  readonly guess: Quantity | null
  /** Another default by finish grade (counts of coats). */
  readonly byGrade?: Readonly<Record<Grade, number>>
  readonly help: string
}

/** Factor = 1 - share + share * product(measurement / calibrated). */
export interface ScaleRule { readonly by: readonly string[]; readonly share: number }

export interface StepDef { readonly text: string; readonly caution?: string; readonly weight?: number }
export interface ToolUse { readonly name: string; readonly count?: number; readonly heldUntil?: CureStage }
export interface MaterialRule { readonly name: string; readonly unit: 'g' | 'm' | 'm2' | 'ml' | 'pcs'; readonly per: Range; readonly of: Quantity; readonly rule: string }

/** Where it is done: where the boat stands, at the bench, in the paint tent, or anywhere its people are. */
export type PlaceRole = 'boat' | 'bench' | 'tent' | 'anywhere'
export type ProductRole = 'epoxy' | 'glue' | 'fairing' | 'primer' | 'topcoat' | 'varnish'

export interface TaskDef {
  readonly key: string
  readonly phase: string
  readonly name: string
  readonly kind: 'shared' | 'together' | 'unattended'
  /** Person-minutes (shared) or elapsed minutes (together, unattended). */
  readonly work: Range
  readonly hands?: readonly [from: number, to: number]
  /** Smallest piece in minutes; absent: in one go. */
  readonly smallest?: number
  readonly setUp?: number
  readonly clearUp?: number
  readonly place: PlaceRole
  readonly product?: ProductRole
  readonly dusty?: boolean
  readonly minAir?: number
  readonly scale?: ScaleRule
  readonly grade?: Readonly<Record<Grade, number>>
  /** As many tasks in a row as this measurement says, each linked to the one before; `{n}` in the name is the number. */
  readonly repeat?: { readonly count: string; readonly link: Omit<LinkDef, 'from' | 'to'> }
  /** Left out unless the measurement is at least this. */
  readonly onlyIf?: { readonly measurement: string; readonly atLeast: number }
  readonly tools?: readonly ToolUse[]
  readonly competences?: readonly string[]
  readonly materials?: readonly MaterialRule[]
  readonly steps?: readonly StepDef[]
  readonly note?: string
  readonly caution?: string
  /** Its finish is the launch. */
  readonly launch?: boolean
}

/** Into a repeated task a link goes to its first, out of it from its last. */
export type LinkDef = { readonly from: string; readonly to: string } & (
  | { readonly kind: 'finish'; readonly lag?: number }
  | { readonly kind: 'stage'; readonly stage: CureStage }
  | { readonly kind: 'window'; readonly wash: number | null; readonly washScale?: ScaleRule }
  | { readonly kind: 'lag'; readonly edge: 'start' | 'finish'; readonly min?: number; readonly max?: number }
)

/** tool null: a bay where the boat stands. */
export interface HoldDef { readonly tool: string | null; readonly amount?: number; readonly from: string; readonly to: string }

export interface JobList {
  readonly key: string
  readonly version: number
  readonly name: string
  readonly about: string
  readonly calibratedFor: string
  readonly measurements: readonly MeasurementDef[]
  readonly phases: readonly { readonly key: string; readonly name: string }[]
  readonly tasks: readonly TaskDef[]
  readonly links: readonly LinkDef[]
  readonly holds: readonly HoldDef[]
}

/** A build as it would be started: rows without ids, names still the list's own. */
export interface BuildDraft {
  readonly phases: readonly { readonly key: string; readonly name: string }[]
  readonly tasks: readonly DraftTask[]
  readonly links: readonly DraftLink[]
  readonly holds: readonly { readonly toolName: string | null; readonly amount: number; readonly fromKey: string; readonly toKey: string }[]
  readonly launchKey: string | null
}
export interface DraftTask {
  readonly listKey: string
  readonly phase: string
  readonly name: string
  readonly note: string
  readonly caution: string
  readonly kind: 'shared' | 'together' | 'unattended'
  readonly workLowMin: number
  readonly workLikelyMin: number
  readonly workHighMin: number
  readonly handsFrom: number
  readonly handsTo: number
  readonly smallestMin: number | null
  readonly setUpMin: number
  readonly clearUpMin: number
  readonly dusty: boolean
  readonly minAir: number | null
  readonly placeRole: PlaceRole
  readonly productRole: ProductRole | null
  readonly tools: readonly { readonly name: string; readonly count: number; readonly heldUntil: CureStage | null }[]
  readonly competences: readonly string[]
  readonly steps: readonly { readonly text: string; readonly caution: string; readonly weight: number }[]
  readonly materials: readonly { readonly name: string; readonly unit: string; readonly low: number; readonly likely: number; readonly high: number; readonly rule: string }[]
}
export interface DraftLink {
  readonly fromKey: string
  readonly toKey: string
  readonly kind: 'finish' | 'lag' | 'stage' | 'window'
  readonly lagMin: number
  readonly edge: 'start' | 'finish'
  readonly minLagMin: number | null
  readonly maxLagMin: number | null
  readonly stage: CureStage | null
  readonly washMin: number | null
}
