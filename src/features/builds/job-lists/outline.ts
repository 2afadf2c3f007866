/** Area, length and width of one panel from how it was measured. Pure. */
import { areaByHalfBreadths, areaByStations } from '../../../core/estimate/areas.ts'
import type { Outline } from './geometry.ts'

export interface Shape { readonly areaM2: number; readonly lengthMm: number; readonly widthMm: number }

/** Null where it makes no shape: fewer than two stations, or positions that don't rise. */
export function outlineOf(outline: Outline): Shape | null {
  if (outline.how === 'area') return outline
  const at = outline.stations.map((s) => s.atMm)
  if (at.length < 2 || at.some((x, i) => i > 0 && !(x > at[i - 1]!))) return null
  const lengthMm = at.at(-1)! - at[0]!
  if (outline.how === 'half-breadths') return { areaM2: areaByHalfBreadths(outline.stations), lengthMm, widthMm: 2 * Math.max(...outline.stations.map((s) => s.halfMm)) }
  return { areaM2: areaByStations(outline.stations), lengthMm, widthMm: Math.max(...outline.stations.map((s) => s.widthMm)) }
}
