/** What people measured on a build, beside the plain measurements of its list: one document in its row, keys of the list or `own-<n>`. */
import type { Grade } from './types.ts'
import type { Skill, Tape } from '../../../core/estimate/types.ts'

export interface Geometry {
  readonly panels?: Readonly<Record<string, PanelMeasured>>
  readonly seams?: Readonly<Record<string, SeamMeasured>>
}

/** What is absent stays the list's own guess. */
export interface PanelMeasured {
  /** A panel that the list doesn't have. */
  readonly name?: string
  readonly leftOut?: boolean
  readonly count?: number
  readonly outline?: Outline
  readonly thicknessMm?: number
  readonly grain?: 'along' | 'across' | 'any'
  readonly joint?: 'scarf' | 'butt'
}
/** Of one piece. Positions run along the boat from one end, mm; at least two, rising. */
export type Outline =
  | { readonly how: 'area'; readonly areaM2: number; readonly lengthMm: number; readonly widthMm: number }
  | { readonly how: 'widths'; readonly stations: readonly { readonly atMm: number; readonly widthMm: number }[] }
  /** Half-breadths from the centre line: the piece is twice as wide. */
  | { readonly how: 'half-breadths'; readonly stations: readonly { readonly atMm: number; readonly halfMm: number }[] }

export interface SeamMeasured {
  readonly name?: string
  readonly leftOut?: boolean
  readonly lengthM?: number
  /** Inside angle at equal steps from fore to aft; one: the same all along. */
  readonly anglesDeg?: readonly number[]
  readonly radiusMm?: number
  readonly tapes?: readonly Tape[]
}

/** All that a boat's estimate and tasks are worked out from. `measured`: plain measurements by key, SI. */
export interface BoatState {
  readonly measured: Readonly<Record<string, number>>
  readonly geometry: Geometry
  readonly skill: Skill
  readonly grade: Grade
}
