/** A sheet as it is cut: length along its face grain, mm. */
export interface SheetSize {
  readonly lengthMm: number
  readonly widthMm: number
}

/** Slope of a scarf: its length over the thickness (common practice, no source; designs say 8 to 12). */
const SCARF_SLOPE = 8
/** Length of a butt strap along the panel over the thickness (common practice, no source). */
const STRAP_LENGTH = 20
/** A piece shorter than this is not left over: the last two share what there is. */
const SHORTEST_MM = 300

export interface SplitRules {
  readonly scarfSlope: number
  readonly strapLength: number
  /** full: whole sheets first, the rest last. equal: all pieces the same. */
  readonly cut: 'full' | 'equal'
}
export const splitRules: SplitRules = { scarfSlope: SCARF_SLOPE, strapLength: STRAP_LENGTH, cut: 'full' }

/** One piece of a panel. Length runs the panel's way (along the boat). Row and column count from 1, columns along the length. */
export interface SplitPiece {
  readonly lengthMm: number
  readonly widthMm: number
  readonly column: number
  readonly row: number
}

export interface Split {
  readonly pieces: readonly SplitPiece[]
  /** Butt straps to cut besides, of the panel's own thickness. */
  readonly straps: readonly { readonly lengthMm: number; readonly widthMm: number }[]
  readonly columns: number
  readonly rows: number
  /** What each joint takes: the overlap of a scarf, or the length of a strap, mm. */
  readonly allowanceMm: number
}

/**
 * Pieces of a panel that is longer or wider than a sheet. A scarf overlaps by slope × thickness, so k pieces of a length L take L + (k − 1)·overlap;
 * butted pieces take L, and each joint a strap. `along`: how much of the sheet the panel's length may take, `across`: its width.
 * @throws RangeError for sizes that are not above 0, or where the sheet is no longer than a scarf.
 */
export function splitPanel(
  panel: { lengthMm: number; widthMm: number; thicknessMm: number; joint: 'scarf' | 'butt' },
  room: { along: number; across: number }, rules: SplitRules = splitRules,
): Split {
  const { lengthMm, widthMm, thicknessMm, joint } = panel
  if (!(lengthMm > 0 && widthMm > 0 && thicknessMm > 0)) throw new RangeError('a panel needs a length, a width and a thickness above 0')
  const overlap = joint === 'scarf' ? rules.scarfSlope * thicknessMm : 0
  if (!(room.along > overlap && room.across > overlap)) throw new RangeError('the sheet is no longer than the joint')
  const lengths = shares(lengthMm, room.along, overlap, rules.cut)
  const widths = shares(widthMm, room.across, overlap, rules.cut)
  const pieces = widths.flatMap((w, row) => lengths.map((l, column) => ({ lengthMm: l, widthMm: w, column: column + 1, row: row + 1 })))
  const strapMm = rules.strapLength * thicknessMm
  const straps = joint === 'scarf' ? [] : [
    ...widths.flatMap((w) => lengths.slice(1).map(() => ({ lengthMm: Math.min(strapMm, room.along), widthMm: w }))),
    ...lengths.flatMap((l) => widths.slice(1).map(() => ({ lengthMm: l, widthMm: Math.min(strapMm, room.across) }))),
  ]
  return { pieces, straps, columns: lengths.length, rows: widths.length, allowanceMm: joint === 'scarf' ? overlap : strapMm }
}

function shares(whole: number, room: number, overlap: number, cut: SplitRules['cut']): number[] {
  // k pieces reach k·room − (k − 1)·overlap; the hair's breadth is for sums of decimals.
  const count = Math.max(1, Math.ceil((whole - overlap) / (room - overlap) - 1e-9))
  if (count === 1) return [whole]
  const total = whole + (count - 1) * overlap
  if (cut === 'equal') return Array.from({ length: count }, () => total / count)
  const last = total - (count - 1) * room
  if (last >= SHORTEST_MM + overlap) return [...Array.from({ length: count - 1 }, () => room), last]
  const two = (total - (count - 2) * room) / 2
  return [...Array.from({ length: count - 2 }, () => room), two, two]
}
