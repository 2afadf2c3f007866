/** The buying layout of a boat: what is cut from which sheet, and how long the cloths are. */
import { plyMaterial, plyPart } from '../../../core/estimate/index.ts'
import type { Boat, Panel } from '../../../core/estimate/types.ts'
import { clothsOf } from './cloth.ts'
import { nest, type Layout } from './nest.ts'
import { offcutsOf } from './offcuts.ts'
import { partsOf, type ToCut } from './parts.ts'
import type { Placed, Stock } from './sheet.ts'
import type { Cutting, CutPart, LayoutModel, PlyLayout, SheetLayout, SheetSource, Sizes } from './types.ts'

const USUAL_SHEET: SheetSource = { lengthMm: 2440, widthMm: 1220, item: null }
export const CUTTING: Cutting = { kerfMm: 4, trimMm: 0, scarfSlope: 8 }
/** A sheet of less can't be what panels are cut from. */
const SMALLEST_SHEET_MM = 400

/**
 * @param boat her panels and faces; `panels` are all of hers, those too that come in a kit.
 * @param sizes of sheets and rolls by the material's name; what is missing has the usual size.
 */
export function layoutOf({ boat, panels }: { boat: Pick<Boat, 'panels' | 'surfaces'>; panels: readonly Panel[] }, sizes: Sizes, cutting: Cutting = CUTTING): LayoutModel {
  const groups = new Map<string, Panel[]>()
  for (const panel of boat.panels) {
    if (panel.count < 1) continue
    const part = plyPart(panel.ply.species, panel.ply.thicknessMm)
    groups.set(part, [...(groups.get(part) ?? []), panel])
  }
  const plies = [...groups].map(([part, group]) => plyLayout(part, group, sizes, cutting))
  return {
    cutting, plies, cloths: clothsOf(boat.surfaces, panels, sizes.rolls),
    counts: new Map(plies.map((p) => [p.part, p.sheets.length])),
    sheets: plies.reduce((sum, p) => sum + p.sheets.length, 0),
    isKit: boat.panels.length === 0 && panels.length > 0,
  }
}

function plyLayout(part: string, panels: readonly Panel[], sizes: Sizes, cutting: Cutting): PlyLayout {
  const { ply } = panels[0]!
  const material = plyMaterial(ply.species, ply.thicknessMm)
  const wanted = sizes.sheets.get(material) ?? USUAL_SHEET
  const isSizeLeftOut = Math.min(wanted.lengthMm, wanted.widthMm) < SMALLEST_SHEET_MM
  const source = isSizeLeftOut ? USUAL_SHEET : wanted
  const stock: Stock = { lengthMm: source.lengthMm, widthMm: source.widthMm, kerfMm: cutting.kerfMm, trimMm: cutting.trimMm }
  const { toCut, layout } = fewest(panels, stock, cutting)
  const areaM2 = panels.reduce((sum, p) => sum + p.areaM2.value * p.count, 0)
  let number = 0
  const sheets = layout.sheets.map((placed, i): SheetLayout => {
    const parts = [...placed].sort((a, b) => a.y - b.y || a.x - b.x).map((p) => cutPart(p, toCut, ++number, i + 1))
    const used = parts.reduce((sum, p) => sum + p.alongMm * p.acrossMm, 0)
    return { number: i + 1, parts, offcuts: offcutsOf(parts, stock), usedShare: used / (stock.lengthMm * stock.widthMm) }
  })
  return {
    part, ply, material, source, isSizeLeftOut, sheets, areaM2, byArea: (areaM2 * 1e6) / (stock.lengthMm * stock.widthMm), fewest: layout.bound.strong, joints: toCut.joints,
  }
}

/** Long panels in whole sheets and a rest, or in equal pieces: what takes fewer sheets, the former where both take the same. */
function fewest(panels: readonly Panel[], stock: Stock, cutting: Cutting): { toCut: ToCut; layout: Layout } {
  const full = partsOf(panels, stock, cutting, 'full')
  const first = { toCut: full, layout: nest(full.parts, stock) }
  if (full.joints.length === 0 || first.layout.sheets.length <= 1) return first
  const equal = partsOf(panels, stock, cutting, 'equal')
  const second = { toCut: equal, layout: nest(equal.parts, stock, { enough: first.layout.sheets.length }) }
  return second.layout.sheets.length < first.layout.sheets.length ? second : first
}

function cutPart({ part, x, y, isTurned }: Placed, { about }: ToCut, number: number, sheet: number): CutPart {
  const [alongMm, acrossMm] = isTurned ? [part.widthMm, part.lengthMm] : [part.lengthMm, part.widthMm]
  return { ...about.get(part.id)!, number, sheet, x, y, alongMm, acrossMm }
}
