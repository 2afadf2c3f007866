import type { Rect } from './types.ts'
import type { Stock } from './sheet.ts'

/** Worth keeping, mm and mm². */
const NARROWEST = 150
const SMALLEST = 60_000
const MOST = 6

/** The largest free rectangle, then the largest of what is left beside it, and so on: pieces that can be sawn off and kept. */
export function offcutsOf(parts: readonly Rect[], { lengthMm, widthMm, kerfMm, trimMm }: Stock): Rect[] {
  let free: Rect[] = [{ x: trimMm, y: trimMm, alongMm: lengthMm - 2 * trimMm, acrossMm: widthMm - 2 * trimMm }]
  const out: Rect[] = []
  for (const part of parts) free = without(free, part, kerfMm)
  while (out.length < MOST) {
    const largest = free.reduce<Rect | null>((best, r) => (best === null || area(r) > area(best) ? r : best), null)
    if (largest === null) break
    out.push(largest)
    free = without(free, largest, kerfMm)
  }
  return out
}

const area = (r: Rect): number => r.alongMm * r.acrossMm

/** Free rectangles beside a part and its saw cut; they may overlap each other. */
function without(free: readonly Rect[], part: Rect, kerf: number): Rect[] {
  const [left, top, right, bottom] = [part.x - kerf, part.y - kerf, part.x + part.alongMm + kerf, part.y + part.acrossMm + kerf]
  return free.flatMap((r) => {
    const [rRight, rBottom] = [r.x + r.alongMm, r.y + r.acrossMm]
    if (left >= rRight || right <= r.x || top >= rBottom || bottom <= r.y) return [r]
    return [
      { ...r, alongMm: left - r.x }, { ...r, x: right, alongMm: rRight - right },
      { ...r, acrossMm: top - r.y }, { ...r, y: bottom, acrossMm: rBottom - bottom },
    ].filter((piece) => Math.min(piece.alongMm, piece.acrossMm) >= NARROWEST && area(piece) >= SMALLEST)
  })
}
