/** Boats that tests of the estimate share. Measurements are invented where the test doesn't say whose they are. */
import { defaultCoefficients } from '../../../src/core/estimate/index.ts'
import type {
  Boat, EstimateSettings, Extra, Figure, Joint, Line, Paint, Panel, Seam, Skill, Spread, Surface, Tape, Timber,
} from '../../../src/core/estimate/types.ts'

export const fig = (value: number, origin: Figure['origin'] = 'measured'): Figure => ({ value, origin })
export const trim: Spread = { low: 0.08, likely: 0.15, high: 0.25 }
export const bare: Boat = { panels: [], seams: [], surfaces: [], joints: [], timbers: [], extras: [] }

export const settingsFor = (skill: Skill, factors: EstimateSettings['factors'] = new Map()): EstimateSettings =>
  ({ skill, coefficients: defaultCoefficients, factors })

export const surface = (key: string, areaM2: number, more: Partial<Surface> = {}): Surface =>
  ({
    key, name: key, areaM2: fig(areaM2), cloth: null, fillCoats: 0, sealCoats: 0, topUpCoats: 0, paints: [], fairedShare: 0, sanded: false, ...more,
  })
export const cloth = (arealMass: number, layers = 1): Surface['cloth'] => ({ arealMass, layers, trimShare: trim })
export const tape = (side: Tape['side'], widthMm = 75, arealMass = 200, layers = 1): Tape => ({ side, widthMm, arealMass, layers, overlapMm: 50 })
const bothSides: readonly Tape[] = [tape('inside'), tape('outside')]
export const seam = (key: string, lengthM: number, anglesDeg: readonly number[], radiusMm = 18, tapes = bothSides): Seam =>
  ({ key, name: key, lengthM: fig(lengthM), anglesDeg, angleOrigin: 'measured', radiusMm: fig(radiusMm), tapes })
export const joint = (key: string, areaM2: number): Joint => ({ key, name: key, areaM2: fig(areaM2) })
export const panel = (key: string, areaM2: number, lengthMm: number, widthMm: number, more: Partial<Panel> = {}): Panel =>
  ({
    key, name: key, count: 1, areaM2: fig(areaM2), lengthMm: fig(lengthMm), widthMm: fig(widthMm),
    ply: { species: 'okoume', thicknessMm: 6 }, grain: 'along', joint: 'scarf', ...more,
  })
export const timber = (key: string, lengthM: number): Timber =>
  ({ key, name: key, material: 'Timber 20 × 30 mm', lengthM: fig(lengthM), widthMm: 30, thicknessMm: 20, density: 0.5 })
export const primer: Paint = { material: 'Primer', coats: 2, solids: 0.45, filmUm: 40, dryDensity: 1.5 }
export const extra = (key: string, more: Partial<Extra> = {}): Extra => ({
  key, name: key, material: 'Copper wire or cable ties', unit: 'pcs', per: { low: 6, likely: 8, high: 10 }, of: fig(20), ofUnit: 'm',
  kgEach: 0.002, source: 'common practice, no source', isConsumed: false, ...more,
})

/** Sum of one end over the lines that a test picks. */
export const total = (lines: readonly Line[], of: (line: Line) => Spread): Spread =>
  lines.reduce((s, l) => ({ low: s.low + of(l).low, likely: s.likely + of(l).likely, high: s.high + of(l).high }), { low: 0, likely: 0, high: 0 })

/** Mixed epoxy to have, waste and all, kg. */
export function mixedEpoxy(lines: readonly Line[]): Spread {
  const gross = (l: Line): Spread => ({ low: l.net.low + l.waste.low, likely: l.net.likely + l.waste.likely, high: l.net.high + l.waste.high })
  const { low, likely, high } = total(lines.filter((l) => l.material === 'Mixed epoxy'), gross)
  return { low: low / 1000, likely: likely / 1000, high: high / 1000 }
}
export const massAdded = (lines: readonly Line[]): Spread => total(lines, (l) => l.kg)

/**
 * The 4 m dinghy of the trade's epoxy figures: 7.5 m² outside, 7.5 m² inside, 9 m² of parts (thwarts, bulkheads, tanks), three coats
 * everywhere. Seams and glued joints are what such a boat has (invented).
 */
export function dinghy(glass: { outside?: number; inside?: number } = {}): Boat {
  const face = (key: string, area: number, g: number | undefined): Surface =>
    surface(key, area, g === undefined ? { sealCoats: 3 } : { cloth: cloth(g), fillCoats: 3 })
  return {
    ...bare,
    panels: [
      panel('bottom', 1.3, 3900, 480, { count: 2 }), panel('sides', 1.6, 4000, 520, { count: 2 }),
      panel('bulkheads', 0.45, 1200, 450, { count: 5 }), panel('thwarts', 0.5, 1200, 420, { count: 4 }),
    ],
    seams: [
      seam('keel', 3.8, [150, 160, 165]), seam('chines', 7.8, [115, 125, 130]), seam('transom', 2.2, [95]),
      seam('bulkheads', 12, [90], 15, [tape('inside')]), seam('tanks', 9, [90], 15, [tape('inside')]),
    ],
    surfaces: [face('outside', 7.5, glass.outside), face('inside', 7.5, glass.inside), surface('parts', 9, { sealCoats: 3 })],
    joints: [joint('scarfs', 0.3), joint('rails', 1), joint('skeg and cleats', 0.4)],
  }
}
