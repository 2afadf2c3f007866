/** From panels to the rectangles that are sawn out of one kind of sheet. */
import { splitPanel, splitRules, type Split } from '../../../core/estimate/panels.ts'
import type { Panel } from '../../../core/estimate/types.ts'
import type { Part, Stock } from './sheet.ts'
import type { CutPart, Cut, Cutting, PanelJoint } from './types.ts'

/** What a rectangle is cut for. */
export type PartAbout = Pick<CutPart, 'panelKey' | 'name' | 'copy' | 'piece' | 'isStrap' | 'lengthMm' | 'widthMm' | 'grain'>
export interface ToCut {
  readonly parts: readonly Part[]
  readonly about: ReadonlyMap<string, PartAbout>
  readonly joints: readonly PanelJoint[]
}

export function partsOf(panels: readonly Panel[], stock: Stock, cutting: Cutting, cut: Cut): ToCut {
  const parts: Part[] = []
  const about = new Map<string, PartAbout>()
  const joints: PanelJoint[] = []
  for (const panel of panels) {
    const { split, isTurned } = bestSplit(panel, stock, cutting, cut)
    const pieces = [
      ...split.pieces.map((p, i) => ({ ...p, piece: split.pieces.length === 1 ? null : { at: i + 1, of: split.pieces.length }, isStrap: false })),
      ...split.straps.map((s, i) => ({ ...s, piece: split.straps.length === 1 ? null : { at: i + 1, of: split.straps.length }, isStrap: true })),
    ]
    for (let copy = 1; copy <= panel.count; copy++) {
      for (const { lengthMm, widthMm, piece, isStrap } of pieces) {
        const id = String(parts.length).padStart(4, '0')
        const [length, width] = [whole(lengthMm), whole(widthMm)]
        parts.push({ id, lengthMm: isTurned ? width : length, widthMm: isTurned ? length : width, mayTurn: panel.grain === 'any' })
        about.set(id, {
          panelKey: panel.key, name: panel.name, copy: panel.count === 1 ? null : { at: copy, of: panel.count }, piece, isStrap, lengthMm: length, widthMm: width, grain: panel.grain,
        })
      }
    }
    if (split.pieces.length > 1) {
      const count = (split.columns - 1) * split.rows + (split.rows - 1) * split.columns
      joints.push({ panelKey: panel.key, name: panel.name, count: panel.count, joint: panel.joint, joints: count, allowanceMm: split.allowanceMm, isWide: split.rows > 1 })
    }
  }
  return { parts, about, joints }
}

/** To the next whole mm; the hair's breadth is for sums of decimals. */
const whole = (mm: number): number => Math.max(1, Math.ceil(mm - 1e-6))

/** The panel's length along the sheet or across it, as its grain wants; where it wants nothing, the way with fewer pieces. */
function bestSplit(panel: Panel, { lengthMm, widthMm, trimMm }: Stock, { scarfSlope }: Cutting, cut: Cut): { split: Split; isTurned: boolean } {
  const room = { along: lengthMm - 2 * trimMm, across: widthMm - 2 * trimMm }
  const size = { lengthMm: panel.lengthMm.value, widthMm: panel.widthMm.value, thicknessMm: panel.ply.thicknessMm, joint: panel.joint }
  const way = (isTurned: boolean) => ({ split: splitPanel(size, isTurned ? { along: room.across, across: room.along } : room, { ...splitRules, scarfSlope, cut }), isTurned })
  if (panel.grain !== 'any') return way(panel.grain === 'across')
  const [along, across] = [way(false), way(true)]
  return across.split.pieces.length < along.split.pieces.length ? across : along
}
