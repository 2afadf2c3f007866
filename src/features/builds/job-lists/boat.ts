/** From a job list and what people measured to the boat that the estimate is told. Pure. */
import { plyDensity } from '../../../core/estimate/index.ts'
import type { Boat, Extra, Figure, Panel, PlySpecies, Seam, Surface, Tape } from '../../../core/estimate/types.ts'
import type { ExtraDef, Of, PanelDef, SeamDef, SurfaceDef, TapeDef } from './boat-def.ts'
import { applies, need, quantityOf, type Measurements } from './conditions.ts'
import { figuresOf, valuesOf, type Figures } from './figures.ts'
import type { BoatState, Geometry, PanelMeasured, SeamMeasured } from './geometry.ts'
import { outlineOf } from './outline.ts'
import type { JobList, Quantity } from './types.ts'

export interface BoatOf {
  readonly boat: Boat
  readonly figures: Record<string, Figure>
  /** All her panels, those too that come in a kit: only what is cut from sheets is in `boat.panels`. */
  readonly panels: readonly Panel[]
}

/** What the choice `plySpecies` stands for, by its value. */
const SPECIES: readonly PlySpecies[] = ['okoume', 'sapele', 'birch', 'fir']
const speciesOf = (value: number | undefined): PlySpecies => SPECIES[value ?? 0] ?? 'okoume'

/** Of a panel or seam of people's own, until they say. */
const OWN_THICKNESS_MM = 6
const OWN_RADIUS_PLIES = 3

export function boatOf(list: JobList, state: BoatState): BoatOf {
  const figures = figuresOf(list, state)
  const m = valuesOf(figures)
  const { boat: def } = list
  const panels = panelsOf(list, state.geometry, m)
  const isKit = def.kit !== null && applies(def.kit.when, m)
  // What people added themselves no kit has.
  const inKit = panels.filter((p) => def.panels.some((d) => d.key === p.key))
  const here = <D extends { onlyIf?: PanelDef['onlyIf'] }>(defs: readonly D[]): D[] => defs.filter((d) => applies(d.onlyIf, m))
  const boat: Boat = {
    panels: isKit ? panels.filter((p) => !inKit.includes(p)) : panels,
    ...(isKit ? { readyCut: inKit } : {}),
    seams: seamsOf(list, state.geometry, m),
    surfaces: here(def.surfaces).map((s) => surfaceOf(s, figures, m)),
    joints: here(def.joints).map(({ key, name, areaM2 }) => ({ key, name, areaM2: figureOf(areaM2, figures, m) })),
    timbers: here(def.timbers).map(({ lengthM, onlyIf: _onlyIf, ...t }) => ({ ...t, material: `Timber ${t.thicknessMm} × ${t.widthMm} mm`, lengthM: figureOf(lengthM, figures, m) })),
    extras: [...here(def.extras).map((e) => extraOf(e, figures, m)), ...(isKit ? [kitOf(def.kit, inKit)] : [])],
  }
  return { boat, figures, panels }
}

/** A measurement taken whole is as sure as it is; what is worked out from it by a rule of thumb is a guess. */
function figureOf(q: Quantity, figures: Figures, m: Measurements): Figure {
  const only = q.times === 1 && q.plus === undefined && q.of.length === 1 ? figures[q.of[0]!] : undefined
  return only ?? { value: quantityOf(q, m), origin: 'guess' }
}

const countOf = (of: Of | undefined, m: Measurements): number => (of === undefined ? 0 : typeof of === 'number' ? of : Math.max(0, need(m, of)))

function panelsOf({ boat: { panels } }: JobList, geometry: Geometry, m: Measurements): Panel[] {
  const species = speciesOf(m['plySpecies'])
  const own = Object.entries(geometry.panels ?? {}).filter(([key]) => !panels.some((p) => p.key === key))
  return [
    ...panels.flatMap((def) => {
      const measured = geometry.panels?.[def.key] ?? {}
      return applies(def.onlyIf, m) && !measured.leftOut ? [panelOf(def, measured, species, m)] : []
    }),
    ...own.flatMap(([key, measured]) => (measured.leftOut ? [] : (ownPanel(key, measured, species, m) ?? []))),
  ]
}

function panelOf(def: PanelDef, measured: PanelMeasured, species: PlySpecies, m: Measurements): Panel {
  const shape = measured.outline ? outlineOf(measured.outline) : null
  const [areaM2, lengthMm] = [quantityOf(def.areaM2, m), quantityOf(def.lengthM, m) * 1000]
  const guess = (value: number): Figure => ({ value, origin: 'guess' })
  return {
    key: def.key, name: def.name, count: measured.count ?? def.count,
    ...(shape ? measuredShape(shape) : { areaM2: guess(areaM2), lengthMm: guess(Math.round(lengthMm)), widthMm: guess(Math.round((areaM2 * 1e6) / (lengthMm * def.fill))) }),
    ply: { species, thicknessMm: measured.thicknessMm ?? need(m, def.thickness) }, grain: measured.grain ?? def.grain, joint: measured.joint ?? def.joint,
  }
}

function ownPanel(key: string, measured: PanelMeasured, species: PlySpecies, m: Measurements): Panel | null {
  const shape = measured.outline ? outlineOf(measured.outline) : null
  if (!shape) return null
  return {
    key, name: measured.name ?? key, count: measured.count ?? 1, ...measuredShape(shape),
    ply: { species, thicknessMm: measured.thicknessMm ?? m['plyRest'] ?? OWN_THICKNESS_MM }, grain: measured.grain ?? 'any', joint: measured.joint ?? 'scarf',
  }
}

