/** What is cut or bought: sheets with their edges, timber, pieces. */
import { edgeSeal } from './coats.ts'
import { edgeThirst, plyMassSpread, SHEET_M2 } from './coefficients.ts'
import { input, measured, plain, ranged, type Sketch } from './line.ts'
import { plyMass, plySpecies, speciesNames } from './ply.ts'
import { ruleAbout } from './rules.ts'
import { exactly, NOTHING, notNegative, scaleSpread } from './spread.ts'
import { EPOXY, G, wasteInput } from './surface-lines.ts'
import type { EstimateSettings, Extra, Input, Origin, Panel, PlySpecies, Spread, Timber } from './types.ts'

/** g/cm³ of a finished sheet. */
export const plyDensity: Readonly<Record<PlySpecies, number>> = {
  okoume: plySpecies.okoume.density / 1000, sapele: plySpecies.sapele.density / 1000,
  birch: plySpecies.birch.density / 1000, fir: plySpecies.fir.density / 1000,
}

export const plyMaterial = (species: PlySpecies, thicknessMm: number): string => `${speciesNames[species]} plywood ${plain(thicknessMm)} mm`
export const plyPart = (species: PlySpecies, thicknessMm: number): string => `ply-${species}-${plain(thicknessMm)}`
/** The part of the line about all edges of sheets: 'edges.edge-seal'. */
export const EDGES = 'edges'

/** One line for each species and thickness that is cut here, then one for all edges, of panels that come cut too. */
export function panelSketches(panels: readonly Panel[], readyCut: readonly Panel[], settings: EstimateSettings): Sketch[] {
  const all = [...panels, ...readyCut]
  const groups = new Map<string, Panel[]>()
  for (const panel of panels) {
    const part = plyPart(panel.ply.species, panel.ply.thicknessMm)
    groups.set(part, [...(groups.get(part) ?? []), panel])
  }
  return [...[...groups].map(([part, group]) => sheets(part, group, settings)), ...(all.length > 0 ? [edges(all, settings)] : [])]
}

function sheets(part: string, panels: readonly Panel[], { coefficients: c }: EstimateSettings): Sketch {
  const { species, thicknessMm } = panels[0]!.ply
  const areaOf = (p: Panel): number => notNegative(p.areaM2.value, `area of ${p.name}`) * notNegative(p.count, `number of ${p.name}`)
  const total = panels.reduce((sum, p) => sum + areaOf(p), 0)
  const kg = total * plyMass({ species, thicknessMm: notNegative(thicknessMm, 'thickness') })
  const label = ({ name, count }: Panel): string => (count === 1 ? name : `${name}, ${plain(count)} of them together`)
  return {
    rule: 'ply', part, name: `${speciesNames[species]} ${plain(thicknessMm)} mm: sheets`, material: plyMaterial(species, thicknessMm), unit: 'pcs',
    net: exactly(total / SHEET_M2), wasteShare: c.plyWaste, kg: scaleSpread(plyMassSpread, kg),
    inputs: [
      ...panels.map((p): Input => ({ label: label(p), value: areaOf(p), unit: 'm²', origin: p.areaM2.origin })),
      input('one sheet', SHEET_M2, 'm²'),
      ranged('offcuts on top', c.plyWaste, 'share'),
      input('thickness', thicknessMm, 'mm'),
      input('density', plySpecies[species].density, 'kg/m³'),
      ranged('mass of one sheet against another', plyMassSpread, '×'),
    ],
    formula: `${plain(total)} m² ÷ ${plain(SHEET_M2)} m²`, source: ruleAbout.ply.source,
  }
}

function edges(panels: readonly Panel[], settings: EstimateSettings): Sketch {
  const { coefficients: c, skill } = settings
  const side = (p: Panel, of: 'lengthMm' | 'widthMm'): number => notNegative(p[of].value, `size of ${p.name}`)
  const perimeter = (p: Panel): number => 2 * (side(p, 'lengthMm') + side(p, 'widthMm'))
  const edge = panels.reduce((sum, p) => sum + (perimeter(p) * p.ply.thicknessMm * p.count) / 1e6, 0)
  return {
    rule: 'edge-seal', part: EDGES, name: 'Edges of all sheets', material: EPOXY, unit: 'g',
    net: edgeSeal(edge, c.sealFirst, edgeThirst), wasteShare: c.epoxyWaste[skill], kgEach: G,
    inputs: [
      { label: 'edges of all parts', value: edge, unit: 'm²', origin: leastSure(panels.flatMap((p) => [p.lengthMm.origin, p.widthMm.origin])) },
      ranged('first coat on bare ply', c.sealFirst, 'g/m²'),
      ranged('end grain against a face', edgeThirst, '×'),
      wasteInput(settings),
    ],
    formula: `${plain(edge)} m² × ${plain(c.sealFirst.likely)} g/m² × ${plain(edgeThirst.likely)}`, source: ruleAbout['edge-seal'].source,
  }
}

/** What is put together from several figures is as sure as the least sure of them. */
export function leastSure(origins: readonly Origin[]): Origin {
  if (origins.includes('guess')) return 'guess'
  return origins.includes('panels') ? 'panels' : 'measured'
}

export function timberSketch({ key, name, material, lengthM, widthMm, thicknessMm, density }: Timber, { coefficients: c }: EstimateSettings): Sketch {
  const length = notNegative(lengthM.value, `length of ${name}`)
  return {
    rule: 'timber', part: key, name, material, unit: 'm', net: exactly(length), wasteShare: c.timberWaste,
    kgEach: notNegative(widthMm, 'width') * notNegative(thicknessMm, 'thickness') * notNegative(density, 'density') * 1e-3,
    inputs: [
      measured('length', lengthM, 'm'),
      input('width', widthMm, 'mm'),
      input('thickness', thicknessMm, 'mm'),
      input('density at 12 % moisture', density, 'g/cm³'),
      ranged('offcuts on top', c.timberWaste, 'share'),
    ],
    formula: `${plain(length)} m`, source: ruleAbout.timber.source,
  }
}

const UNIT_WORDS = { g: 'g', ml: 'mL', m: 'm', m2: 'm²', pcs: 'piece' } as const

/** Whole pieces and what is used up have no waste of their own; goods by length or area have offcuts, liquids and powders what stays in the pot. */
export function extraSketch(extra: Extra, settings: EstimateSettings): Sketch {
  const { coefficients: c, skill } = settings
  const { key, name, material, unit, per, of, ofUnit } = extra
  const isMixed = unit === 'g' || unit === 'ml'
  const kgEach = extra.isConsumed ? 0 : extra.kgEach
  const share: Spread = extra.isConsumed || unit === 'pcs' ? NOTHING : isMixed ? c.epoxyWaste[skill] : c.timberWaste
  return {
    rule: 'piece', part: key, name, material, unit,
    net: scaleSpread(per, notNegative(of.value, `number of ${ofUnit} of ${name}`)), wasteShare: share, kgEach,
    inputs: [
      measured(ofUnit === 'boat' ? 'boats' : ofUnit === 'piece' ? 'pieces' : ofUnit === 'm' ? 'length' : 'area', of, ofUnit),
      ranged('for each', per, `${UNIT_WORDS[unit]} / ${ofUnit}`),
      input('stays in the boat, for each', kgEach, `kg / ${UNIT_WORDS[unit]}`),
      ...(share === NOTHING ? [] : [ranged('wasted on top', share, 'share')]),
    ],
    formula: `${plain(of.value)} ${ofUnit} × ${plain(per.likely)}`, source: extra.source,
  }
}
