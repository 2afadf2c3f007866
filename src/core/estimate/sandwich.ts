/**
 * Second moment of a sandwich with unlike faces, cm⁴ for each cm of width, all thicknesses in mm:
 * I = 10⁻³·[to·ti·ts²/(to + ti) + (to³ + ti³)/12], ts = tc + (to + ti)/2.
 * The core only holds the faces apart; both faces have one modulus. Source: ISO 12215-5 D.2.2, second-hand.
 * @throws RangeError where a face has no thickness or the core a negative one.
 */
export function sandwichInertia(outerMm: number, coreMm: number, innerMm: number): number {
  if (!(outerMm > 0 && innerMm > 0 && coreMm >= 0)) throw new RangeError('both faces of a sandwich need a thickness above 0, its core none below')
  const apart = coreMm + (outerMm + innerMm) / 2
  return ((outerMm * innerMm * apart ** 2) / (outerMm + innerMm) + (outerMm ** 3 + innerMm ** 3) / 12) / 1000
}
