/** The panel that a sheet is about, as a strip between two frames. Pure. */
import { panelOf, personLoad, stripDeflection, type Skin } from '../../../core/estimate/index.ts'
import type { Coefficients, Panel, Skill, Surface } from '../../../core/estimate/types.ts'
import type { PanelResult } from './model.ts'

/** A strip as wide as a foot and what is stiff beside it; of our own, for comparing only. */
const STRIP_MM = 300

type Asked = {
  /** All panels, those too that come in a kit. */
  readonly panels: readonly Panel[]
  readonly surfaces: readonly Surface[]
  readonly coefficients: Coefficients
  readonly skill: Skill
  readonly spanMm: number
  /** What the sheet varies. */
  readonly varied: readonly string[]
}

/** The bottom, or the sides where the sheet varies only theirs; null: the boat has no such panel. */
export function panelResult({ panels, surfaces, coefficients, skill, spanMm, varied }: Asked): PanelResult | null {
  const isSides = varied.includes('plySides') && !varied.some((key) => BOTTOM.has(key))
  const panel = panels.find((p) => p.key === (isSides ? 'side' : 'bottom'))
  if (!panel || !(spanMm > 0)) return null
  const glassFraction = Math.min(0.8, Math.max(0.2, coefficients.glassFraction[skill].likely))
  const skin = (key: string): Skin | null => skinOf(surfaces.find((s) => s.key === key), glassFraction)
  const figures = panelOf({ ply: panel.ply, outside: skin(isSides ? 'sides' : 'bottom'), inside: isSides ? null : skin('inside-bottom') })
  return {
    name: panel.name, thicknessMm: figures.thicknessMm, kgPerM2: figures.kgPerM2,
    // N·mm² for a millimetre of width are thousandths of N·m² for a metre.
    along: figures.eiAlong / 1000, across: figures.eiAcross / 1000,
    spanMm, deflectionMm: stripDeflection({ ei: figures.eiAlong, spanMm, widthMm: STRIP_MM, loadN: personLoad(), ends: 'clamped' }),
  }
}

const BOTTOM = new Set(['plyBottom', 'clothWeight', 'clothLayers', 'clothInside'])

const skinOf = (surface: Surface | undefined, glassFraction: number): Skin | null =>
  surface?.cloth && surface.cloth.arealMass > 0 ? { arealMass: surface.cloth.arealMass, layers: surface.cloth.layers, glassFraction } : null
