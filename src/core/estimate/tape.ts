import { notNegative } from './spread.ts'
import type { Tape } from './types.ts'

/** Metres of tape for a seam: layers × (length + overlap); a seam without length takes none. */
export function tapeLength(lengthM: number, { layers, overlapMm }: Tape): number {
  const each = notNegative(lengthM, 'length') === 0 ? 0 : lengthM + notNegative(overlapMm, 'overlap') / 1000
  return each * notNegative(layers, 'layers')
}

/** Grams of dry glass in it: metres × width × g/m². 75 mm of 200 g/m²: 15 g a metre (derived). */
export function tapeGlass(lengthM: number, tape: Tape): number {
  return (tapeLength(lengthM, tape) * notNegative(tape.widthMm, 'width') * notNegative(tape.arealMass, 'glass')) / 1000
}
