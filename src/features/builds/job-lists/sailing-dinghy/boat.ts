/**
 * The dinghy herself: what she is made of as formulas over her measurements, so that a 4.0 m by 1.5 m boat comes to about 13 m² of ply, 12 m of
 * hull seams and 15 kg of mixed epoxy. Shapes, angles, glued areas and lengths of timber are guesses from memory until somebody measures.
 */
import type { BoatDef, SurfaceDef } from '../boat-def.ts'
import type { Condition } from '../conditions.ts'
import type { Quantity } from '../types.ts'

export const glassed: Condition = { measurement: 'clothWeight', atLeast: 1 }
export const bare: Condition = { measurement: 'clothWeight', below: 1 }
export const coated: readonly Condition[] = [bare, { measurement: 'bottomCoats', atLeast: 1 }]
export const glassedInside: Condition = { measurement: 'clothInside', atLeast: 1 }
export const board: Condition = { measurement: 'centreboard', atLeast: 1 }
export const deck: Condition = { measurement: 'areaDeck', atLeast: 0.1 }
export const fromSheets: Condition = { measurement: 'kit', below: 1 }
export const fromKit: Condition = { measurement: 'kit', atLeast: 1 }
export const painted: Condition = { measurement: 'insideFinish', below: 1 }
export const varnished: Condition = { measurement: 'insideFinish', atLeast: 1 }

// What is trimmed off a cloth, from memory.
const trim = { low: 0.03, likely: 0.06, high: 0.12 }
const lapped = (along: Quantity) => ({ lap: { width: 'clothLap', along }, trimShare: trim })
const tapeOf = (side: 'inside' | 'outside') => ({ side, width: 'tapeWidth', mass: 'tapeMass', layers: 'tapeLayers', overlapMm: 100 }) as const
/** The outside of a seam is taped where no cloth goes over it. */
const hullTapes = [tapeOf('inside'), { ...tapeOf('outside'), onlyIf: bare }]
const hullRadius = { times: 3, thinnerOf: ['plyBottom', 'plySides'] }
const innerRadius = { times: 2, thinnerOf: ['plyRest'] }

// One-pack paints: 45 % solids by volume and 40 µm dry a coat, densities of dry films from memory; the tin's data sheet says better.
const primer = { material: 'Primer', solids: 0.45, filmUm: 40, dryDensity: 1.6 }
const topcoat = { material: 'Topcoat', solids: 0.45, filmUm: 40, dryDensity: 1.3 }
const varnish = { material: 'Varnish', coats: 'varnishCoats', solids: 0.45, filmUm: 40, dryDensity: 1.1 }

const surfaces: SurfaceDef[] = [
  {
    key: 'bottom', name: 'Bottom', areaM2: { times: 1, of: ['areaBottom'] }, cloth: { mass: 'clothWeight', layers: 'clothLayers', ...lapped({ times: 1, of: ['seams'] }) },
    fillCoats: { coats: 'fillCoats' }, sealCoats: { coats: 'bottomCoats', onlyIf: bare },
  },
  { key: 'sides', name: 'Topsides', areaM2: { times: 1, of: ['areaSides'] }, sealCoats: { coats: 'sideCoats', plus: 1 } },
  {
    key: 'outside', name: 'Whole outside', areaM2: { times: 1, of: ['areaOutside'] },
    paints: [{ ...primer, coats: 'primerCoats' }, { ...topcoat, coats: 'paintCoats' }], fairedShare: 1, isSanded: true,
  },
  {
    key: 'inside', name: 'Inside', areaM2: { times: 1, of: ['areaInside'] }, sealCoats: { coats: 2 }, topUpCoats: 1,
    paints: [{ ...primer, coats: 1, onlyIf: painted }, { ...topcoat, coats: 'paintCoats', onlyIf: painted }, { ...varnish, onlyIf: varnished }], isSanded: true,
  },
  {
    key: 'inside-bottom', name: 'Bottom, inside', areaM2: { times: 1, of: ['areaBottom'] }, onlyIf: glassedInside,
    cloth: { mass: 'clothInside', layers: 1, ...lapped({ times: 2 / 3, of: ['seams'] }) }, fillCoats: { coats: 1 },
  },
  { key: 'tanks', name: 'Tanks and undersides', areaM2: { times: 1, of: ['areaTanks'] }, sealCoats: { coats: 2 } },
  { key: 'deck-under', name: 'Foredeck, underside', areaM2: { times: 1, of: ['areaDeck'] }, sealCoats: { coats: 2 }, onlyIf: deck },
  { key: 'deck', name: 'Foredeck', areaM2: { times: 1, of: ['areaDeck'] }, cloth: { mass: 'clothRest', layers: 1, ...lapped({ times: 0.9, of: ['length'] }) }, fillCoats: { coats: 1 }, onlyIf: deck },
  { key: 'case', name: 'Centre case, inside', areaM2: { times: 0.2, of: ['length'] }, sealCoats: { coats: 2 }, onlyIf: board },
  { key: 'foils', name: 'Board and rudder', areaM2: { times: 0.4, of: ['length'] }, cloth: { mass: 'clothRest', layers: 1, ...lapped({ times: 1, of: ['length'] }) }, fillCoats: { coats: 'foilCoats' }, onlyIf: board },
  { key: 'spars', name: 'Spars', areaM2: { times: 0.35, of: ['length'] }, sealCoats: { coats: 1 }, paints: [varnish] },
  { key: 'rails', name: 'Rails and knees', areaM2: { times: 0.3, of: ['length'] }, paints: [varnish] },
]

