/** Shapes that planning stores and shows. Times are instants (whole minutes since 1970-01-01T00:00Z), ids are row ids. */
import type { Binding, Fault, UnplannedReason } from '../../core/schedule/answer.ts'
import type { ProblemRefusal } from '../../core/schedule/index.ts'
import type { CureStage } from '../../core/cure/types.ts'

/** Names of everything that a sentence may be about; an id that is gone since is simply not in it. */
export type NameBook = {
  readonly builds: ReadonlyMap<string, string>
  readonly tasks: ReadonlyMap<string, { readonly name: string; readonly buildId: string }>
  readonly links: ReadonlyMap<string, { readonly from: string; readonly to: string; readonly kind: string; readonly stage: CureStage | null }>
  readonly people: ReadonlyMap<string, string>
  readonly places: ReadonlyMap<string, string>
  /** Tools by id; a bay is `bay:<placeId>` and found through its place. */
  readonly tools: ReadonlyMap<string, string>
  readonly competences: ReadonlyMap<string, string>
  /** Items of the stores; unit as their rows have it: g, ml, m, m2, pcs. */
  readonly items: ReadonlyMap<string, { readonly name: string; readonly unit: string }>
}

/** Where and when one piece is meant to be. */
export type Slot = { readonly start: number; readonly end: number; readonly projected: boolean }
export type Window = { readonly opens: number; readonly closes: number | null }
export type FixedWhy = 'pinned' | 'frozen' | 'under-way'

/** What a reason is made from. `window` is the recoat window that this coat meets, if it meets one. */
export type Reasoned = {
  readonly taskId: string
  readonly start: number
  readonly binding: Binding
  readonly fixed: FixedWhy | null
  readonly window: Window | null
}

/** One difference between two plans. A wash is `wash:<linkId>` in `taskId`. */
export type Move =
  | ({ readonly kind: 'moved'; readonly buildId: string; readonly from: Slot; readonly to: Slot; /** pieces of this task that moved with it */ readonly others: number } & Reasoned)
  | { readonly kind: 'ends'; readonly buildId: string; readonly taskId: string; readonly start: number; readonly from: number; readonly to: number; readonly projected: boolean }
  | { readonly kind: 'people'; readonly buildId: string; readonly taskId: string; readonly start: number; readonly come: readonly string[]; readonly go: readonly string[] }
  | { readonly kind: 'place'; readonly buildId: string; readonly taskId: string; readonly start: number; readonly from: string | null; readonly to: string | null }
  | ({ readonly kind: 'planned'; readonly buildId: string; readonly to: Slot; readonly others: number; /** beside pieces it had before */ readonly more: boolean } & Reasoned)
  | { readonly kind: 'unplanned'; readonly buildId: string; readonly taskId: string; readonly from: Slot | null; readonly reason: UnplannedReason }
  | { readonly kind: 'missed'; readonly buildId: string; readonly linkId: string; readonly why: 'no-window' | 'chosen' | 'fact'; readonly opens: number | null; readonly closes: number | null }
  | { readonly kind: 'dropped'; readonly buildId: string; readonly taskId: string; readonly start: number; readonly why: FixedWhy; readonly fault: Fault }
  | { readonly kind: 'launch'; readonly buildId: string; readonly from: Slot | null; readonly to: Slot | null }

/** Something that could be done otherwise in a session that has begun; nobody's work is moved without being asked. */
export type Suggestion = {
  readonly buildId: string
  readonly taskId: string
  readonly start: number
  readonly end: number
  readonly people: readonly string[]
  readonly supervisor: string | null
  readonly placeId: string | null
  /** Where the plan has it now, if it has. */
  readonly instead: Slot | null
}

/** Why no new plan could be shown, stored with the attempt. */
export type Failed = { readonly kind: 'refused'; readonly refusals: readonly ProblemRefusal[] } | { readonly kind: 'faulty'; readonly faults: readonly Fault[] } | { readonly kind: 'broke'; readonly message: string }

export const washId = (linkId: string): string => `wash:${linkId}`
export const linkOfWash = (taskId: string): string | null => (taskId.startsWith('wash:') ? taskId.slice(5) : null)

export type StoredPiece = {
  readonly pieceId: string
  readonly buildId: string
  /** The task, or `wash:<linkId>`. */
  readonly taskId: string
  readonly start: number
  readonly end: number
  readonly people: readonly string[]
  readonly supervisor: string | null
  readonly placeId: string | null
  readonly fixed: FixedWhy | null
  readonly projected: boolean
  readonly binding: Binding
  readonly float: number
  readonly freeFloat: number
}

export type StoredBuild = {
  readonly buildId: string
  readonly launch: number | null
  readonly lowerBound: number | null
  readonly late: number
  readonly chain: readonly string[]
}

export type StoredMissed = { readonly linkId: string; readonly opens: number | null; readonly closes: number | null; readonly why: 'no-window' | 'chosen' | 'fact' }
export type StoredMet = { readonly linkId: string; readonly opens: number; readonly closes: number | null }
export type StoredUnplanned = { readonly taskId: string; readonly reason: UnplannedReason }
export type StoredDropped = { readonly taskId: string; readonly start: number; readonly why: FixedWhy; readonly fault: Fault }

/** A plan that was shown, as it is read back. */
export type StoredPlan = {
  readonly id: bigint
  readonly madeAt: number
  readonly fromAt: number
  readonly coversRequest: bigint
  readonly causes: readonly string[]
  readonly pieces: readonly StoredPiece[]
  readonly builds: readonly StoredBuild[]
  readonly unplanned: readonly StoredUnplanned[]
  readonly missed: readonly StoredMissed[]
  readonly met: readonly StoredMet[]
  readonly dropped: readonly StoredDropped[]
  readonly moves: readonly Move[]
  readonly suggestions: readonly Suggestion[]
}

/** A piece of a week as it was meant when the week began; kept as JSON with the week. Times are ISO 8601 in UTC. */
export type MeantPiece = {
  readonly taskId: string
  /** Set: the wash of this link's missed window; taskId is then the coat it is for. */
  readonly washLinkId: string | null
  readonly name: string
  readonly start: string
  readonly end: string
  readonly people: readonly string[]
  readonly placeId: string | null
}
