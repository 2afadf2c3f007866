/** Fillets: what fills the corner between two planes under an arc that is tangent to both. */
import { notNegative } from './spread.ts'

const radians = (degrees: number): number => (degrees * Math.PI) / 180

/** @throws RangeError unless the angle is above 0 and at most 180 degrees. */
export function insideAngle(degrees: number): number {
  if (!(degrees > 0 && degrees <= 180)) throw new RangeError(`an inside angle lies above 0 and at most at 180 degrees, got ${degrees}`)
  return degrees
}

/**
 * Section of a fillet in mm² for an inside angle θ in degrees and a radius r in mm: A = r²·(cot(θ/2) − (π − θ)/2), θ in radians.
 * Derived: kite between corner, both tangent points and the centre of the arc, less the sector of the arc. 0 at 180°.
 */
export function filletArea(angleDeg: number, radiusMm: number): number {
  const angle = radians(insideAngle(angleDeg))
  const square = notNegative(radiusMm, 'radius') ** 2
  return angleDeg === 180 ? 0 : square * Math.max(0, 1 / Math.tan(angle / 2) - (Math.PI - angle) / 2)
}

/** How far the fillet reaches up each plane from the corner, mm: r / tan(θ/2). */
export function filletLeg(angleDeg: number, radiusMm: number): number {
  return notNegative(radiusMm, 'radius') / Math.tan(radians(insideAngle(angleDeg)) / 2)
}

const STEPS = 16

/**
 * Volume in mL of a fillet along a seam of `lengthM` m. The angles are given at equal steps from one end to the other and run evenly in between
 * (one: the same all along); the section is integrated by Simpson's rule, 16 steps between two given angles. 1 mm² × 1 m = 1 mL.
 * @throws RangeError for no angle, an angle outside (0, 180], a negative length or radius.
 */
export function filletVolume(lengthM: number, anglesDeg: readonly number[], radiusMm: number): number {
  notNegative(lengthM, 'length')
  if (anglesDeg.length === 0) throw new RangeError('a seam has at least one angle')
  if (anglesDeg.length === 1) return filletArea(anglesDeg[0]!, radiusMm) * lengthM
  const stretches = anglesDeg.length - 1
  let mean = 0
  for (let i = 0; i < stretches; i++) mean += meanArea(anglesDeg[i]!, anglesDeg[i + 1]!, radiusMm) / stretches
  return mean * lengthM
}

function meanArea(from: number, to: number, radiusMm: number): number {
  let sum = 0
  for (let k = 0; k <= STEPS; k++) {
    const weight = k === 0 || k === STEPS ? 1 : k % 2 === 1 ? 4 : 2
    sum += weight * filletArea(from + ((to - from) * k) / STEPS, radiusMm)
  }
  return sum / (3 * STEPS)
}