const measuredShape = (s: { areaM2: number; lengthMm: number; widthMm: number }) => ({
  areaM2: { value: s.areaM2, origin: 'measured' as const }, lengthMm: { value: s.lengthMm, origin: 'measured' as const }, widthMm: { value: s.widthMm, origin: 'measured' as const },
})

function seamsOf({ boat: { seams } }: JobList, geometry: Geometry, m: Measurements): Seam[] {
  const own = Object.entries(geometry.seams ?? {}).filter(([key]) => !seams.some((s) => s.key === key))
  return [
    ...seams.flatMap((def) => {
      const measured = geometry.seams?.[def.key] ?? {}
      return applies(def.onlyIf, m) && !measured.leftOut ? [seamOf(def, measured, m)] : []
    }),
    ...own.flatMap(([key, s]) => (s.leftOut || s.lengthM === undefined ? [] : [ownSeam(key, s, s.lengthM, m)])),
  ]
}

function seamOf(def: SeamDef, measured: SeamMeasured, m: Measurements): Seam {
  const radius = def.radius.times * Math.min(...def.radius.thinnerOf.map((key) => need(m, key)))
  return {
    key: def.key, name: def.name,
    lengthM: measured.lengthM === undefined ? { value: quantityOf(def.lengthM, m), origin: 'guess' } : { value: measured.lengthM, origin: 'measured' },
    anglesDeg: measured.anglesDeg ?? def.anglesDeg, angleOrigin: measured.anglesDeg ? 'measured' : 'guess',
    radiusMm: measured.radiusMm === undefined ? { value: radius, origin: 'guess' } : { value: measured.radiusMm, origin: 'measured' },
    tapes: measured.tapes ?? def.tapes.flatMap((t) => tapeOf(t, m)),
  }
}

function tapeOf(def: TapeDef, m: Measurements): Tape[] {
  const layers = countOf(def.layers, m)
  if (layers === 0 || !applies(def.onlyIf, m)) return []
  return [{ side: def.side, widthMm: need(m, def.width), arealMass: need(m, def.mass), layers, overlapMm: def.overlapMm }]
}

function ownSeam(key: string, measured: SeamMeasured, lengthM: number, m: Measurements): Seam {
  return {
    key, name: measured.name ?? key, lengthM: { value: lengthM, origin: 'measured' }, anglesDeg: measured.anglesDeg ?? [90], angleOrigin: measured.anglesDeg ? 'measured' : 'guess',
    radiusMm: measured.radiusMm === undefined ? { value: OWN_RADIUS_PLIES * (m['plyRest'] ?? OWN_THICKNESS_MM), origin: 'guess' } : { value: measured.radiusMm, origin: 'measured' },
    tapes: measured.tapes ?? [],
  }
}

function surfaceOf(def: SurfaceDef, figures: Figures, m: Measurements): Surface {
  const glass = def.cloth && applies(def.cloth.onlyIf, m) ? clothOf(def.cloth, figures, m) : null
  const cloth = glass && glass.arealMass > 0 && glass.layers > 0 ? glass : null
  const { fillCoats: fill, sealCoats: seal } = def
  return {
    key: def.key, name: def.name, areaM2: figureOf(def.areaM2, figures, m), cloth,
    fillCoats: cloth && fill && applies(fill.onlyIf, m) ? countOf(fill.coats, m) : 0,
    sealCoats: seal && applies(seal.onlyIf, m) ? countOf(seal.coats, m) + (seal.plus ?? 0) : 0,
    topUpCoats: countOf(def.topUpCoats, m),
    paints: (def.paints ?? []).flatMap(({ onlyIf, coats, ...p }) => (applies(onlyIf, m) && countOf(coats, m) > 0 ? [{ ...p, coats: countOf(coats, m) }] : [])),
    fairedShare: def.fairedShare ?? 0, sanded: def.isSanded ?? false,
  }
}

function clothOf({ mass, layers, lap, trimShare }: NonNullable<SurfaceDef['cloth']>, figures: Figures, m: Measurements): NonNullable<Surface['cloth']> {
  const laps = lap ? { widthMm: figureOf({ times: 1, of: [lap.width] }, figures, m), alongM: figureOf(lap.along, figures, m) } : null
  return { arealMass: countOf(mass, m), layers: countOf(layers, m), lap: laps, trimShare }
}

function extraOf({ onlyIf: _onlyIf, of, ...e }: ExtraDef, figures: Figures, m: Measurements): Extra {
  return { ...e, of: figureOf(of, figures, m) }
}

/** One piece that weighs what its panels weigh: m² × mm × g/cm³ = kg. */
function kitOf(kit: NonNullable<JobList['boat']['kit']>, panels: readonly Panel[]): Extra {
  const kg = panels.reduce((sum, p) => sum + p.count * p.areaM2.value * p.ply.thicknessMm * plyDensity[p.ply.species], 0)
  const one = { low: 1, likely: 1, high: 1 }
  return {
    key: kit.key, name: kit.name, material: kit.material, unit: 'pcs', per: one, of: { value: 1, origin: 'measured' }, ofUnit: 'boat', kgEach: kg,
    source: 'one kit for her; it weighs what its panels weigh', isConsumed: false,
  }
}
