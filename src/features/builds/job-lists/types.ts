/**
 * A standard job list: data only, so that it can be stored, exported and edited. Work is in minutes for the boat the list
 * is calibrated for; a task says by which measurements it scales. A boat is defined by her measurements, the estimate is made of the
 * boat, and tasks take shares of its lines.
 */
import type { CureStage } from '../../../core/cure/types.ts'
import type { Figure, Line, MaterialUnit, RuleKey } from '../../../core/estimate/types.ts'
import type { Craft } from '../../../core/forecast/types.ts'
import type { Condition } from './conditions.ts'
import type { BoatDef } from './boat-def.ts'

export type Grade = 'workboat' | 'good' | 'show'
export type Range = readonly [low: number, likely: number, high: number]

/** plus + times * product of the named measurements. */
export interface Quantity { readonly times: number; readonly of: readonly string[]; readonly plus?: number }

export type MeasurementGroup = 'size' | 'areas' | 'layers' | 'coats' | 'choices'

export interface MeasurementDef {
  readonly key: string
  readonly label: string
  readonly group: MeasurementGroup
  readonly unit: 'm' | 'm2' | 'mm' | 'count' | 'g/m2' | 'choice'
  /** What a choice can be, in order. */
  readonly choices?: readonly { readonly value: number; readonly label: string }[]
  /** Value for the boat the list is calibrated for. */
  readonly calibrated: number
  readonly min: number
  readonly max: number
  /** Where 0 means "none": the least there can be otherwise. */
  readonly leastIfAny?: number
  /** How it is guessed until measured; null: must be given. */
  readonly guess: Quantity | null
  /** Guessed as the sum of these instead. */
  readonly sumOf?: readonly string[]
  /** Another default by finish grade (counts of coats). */
  readonly byGrade?: Readonly<Record<Grade, number>>
  /** Another default still, where this holds. */
  readonly unless?: { readonly when: Condition | readonly Condition[]; readonly value: number }
  /** Worked out from these panels once all of them are measured: an area. */
  readonly fromPanels?: readonly string[]
  /** Worked out from these seams once all of them are measured: a length. */
  readonly fromSeams?: readonly string[]
  /** Changing it is a change of structure: the designer is asked. */
  readonly isStructural?: boolean
  readonly help: string
}

/** Factor = 1 - share + share * product(measurement / calibrated). */
export interface ScaleRule { readonly by: readonly string[]; readonly share: number }

export interface StepDef { readonly text: string; readonly caution?: string; readonly weight?: number }
export interface ToolUse { readonly name: string; readonly count?: number; readonly heldUntil?: CureStage }

/** A share of a line of the estimate; `*` in its key stands for anything. A repeated task shares it out over its coats. */
export interface LineShare { readonly line: string; readonly share: number }

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
  /** As many tasks in a row as this measurement says (less `minus`), each linked to the one before; `{n}` in the name is the number. */
  readonly repeat?: { readonly count: string; readonly minus?: number; readonly link: Omit<LinkDef, 'from' | 'to'> }
  /** Left out unless all of these hold. */
  readonly onlyIf?: Condition | readonly Condition[]
  /** Left out where none of its lines is in the estimate: no such seam, no tape on it. */
  readonly withLines?: boolean
  readonly tools?: readonly ToolUse[]
  readonly competences?: readonly string[]
  readonly materials?: readonly LineShare[]
  readonly steps?: readonly StepDef[]
  readonly note?: string
  readonly caution?: string
  /** Kind of work, where the rest of the task doesn't tell it. */
  readonly craft?: Craft
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
  readonly boat: BoatDef
}

/** A build as it would be started: rows without ids, names still the list's own. */
export interface BuildDraft {
  readonly phases: readonly { readonly key: string; readonly name: string }[]
  readonly tasks: readonly DraftTask[]
  readonly links: readonly DraftLink[]
  readonly holds: readonly { readonly toolName: string | null; readonly amount: number; readonly fromKey: string; readonly toKey: string }[]
  readonly launchKey: string | null
  readonly figures: Readonly<Record<string, Figure>>
  readonly lines: readonly Line[]
}

/** How a task's hours came about: base × factor, factor = (1 - share + share × Π value ÷ calibrated) × grade. */
export interface HoursRule {
  readonly base: Range
  readonly factor: number
  readonly by: readonly { readonly label: string; readonly value: number; readonly calibrated: number; readonly unit: string }[]
  readonly share: number
  readonly grade: number
}

/** A share of a line, waste and all, in its unit. */
export interface DraftMaterial {
  readonly name: string
  readonly unit: MaterialUnit
  readonly low: number
  readonly likely: number
  readonly high: number
  /** How it was worked out, in words. */
  readonly rule: string
  readonly line: string
  readonly ruleKey: RuleKey
  readonly factor: number
  readonly share: number
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
  readonly craft: Craft | null
  readonly minAir: number | null
  readonly placeRole: PlaceRole
  readonly productRole: ProductRole | null
  readonly tools: readonly { readonly name: string; readonly count: number; readonly heldUntil: CureStage | null }[]
  readonly competences: readonly string[]
  readonly steps: readonly { readonly text: string; readonly caution: string; readonly weight: number }[]
  readonly materials: readonly DraftMaterial[]
  readonly hours: HoursRule
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