const glued = (key: string, name: string, times: number, of: string[], onlyIf?: Condition) => ({ key, name, areaM2: { times, of }, ...(onlyIf ? { onlyIf } : {}) })

export const dinghyBoat: BoatDef = {
  panels: [
    { key: 'bottom', name: 'Bottom panel', count: 2, areaM2: { times: 0.5, of: ['areaBottom'] }, lengthM: { times: 1, of: ['length'] }, fill: 0.78, thickness: 'plyBottom', grain: 'along', joint: 'scarf' },
    { key: 'side', name: 'Side panel', count: 2, areaM2: { times: 0.44, of: ['areaSides'] }, lengthM: { times: 1.06, of: ['length'] }, fill: 0.8, thickness: 'plySides', grain: 'along', joint: 'scarf' },
    { key: 'transom', name: 'Transom', count: 1, areaM2: { times: 0.12, of: ['areaSides'] }, lengthM: { times: 0.7, of: ['beam'] }, fill: 0.85, thickness: 'plyRest', grain: 'any', joint: 'butt' },
    { key: 'bulkhead', name: 'Bulkhead', count: 3, areaM2: { times: 0.155, of: ['beam', 'beam'] }, lengthM: { times: 0.8, of: ['beam'] }, fill: 0.65, thickness: 'plyRest', grain: 'any', joint: 'butt' },
    { key: 'case-side', name: 'Centre case side', count: 2, areaM2: { times: 0.1, of: ['length'] }, lengthM: { times: 0.25, of: ['length'] }, fill: 0.95, thickness: 'plyRest', grain: 'any', joint: 'butt', onlyIf: board },
    { key: 'seat', name: 'Seat and tank top', count: 2, areaM2: { times: 0.1, of: ['length', 'beam'] }, lengthM: { times: 0.55, of: ['length'] }, fill: 0.85, thickness: 'plyRest', grain: 'along', joint: 'butt' },
    { key: 'tank-front', name: 'Tank front', count: 2, areaM2: { times: 0.07, of: ['length', 'beam'] }, lengthM: { times: 0.55, of: ['length'] }, fill: 0.9, thickness: 'plyRest', grain: 'along', joint: 'butt' },
    { key: 'thwart', name: 'Thwart', count: 1, areaM2: { times: 0.19, of: ['beam'] }, lengthM: { times: 0.85, of: ['beam'] }, fill: 1, thickness: 'plyRest', grain: 'along', joint: 'butt' },
    { key: 'deck', name: 'Foredeck', count: 1, areaM2: { times: 1, of: ['areaDeck'] }, lengthM: { times: 0.28, of: ['length'] }, fill: 0.62, thickness: 'plyRest', grain: 'any', joint: 'butt', onlyIf: deck },
  ],
  seams: [
    { key: 'keel', name: 'Centre seam', lengthM: { times: 1 / 3, of: ['seams'] }, anglesDeg: [80, 110, 130, 140, 145], radius: hullRadius, tapes: hullTapes },
    { key: 'chine-port', name: 'Port chine', lengthM: { times: 1 / 3, of: ['seams'] }, anglesDeg: [130, 120, 112, 108, 106], radius: hullRadius, tapes: hullTapes },
    { key: 'chine-starboard', name: 'Starboard chine', lengthM: { times: 1 / 3, of: ['seams'] }, anglesDeg: [130, 120, 112, 108, 106], radius: hullRadius, tapes: hullTapes },
    { key: 'bulkheads', name: 'Bulkheads, transom and stem', lengthM: { times: 6, of: ['beam'] }, anglesDeg: [95], radius: innerRadius, tapes: [] },
    { key: 'case', name: 'Foot of the centre case', lengthM: { times: 0.5, of: ['length'] }, anglesDeg: [90], radius: innerRadius, tapes: [], onlyIf: board },
    { key: 'seats', name: 'Seats and tanks', lengthM: { times: 2.2, of: ['length'] }, anglesDeg: [95], radius: innerRadius, tapes: [] },
  ],
  surfaces,
  joints: [
    // Slope 8 to 1 on the width of a pair, both faces wetted: 2 × 8 × mm × m, by half the beam.
    glued('scarfs-bottom', 'Scarfs of the bottom panels', 0.015, ['plyBottom', 'beam']),
    glued('scarfs-sides', 'Scarfs of the side panels', 0.011, ['plySides', 'beam']),
    glued('case-logs', 'Centre case', 0.0625, ['length'], board),
    glued('case-foot', 'Foot of the centre case', 0.05, ['length'], board),
    glued('cleats', 'Seat cleats and deck beams', 0.08, ['length']),
    glued('seats', 'Seat and tank tops', 0.12, ['length']),
    glued('mast-step', 'Mast step and partner', 0.02, ['length']),
    glued('rail-port', 'Port gunwale', 0.045, ['length']),
    glued('rail-starboard', 'Starboard gunwale', 0.045, ['length']),
    glued('knees', 'Breasthook and knees', 0.015, ['length']),
    glued('deck', 'Foredeck', 0.15, ['areaDeck'], deck),
    glued('skeg', 'Skeg and runners', 0.05, ['length']),
    glued('foils', 'Blanks of board and rudder', 0.125, ['length'], board),
    glued('spars', 'Mast and yard', 0.08, ['length']),
  ],
  // Densities at 12 % moisture: an average softwood, from memory.
  timbers: [
    { key: 'gunwales', name: 'Gunwales and rubbing strakes', lengthM: { times: 2.2, of: ['length'] }, widthMm: 45, thicknessMm: 20, density: 0.5 },
    { key: 'cleats', name: 'Seat cleats and deck beams', lengthM: { times: 2.5, of: ['length'] }, widthMm: 45, thicknessMm: 20, density: 0.5 },
    { key: 'foils', name: 'Strips of board and rudder', lengthM: { times: 4.4, of: ['length'] }, widthMm: 45, thicknessMm: 20, density: 0.5, onlyIf: board },
    { key: 'spars', name: 'Mast and yard', lengthM: { times: 2.6, of: ['length'] }, widthMm: 60, thicknessMm: 30, density: 0.5 },
  ],
  extras: [
    { key: 'stitches', name: 'Stitches', material: 'Copper wire or cable ties', unit: 'pcs', per: { low: 6, likely: 8, high: 10 }, of: { times: 1, of: ['seams'] }, ofUnit: 'm', kgEach: 0, source: 'one stitch every 100 to 160 mm (common practice, no source)', isConsumed: true },
    { key: 'tacks', name: 'Tacks between the stitches', material: 'Mixed epoxy', unit: 'g', per: { low: 15, likely: 25, high: 35 }, of: { times: 1, of: ['seams'] }, ofUnit: 'm', kgEach: 0.001, source: 'small thickened tacks along the seams (from memory)', isConsumed: false },
    { key: 'holes', name: 'Stitch and screw holes', material: 'Mixed epoxy', unit: 'g', per: { low: 20, likely: 30, high: 50 }, of: { times: 1, of: ['length'] }, ofUnit: 'm', kgEach: 0.001, source: 'a small pot for holes and hollows (from memory)', isConsumed: false },
  ],
  kit: { when: fromKit, key: 'kit', name: 'Kit of cut panels', material: 'Kit of cut panels' },
}
