/** How a boat's panels and cloths are cut out of what is bought. Lengths in mm. */
import type { ClothCut, SplitRules } from '../../../core/estimate/panels.ts'
import type { Panel, Ply } from '../../../core/estimate/types.ts'

/** From an item of the stores, or null: the usual size. */
export interface SheetSource {
  readonly lengthMm: number
  readonly widthMm: number
  readonly item: { readonly id: string; readonly name: string } | null
}
export interface RollSource {
  readonly widthMm: number
  readonly item: { readonly id: string; readonly name: string } | null
}
/** By the material's name in the estimate. */
export interface Sizes {
  readonly sheets: ReadonlyMap<string, SheetSource>
  readonly rolls: ReadonlyMap<string, RollSource>
}

/** How it is sawn and joined. */
export interface Cutting {
  readonly kerfMm: number
  readonly trimMm: number
  /** Length of a scarf over the thickness. */
  readonly scarfSlope: number
}

export interface Rect {
  readonly x: number
  readonly y: number
  /** Along the sheet's length. */
  readonly alongMm: number
  readonly acrossMm: number
}

/** One part to saw, on its sheet. */
export interface CutPart extends Rect {
  /** What the drawing calls it: 1, 2, … over all sheets of a ply. */
  readonly number: number
  readonly panelKey: string
  readonly name: string
  /** Which of the equal panels, which of its pieces; null where there is one. */
  readonly copy: { readonly at: number; readonly of: number } | null
  readonly piece: { readonly at: number; readonly of: number } | null
  readonly isStrap: boolean
  /** The rectangle that bounds it, the panel's own way. */
  readonly lengthMm: number
  readonly widthMm: number
  readonly sheet: number
  /** How the face grain lies on the part: along its length, across it; any: nobody asks. */
  readonly grain: Panel['grain']
}

export interface SheetLayout {
  readonly number: number
  readonly parts: readonly CutPart[]
  /** The largest rectangles left over, each of its own wood. */
  readonly offcuts: readonly Rect[]
  readonly usedShare: number
}

/** How a panel that is larger than a sheet is put together. */
export interface PanelJoint {
  readonly panelKey: string
  readonly name: string
  readonly count: number
  readonly joint: 'scarf' | 'butt'
  /** Joints in each. */
  readonly joints: number
  /** A scarf's overlap or a strap's length. */
  readonly allowanceMm: number
  readonly isWide: boolean
}

export interface PlyLayout {
  /** As the estimate's line is about it: 'ply-okoume-6'. */
  readonly part: string
  readonly ply: Ply
  readonly material: string
  readonly source: SheetSource
  /** The item's own size was too small to cut from. */
  readonly isSizeLeftOut: boolean
  readonly sheets: readonly SheetLayout[]
  /** True area of the panels, and the same in sheets, not rounded. */
  readonly areaM2: number
  readonly byArea: number
  /** No layout of these rectangles needs fewer. */
  readonly fewest: number
  readonly joints: readonly PanelJoint[]
}

export interface ClothLayout {
  readonly surfaceKey: string
  readonly name: string
  readonly material: string
  readonly arealMass: number
  readonly layers: number
  readonly roll: RollSource
  /** What it lies on, by the panels of that name; null: only its area is known. */
  readonly face: { readonly lengthMm: number; readonly girthMm: number } | null
  /** Of one layer. */
  readonly cut: ClothCut | null
  readonly other: ClothCut | null
  /** Off the roll, all layers. */
  readonly totalMm: number
}

export interface LayoutModel {
  readonly cutting: Cutting
  readonly plies: readonly PlyLayout[]
  readonly cloths: readonly ClothLayout[]
  /** Sheets by the estimate's part ('ply-okoume-6'). */
  readonly counts: ReadonlyMap<string, number>
  readonly sheets: number
  /** Her panels come cut. */
  readonly isKit: boolean
}

export type Cut = SplitRules['cut']
