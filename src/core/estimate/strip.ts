/** m/s² */
const GRAVITY = 9.81
/** kg: a grown person standing on one foot. A comparison load of our own, not a design load. */
const PERSON_KG = 80

/** N of a person's weight: mass × g. */
export const personLoad = (massKg = PERSON_KG): number => massKg * GRAVITY

export interface Strip {
  /** N·mm² for each mm of width. */
  readonly ei: number
  readonly spanMm: number
  /** How wide a strip is taken to carry the load by itself. */
  readonly widthMm: number
  /** N in the middle of the span. */
  readonly loadN: number
  /** clamped: the panel goes on stiffly over its frames. supported: it only rests on them. A real one is between. */
  readonly ends: 'clamped' | 'supported'
}

/**
 * Deflection of a strip between frames under a load in its middle, mm: F·L³/(48·EI·b) resting, F·L³/(192·EI·b) clamped.
 * Small deflections of a beam (textbook, from memory): it ignores that a panel bends both ways and pulls on its edges. For comparing panels, never to bless one.
 * @throws RangeError unless stiffness, span and width are above 0 and the load is not below.
 */
export function stripDeflection({ ei, spanMm, widthMm, loadN, ends }: Strip): number {
  if (!(ei > 0 && spanMm > 0 && widthMm > 0 && loadN >= 0)) throw new RangeError('stiffness, span and width are above 0, a load is not below')
  return (loadN * spanMm ** 3) / ((ends === 'clamped' ? 192 : 48) * ei * widthMm)
}
