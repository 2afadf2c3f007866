/** A boat as a job list defines it: formulas over her measurements, guesses until somebody measures. Data only. */
import type { MaterialUnit, Spread, Tape } from '../../../core/estimate/types.ts'
import type { Condition } from './conditions.ts'
import type { Quantity } from './types.ts'

type Only = { readonly onlyIf?: Condition | readonly Condition[] }

export interface BoatDef {
  readonly panels: readonly PanelDef[]
  readonly seams: readonly SeamDef[]
  readonly surfaces: readonly SurfaceDef[]
  readonly joints: readonly JointDef[]
  readonly timbers: readonly TimberDef[]
  readonly extras: readonly ExtraDef[]
  /** Panels come cut where this holds: then no sheets are bought, and one piece of this name weighs what they weigh. */
  readonly kit: { readonly when: Condition; readonly key: string; readonly name: string; readonly material: string } | null
}

/** Guessed by the area and the length of one piece and how much of its rectangle it fills; from these comes the width. */
export type PanelDef = Only & {
  readonly key: string
  readonly name: string
  readonly count: number
  readonly areaM2: Quantity
  readonly lengthM: Quantity
  readonly fill: number
  /** The measurement that is its thickness, mm. */
  readonly thickness: string
  readonly grain: 'along' | 'across' | 'any'
  readonly joint: 'scarf' | 'butt'
}

export type SeamDef = Only & {
  readonly key: string
  readonly name: string
  readonly lengthM: Quantity
  /** From fore to aft. */
  readonly anglesDeg: readonly number[]
  /** Radius of the fillet: so many times the thinner of these (measurements in mm). */
  readonly radius: { readonly times: number; readonly thinnerOf: readonly string[] }
  readonly tapes: readonly TapeDef[]
}
/** By the list's measurements of tape. */
export type TapeDef = Only & { readonly side: Tape['side']; readonly width: string; readonly mass: string; readonly layers: string; readonly overlapMm: number }

/** Counts and glass are a number, or the measurement that says it. */
export type Of = number | string
export type SurfaceDef = Only & {
  readonly key: string
  readonly name: string
  readonly areaM2: Quantity
  readonly cloth?: Only & { readonly mass: Of; readonly layers: Of; readonly lap?: { readonly width: string; readonly along: Quantity }; readonly trimShare: Spread }
  readonly fillCoats?: Only & { readonly coats: Of }
  readonly sealCoats?: Only & { readonly coats: Of; readonly plus?: number }
  readonly topUpCoats?: Of
  readonly paints?: readonly (Only & { readonly material: string; readonly coats: Of; readonly solids: number; readonly filmUm: number; readonly dryDensity: number })[]
  readonly fairedShare?: number
  readonly isSanded?: boolean
}

export type JointDef = Only & { readonly key: string; readonly name: string; readonly areaM2: Quantity }

export type TimberDef = Only & {
  readonly key: string
  readonly name: string
  readonly lengthM: Quantity
  readonly widthMm: number
  readonly thicknessMm: number
  readonly density: number
}

export type ExtraDef = Only & {
  readonly key: string
  readonly name: string
  readonly material: string
  readonly unit: MaterialUnit
  readonly per: Spread
  readonly of: Quantity
  readonly ofUnit: 'm' | 'm²' | 'boat' | 'piece'
  readonly kgEach: number
  readonly source: string
  readonly isConsumed: boolean
}
