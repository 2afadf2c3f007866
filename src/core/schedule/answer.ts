/** What the planner answers. Pages turn reasons into sentences; core gives facts and ids. */
import type { CureStage } from '../cure/types.ts'
import type { Instant, Minutes } from '../units/index.ts'

export interface Plan {
  readonly pieces: readonly Piece[]
  readonly builds: readonly BuildOutcome[]
  readonly missed: readonly MissedWindow[]
  readonly met: readonly MetWindow[]
  readonly unplanned: readonly Unplanned[]
  readonly dropped: readonly DroppedPiece[]
  /** How each need of material is served; in order of task, material, and structural first. */
  readonly needs: readonly NeedOutcome[]
  readonly score: Score
  /** 'optimal': proved best; 'infeasible': some task provably can't be placed in any plan. */
  readonly status: 'optimal' | 'feasible' | 'infeasible'
  /** Schedules generated: n start assignments made or undone count as one. */
  readonly schedules: number
}

export interface Piece {
  /** `${taskId}/${n}`, n from 1 in order of start. */
  readonly id: string
  /** The task, or the wash of a missed window. */
  readonly taskId: string
  readonly buildId: string
  readonly start: Instant
  readonly end: Instant
  /** Sorted ids. */
  readonly people: readonly string[]
  readonly supervisor: string | null
  readonly placeId: string | null
  readonly fixed: 'pinned' | 'frozen' | 'under-way' | null
  /** Lies in presence that is only assumed from the weekly rhythm. */
  readonly projected: boolean
  readonly binding: Binding
  /** Elapsed minutes the piece may slip, everything else in its plan order, without moving its build's launch. */
  readonly float: Minutes
  /** ... without moving any other piece. */
  readonly freeFloat: Minutes
}

/** Why a piece is not earlier. `taskId` names what it waits behind. */
export type Binding =
  | { readonly kind: 'now' }
  | { readonly kind: 'release'; readonly at: Instant }
  | { readonly kind: 'fixed' }
  /** Also of a start kept back by the maximum lag of what follows: the link then leads from it to `taskId`. */
  | { readonly kind: 'link'; readonly linkId: string; readonly taskId: string; readonly at: Instant }
  | { readonly kind: 'cure'; readonly linkId: string; readonly taskId: string; readonly stage: CureStage; readonly at: Instant }
  /**
   * Of a coat: it waits for the window on `taskId` to open. `heldBack`: the coat `taskId` was put later on purpose so that the next one meets
   * this window; that is also the reason of the held-back coat itself, `taskId` then being its own and the link leading from it.
   */
  | {
    readonly kind: 'window'
    readonly linkId: string
    readonly taskId: string
    readonly opens: Instant
    readonly closes: Instant | null
    readonly heldBack: boolean
  }
  | { readonly kind: 'nobody-here'; readonly until: Instant }
  | { readonly kind: 'hands'; readonly need: number; /** the task that keeps somebody busy, or null: not enough people come */ readonly taskId: string | null }
  | { readonly kind: 'competence'; readonly competenceId: string }
  | { readonly kind: 'resource'; readonly resourceId: string; /** the task or hold that has it; null: not there yet */ readonly taskId: string | null; readonly until: Instant | null }
  | { readonly kind: 'place'; readonly placeId: string; readonly until: Instant }
  | { readonly kind: 'dust'; readonly placeId: string; readonly taskId: string | null; /** true: this coat waits for dust; false: this dusty task waits for a film */ readonly settling: boolean }
  | { readonly kind: 'gate'; readonly placeId: string; readonly limit: 'cold' | 'hot' | 'humid' | 'dew' }
  | { readonly kind: 'stretch'; /** no earlier stretch of presence is long enough */ readonly minutes: Minutes }
  /** Not covered before `at`: `short` of it is taken as ordered now (thousandths of the unit); 0: it waits for what is under way. */
  | { readonly kind: 'material'; readonly materialId: string; readonly short: number; readonly at: Instant }
  | { readonly kind: 'choice' }

