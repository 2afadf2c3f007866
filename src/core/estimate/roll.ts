/** A face to be covered: as long as the boat or panel, and its girth measured round the section, mm. */
export interface ToCover {
  readonly lengthMm: number
  readonly girthMm: number
}

export interface ClothRules {
  /** Width of the roll, mm. */
  readonly widthMm: number
  /** How far one strip lies over the next, mm. */
  readonly lapMm: number
  /** Beyond each end of a strip, mm: trimmed off. */
  readonly endMm: number
}

export interface ClothCut {
  readonly direction: 'along' | 'across'
  readonly strips: number
  /** Each strip off the roll. */
  readonly lengthMm: number
  readonly totalMm: number
  readonly areaM2: number
  /** How far the strips really lie over each other once they are spread evenly; 0 for one strip. */
  readonly lapMm: number
}

/** Joins of strips lie over each other by this (common practice, no source). */
export const CLOTH_LAP_MM = 50
export const CLOTH_END_MM = 50

/**
 * Lengths to cut for a face of length × girth, layer by layer: n = ceil((breadth − lap)/(width − lap)) strips, each as long as the face and its two
 * ends. Laid along the boat or across her, whichever takes less off the roll (along, where both take the same).
 * @throws RangeError where a size is not above 0 or the lap is not narrower than the roll.
 */
export function clothOnRoll(face: ToCover, rules: ClothRules): { best: ClothCut; other: ClothCut } {
  if (!(face.lengthMm > 0 && face.girthMm > 0 && rules.widthMm > 0)) throw new RangeError('a face and its cloth need a length and a width above 0')
  if (!(rules.lapMm >= 0 && rules.lapMm < rules.widthMm && rules.endMm >= 0)) throw new RangeError('a lap is narrower than the roll')
  const along = cut('along', face.lengthMm, face.girthMm, rules)
  const across = cut('across', face.girthMm, face.lengthMm, rules)
  return across.totalMm < along.totalMm - 1e-6 ? { best: across, other: along } : { best: along, other: across }
}

function cut(direction: ClothCut['direction'], run: number, breadth: number, { widthMm, lapMm, endMm }: ClothRules): ClothCut {
  const strips = Math.max(1, Math.ceil((breadth - lapMm) / (widthMm - lapMm) - 1e-9))
  const lengthMm = run + 2 * endMm
  const totalMm = strips * lengthMm
  return { direction, strips, lengthMm, totalMm, areaM2: (totalMm * widthMm) / 1e6, lapMm: strips === 1 ? 0 : (strips * widthMm - breadth) / (strips - 1) }
}
