/**
 * Glass and resin. ψ is glass mass ÷ laminate mass. Formulas after ISO 12215-5:2008 Annex C, known second-hand; that edition is withdrawn
 * (2019 replaced it) and its figures are for E-glass with polyester, so they compare and do not certify.
 */
import { notNegative, timesSpread } from './spread.ts'
import type { Coefficients, Skill, Spread } from './types.ts'

/** g/cm³, implied by Eq. C.1: E-glass and resin. */
export const ISO_GLASS_DENSITY = 2.56
export const ISO_RESIN_DENSITY = 1.2

/** @throws RangeError unless ψ lies between 0 and 1, both excluded. */
export function glassFraction(psi: number): number {
  if (!(psi > 0 && psi < 1)) throw new RangeError(`the glass fraction lies between 0 and 1, got ${psi}`)
  return psi
}

/**
 * Thickness in mm of `dryGlass` kg/m² at ψ: t = w·(2.56/ψ − 1.36)/3.072, which is w·(1/ρg + (1 − ψ)/(ψ·ρr)) at the densities above.
 * Source: ISO 12215-5:2008 Eq. C.1 (second-hand).
 */
export function laminateThickness(dryGlass: number, psi: number): number {
  return (notNegative(dryGlass, 'dry glass') * (2.56 / glassFraction(psi) - 1.36)) / 3.072
}

/** The same for other densities of glass and resin, g/cm³: w·(1/ρg + (1 − ψ)/(ψ·ρr)). */
export function thicknessOf(dryGlass: number, psi: number, glassDensity: number, resinDensity: number): number {
  return notNegative(dryGlass, 'dry glass') * (1 / glassDensity + (1 - glassFraction(psi)) / (psi * resinDensity))
}

export type Reinforcement = 'mat' | 'woven-roving' | 'multidirectional' | 'unidirectional'
export type LaminateType = 'simple' | 'complex' | 'vacuum'
const NOMINAL: Readonly<Record<Reinforcement, Readonly<Record<LaminateType, number>>>> = {
  'mat': { simple: 0.3, complex: 0.25, vacuum: 0.36 },
  'woven-roving': { simple: 0.48, complex: 0.36, vacuum: 0.58 },
  'multidirectional': { simple: 0.5, complex: 0.38, vacuum: 0.6 },
  'unidirectional': { simple: 0.55, complex: 0.41, vacuum: 0.66 },
}

/** ψ to reckon with where nobody measured it. Source: ISO 12215-5:2008 Table C.2 (second-hand). */
export const nominalGlassFraction = (glass: Reinforcement, type: LaminateType): number => NOMINAL[glass][type]

/** ψ of woven roving with mat; `matShare`: mat mass ÷ all glass. Source: the same Table C.2 (second-hand). @throws RangeError outside 0 to 1. */
export function combinationGlassFraction(matShare: number, type: LaminateType): number {
  if (!(matShare >= 0 && matShare <= 1)) throw new RangeError(`the share of mat lies between 0 and 1, got ${matShare}`)
  if (type === 'simple') return 0.46 - 0.18 * matShare
  return type === 'complex' ? 0.35 - 0.11 * matShare : 0.56 - 0.22 * matShare
}

/** One layer or a run of like layers: dry glass in kg/m² and its ψ. */
export interface Layer { readonly dryGlass: number; readonly glassFraction: number }

/** ψ of a stack: Σw / Σ(w/ψ). Source: mass balance; ISO 12215-5:2008 Annex C.3 (second-hand). @throws RangeError for an empty stack. */
export function stackGlassFraction(layers: readonly Layer[]): number {
  const glass = layers.reduce((sum, l) => sum + notNegative(l.dryGlass, 'dry glass'), 0)
  if (!(glass > 0)) throw new RangeError('a stack has glass in it')
  return glass / layers.reduce((sum, l) => sum + l.dryGlass / glassFraction(l.glassFraction), 0)
}

/** Thickness in mm of a stack, layer by layer: never from a rounded ψ of the whole. */
export const stackThickness = (layers: readonly Layer[]): number => layers.reduce((sum, l) => sum + laminateThickness(l.dryGlass, l.glassFraction), 0)

/** Resin in grams that wets `glassG` grams of dry glass at ψ: glass·(1 − ψ)/ψ. Source: definition of ψ. */
export function wetOutResin(glassG: number, psi: number): number {
  return (notNegative(glassG, 'glass') * (1 - glassFraction(psi))) / psi
}

/** The same over the ψ that hands of this skill reach: least resin at the highest ψ. Grams. */
export function wetOutSpread(glassG: number, { glassFraction: by }: Coefficients, skill: Skill): Spread {
  const psi = by[skill]
  return { low: wetOutResin(glassG, psi.high), likely: wetOutResin(glassG, psi.likely), high: wetOutResin(glassG, psi.low) }
}

/** Cloth in m²: (area + lap width × the length it runs along) × layers; what is trimmed off on top as a share of it. Source: geometry. */
export function clothArea(areaM2: number, layers: number, trimShare: Spread, lap: { widthMm: number; alongM: number } = { widthMm: 0, alongM: 0 }): { net: number; waste: Spread } {
  const lapM2 = (notNegative(lap.widthMm, 'lap') * notNegative(lap.alongM, 'length of laps')) / 1000
  const net = (notNegative(areaM2, 'area') + lapM2) * notNegative(layers, 'layers')
  return { net, waste: timesSpread({ low: net, likely: net, high: net }, trimShare) }
}
