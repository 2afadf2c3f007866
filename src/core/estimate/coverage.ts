import { notNegative } from './spread.ts'

const LITRES_PER_GALLON = 3.785412
const M2_PER_SQUARE_FOOT = 0.09290304
/** g/m² of 1 oz/yd². */
const G_PER_OUNCE_YARD = 33.906

/**
 * Mixed epoxy in US gallons to sheathe `squareFeet` in glass of `ouncesPerYard` oz/yd², with three rolled fill coats and about 15 % waste,
 * half resin and half glass: A·(W·0.00085 + 0.0075). Source: article "Estimating Epoxy Amounts", an epoxy formulator's technical magazine (read).
 */
export function sheathingGallons(squareFeet: number, ouncesPerYard: number): number {
  return notNegative(squareFeet, 'area') * (notNegative(ouncesPerYard, 'cloth') * 0.00085 + 0.0075)
}

/** The same in litres of mixed epoxy for m² and g/m²: 305.6 mL/m² of fill coats and 1.02 mL a gram of glass. */
export function sheathingVolume(areaM2: number, arealMass: number): number {
  return sheathingGallons(areaM2 / M2_PER_SQUARE_FOOT, arealMass / G_PER_OUNCE_YARD) * LITRES_PER_GALLON
}
