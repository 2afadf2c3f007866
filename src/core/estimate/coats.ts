/** Coats and glue lines: grams of mixed epoxy from areas and counts. */
import { notNegative, scaleSpread } from './spread.ts'
import type { Spread } from './types.ts'

/** area × g/m²: first coat on bare ply, a glue line, fairing compound. Source of the figures: coefficients.ts. */
export const byArea = (areaM2: number, gramsPerM2: Spread): Spread => scaleSpread(gramsPerM2, notNegative(areaM2, 'area'))

/** area × coats × g/m². */
export const byCoats = (areaM2: number, coats: number, gramsPerM2: Spread): Spread =>
  scaleSpread(byArea(areaM2, gramsPerM2), notNegative(coats, 'coats'))

/**
 * Fill coats: area × coats × g/m²; at the low end one coat fewer (but one), for the weave may be gone a coat earlier.
 * Three coats of the published coverage formula are 305.6 mL/m² with waste (article "Estimating Epoxy Amounts", read).
 */
export function fillCoats(areaM2: number, coats: number, gramsPerM2: Spread): Spread {
  const area = notNegative(areaM2, 'area')
  const least = notNegative(coats, 'coats') < 1 ? coats : Math.max(1, coats - 1)
  return { low: area * least * gramsPerM2.low, likely: area * coats * gramsPerM2.likely, high: area * coats * gramsPerM2.high }
}

/**
 * Edges of sheets: perimeter of the rectangle that bounds a piece × thickness × first coat × how much more end grain drinks.
 * Derived; end grain from memory (`edgeThirst`).
 */
export function edgeSeal(edgeM2: number, sealFirst: Spread, thirst: Spread): Spread {
  const area = notNegative(edgeM2, 'edge area')
  return { low: area * sealFirst.low * thirst.low, likely: area * sealFirst.likely * thirst.likely, high: area * sealFirst.high * thirst.high }
}