export interface BuildOutcome {
  readonly buildId: string
  /** Null when paused, or when something before the launch can't be planned. */
  readonly launch: Instant | null
  /** No plan launches her before (valid bound); null when paused or unplannable. */
  readonly lowerBound: Instant | null
  /** Minutes beyond the launch target, 0 if none. */
  readonly late: Minutes
  /** Pieces from the launch back to the first, each kept by its binding; earliest first. */
  readonly chain: readonly string[]
}

export interface MetWindow { readonly linkId: string; readonly opens: Instant; readonly closes: Instant | null }
export interface MissedWindow {
  readonly linkId: string
  readonly opens: Instant | null
  readonly closes: Instant | null
  /** 'no-window': opens is not before closes; 'chosen': missing it launches earlier by the objective; 'fact': already missed. */
  readonly why: 'no-window' | 'chosen' | 'fact'
  readonly washTaskId: string
}

export interface Unplanned { readonly taskId: string; readonly reason: UnplannedReason }
export type UnplannedReason =
  | { readonly kind: 'no-stretch'; readonly need: Minutes; readonly longest: Minutes }
  | { readonly kind: 'hands'; readonly need: number; readonly most: number }
  | { readonly kind: 'competence'; readonly competenceId: string }
  | { readonly kind: 'resource'; readonly resourceId: string; readonly need: number; readonly most: number }
  | { readonly kind: 'gate'; readonly limit: 'cold' | 'hot' | 'humid' | 'dew' }
  | { readonly kind: 'place' }
  | { readonly kind: 'stage'; readonly linkId: string; readonly stage: CureStage }
  | { readonly kind: 'window'; readonly linkId: string }
  | { readonly kind: 'lag'; readonly linkId: string }
  | { readonly kind: 'held'; readonly resourceId: string; readonly holdId: string }
  | { readonly kind: 'before'; readonly taskId: string }
  /** Not covered before `at`, after which it can't be done within the planned time. */
  | { readonly kind: 'material'; readonly materialId: string; readonly at: Instant }
  | { readonly kind: 'horizon' }
  | { readonly kind: 'demand-exceeds-capacity'; readonly resourceId: string }
  | { readonly kind: 'circle'; readonly taskIds: readonly string[] }

/** One need of material of one task, and how it is served. Amounts in thousandths of the item's unit. */
export interface NeedOutcome {
  readonly taskId: string
  readonly materialId: string
  readonly amount: number
  readonly structural: boolean
  /** Start of the task in the plan that has all material free; null: that plan leaves it out. */
  readonly wanted: Instant | null
  /** When the last of what serves it is here; not after now: all of it is on hand. */
  readonly covered: Instant
  /** What is taken as ordered now, ... */
  readonly short: number
  /** ... and when it would be here; null: nothing is short. */
  readonly shortArrives: Instant | null
}

export interface DroppedPiece { readonly taskId: string; readonly start: Instant; readonly why: 'pinned' | 'frozen' | 'under-way'; readonly fault: Fault }

/** Compared field by field, in this order; smaller is better. */
export interface Score {
  readonly unplanned: number
  /** Sum of priority * minutes late. */
  readonly lateness: number
  /** Sum of priority * (launch - now), a missed window adding priority * missedWindowCost. A build without a launch counts its horizon. */
  readonly launches: number
  /** Pieces of the previous plan (by task and order) that start on another local day, plus those gone. */
  readonly moves: number
  /** Pieces beyond the first of each task. */
  readonly brokenUp: number
}

/** One broken rule of a plan, found by `check`. */
export interface Fault { readonly rule: string; readonly pieceId: string | null; readonly text: string }

/** The plan, and how much of the budget it may use. Steps, not milliseconds: a slow machine gives the same plan. */
export interface Budget {
  readonly seed: number
  readonly maxSchedules: number
  /**
   * Asked now and then; true stops the search with the best so far. The caller adds time limits here. `share`: so much of the time may be
   * used by now (0.5 in the first of two searches, else 1).
   */
  readonly stop?: (share: number) => boolean
  /** Where material has to be waited for, the second search tells its own anew. */
  readonly onBetter?: (score: Score) => void
}
