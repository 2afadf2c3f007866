import { ISO_GLASS_DENSITY, ISO_RESIN_DENSITY, laminateThickness } from './laminate.ts'
import { layUpOf, plyMass, type LayUp } from './ply.ts'
import type { Ply } from './types.ts'

/** Glass in epoxy on one face: g/m² of dry glass in each layer, and glass mass / laminate mass. */
export interface Skin {
  readonly arealMass: number
  readonly layers: number
  readonly glassFraction: number
}

/** One layer of a section, from one face to the other. */
export interface SectionLayer {
  readonly thicknessMm: number
  /** N/mm² in the direction looked at. */
  readonly e: number
}

/** What a panel comes to; stiffness along the face grain and across it, N·mm² for each mm of width. */
export interface PanelFigures {
  readonly kgPerM2: number
  readonly eiAlong: number
  readonly eiAcross: number
  readonly thicknessMm: number
}

/** Below this the modulus formula runs towards nothing, above it no hand-laid glass is wetted. */
const GLASS_FRACTION_MIN = 0.2
const GLASS_FRACTION_MAX = 0.8

function checked(glassFraction: number): number {
  if (!(glassFraction >= GLASS_FRACTION_MIN && glassFraction <= GLASS_FRACTION_MAX)) {
    throw new RangeError(`a glass fraction is between ${GLASS_FRACTION_MIN} and ${GLASS_FRACTION_MAX}, got ${glassFraction}`)
  }
  return glassFraction
}

/**
 * Modulus of hand-laid E-glass, N/mm²: 38000ψ − 5000 for mat and woven, 46600ψ² + 7200ψ + 7250 for one direction; × 0.8 at the lowest
 * level of evaluation. ψ: glass mass / laminate mass. Source: ISO 12215-5 Table C.4 a), second-hand; for E-glass and polyester.
 * @throws RangeError where ψ is outside 0.2 to 0.8.
 */
export function laminateModulus(glassFraction: number, { weave = 'woven', isLowestLevel = false }: { weave?: 'woven' | 'one direction'; isLowestLevel?: boolean } = {}): number {
  const psi = checked(glassFraction)
  const e = weave === 'woven' ? 38_000 * psi - 5000 : 46_600 * psi ** 2 + 7200 * psi + 7250
  return isLowestLevel ? 0.8 * e : e
}

/** Rule of mixtures, fibres in line with the pull: E1 = Ef·Vf + Em·(1 − Vf). Any one unit; vf: share of the volume. */
export const alongFibres = (ef: number, em: number, vf: number): number => ef * vf + em * (1 - vf)

/** Rule of mixtures, fibres across the pull (equal stress): 1/E2 = Vf/Ef + (1 − Vf)/Em. */
export const acrossFibres = (ef: number, em: number, vf: number): number => 1 / (vf / ef + (1 - vf) / em)

/** Share of glass by volume: Vf = (ψ/ρf)/(ψ/ρf + (1−ψ)/ρm), densities in g/cm³. */
export function glassVolumeShare(glassFraction: number, glassDensity = ISO_GLASS_DENSITY, resinDensity = ISO_RESIN_DENSITY): number {
  const [glass, resin] = [glassFraction / glassDensity, (1 - glassFraction) / resinDensity]
  return glass / (glass + resin)
}

/** mm of a skin, all layers (ISO 12215-5:2008 Eq. C.1, second-hand). */
export const skinThickness = ({ arealMass, layers, glassFraction }: Skin): number => laminateThickness((arealMass * layers) / 1000, checked(glassFraction))

/** kg/m² of a skin: glass and the resin in it, w/ψ. */
export const skinMass = ({ arealMass, layers, glassFraction }: Skin): number => (arealMass * layers) / 1000 / checked(glassFraction)

/**
 * Bending stiffness by transformed section, N·mm² for each mm of width: neutral axis z̄ = ΣEtz/ΣEt from the first face, EI = ΣE·(t³/12 + t·(z − z̄)²).
 * Layers of no modulus only hold their neighbours apart.
 * @throws RangeError where nothing in it is stiff.
 */
export function transformedSection(layers: readonly SectionLayer[]): { ei: number; neutralMm: number; thicknessMm: number } {
  let [thicknessMm, et, etz] = [0, 0, 0]
  const placed = layers.map((l) => {
    const z = thicknessMm + l.thicknessMm / 2
    thicknessMm += l.thicknessMm
    et += l.e * l.thicknessMm
    etz += l.e * l.thicknessMm * z
    return { ...l, z }
  })
  if (!(et > 0)) throw new RangeError('a section needs a layer with a modulus')
  const neutralMm = etz / et
  const ei = placed.reduce((sum, l) => sum + l.e * (l.thicknessMm ** 3 / 12 + l.thicknessMm * (l.z - neutralMm) ** 2), 0)
  return { ei, neutralMm, thicknessMm }
}

const isLaid = (skin: Skin | null): skin is Skin => skin !== null && skin.arealMass > 0 && skin.layers > 0
const skinLayer = (skin: Skin | null): SectionLayer[] => (isLaid(skin) ? [{ thicknessMm: skinThickness(skin), e: laminateModulus(skin.glassFraction) }] : [])

/** The layers of a panel from its inside face to its outside, in one direction. */
export function sectionOf(layUp: LayUp, inside: Skin | null, outside: Skin | null, direction: 'along' | 'across'): SectionLayer[] {
  const core = layUp.veneers.map((v) => ({ thicknessMm: v.thicknessMm, e: v.isAlong === (direction === 'along') ? layUp.alongGrain : layUp.acrossGrain }))
  return [...skinLayer(inside), ...core, ...skinLayer(outside)]
}

/**
 * Mass and stiffness of a ply panel with glass on either face, none, or both: a comparison of panels, not a scantling.
 * Woven glass, laid along and across the face grain, counts the same both ways; seal coats and paint are not in it.
 * @throws RangeError for a sheet without thickness or a glass fraction outside 0.2 to 0.8.
 */
export function panelOf({ ply, outside, inside, layUp = layUpOf(ply) }: { ply: Ply; outside: Skin | null; inside: Skin | null; layUp?: LayUp }): PanelFigures {
  const [along, across] = [transformedSection(sectionOf(layUp, inside, outside, 'along')), transformedSection(sectionOf(layUp, inside, outside, 'across'))]
  const glass = [inside, outside].filter(isLaid).reduce((sum, skin) => sum + skinMass(skin), 0)
  return { kgPerM2: plyMass(ply) + glass, eiAlong: along.ei, eiAcross: across.ei, thicknessMm: along.thicknessMm }
}
