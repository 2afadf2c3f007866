/** What a face of the boat takes: coats, cloth with its resin, fairing, paint, discs. */
import { byArea, byCoats, fillCoats } from './coats.ts'
import { fairingStays } from './coefficients.ts'
import { sheathingVolume } from './coverage.ts'
import { clothArea, nominalGlassFraction, thicknessOf, wetOutSpread } from './laminate.ts'
import { input, measured, plain, ranged, times, type Sketch } from './line.ts'
import { dryFilmMass, paintSpreading, paintTheory, practicalSpreading, wetFilm, withLoss } from './paint.ts'
import { ruleAbout } from './rules.ts'
import { exactly, notNegative, scaleSpread, timesSpread } from './spread.ts'
import type { EstimateSettings, Paint, Spread, Surface } from './types.ts'

export const EPOXY = 'Mixed epoxy'
/** Labels of a lap's figures. */
export const LAP_WIDE = 'laps, wide'
export const LAP_ALONG = 'laps, along'
const SKILLS = { first: 'first boat', some: 'some experience', practised: 'practised' } as const

/** kg of a gram. */
export const G = 1e-3

export const wasteInput = ({ coefficients, skill }: EstimateSettings): ReturnType<typeof ranged> =>
  ranged(`wasted on top, ${SKILLS[skill]}`, coefficients.epoxyWaste[skill], 'share')
export const fractionInput = ({ coefficients, skill }: EstimateSettings): ReturnType<typeof ranged> =>
  ranged(`glass fraction ψ, ${SKILLS[skill]}`, coefficients.glassFraction[skill], 'share of mass')

export function surfaceSketches(surface: Surface, settings: EstimateSettings): Sketch[] {
  const { cloth, paints, areaM2 } = surface
  notNegative(areaM2.value, `area of ${surface.name}`)
  return [
    ...coats(surface, settings),
    ...(cloth && cloth.layers > 0 ? glass(surface, cloth, settings) : []),
    ...(surface.fillCoats > 0 ? [fill(surface, settings)] : []),
    ...(surface.fairedShare > 0 ? [fairing(surface, settings)] : []),
    ...paints.filter((p) => p.coats > 0).map((p) => paint(surface, p, settings)),
    ...(surface.sanded ? [discs(surface, settings)] : []),
  ]
}

function coats({ key, name, areaM2, sealCoats, topUpCoats }: Surface, settings: EstimateSettings): Sketch[] {
  const { coefficients: c, skill } = settings
  const next = Math.max(0, sealCoats - 1) + topUpCoats
  const shared = { part: key, material: EPOXY, unit: 'g', wasteShare: c.epoxyWaste[skill], kgEach: G } as const
  const area = measured('area', areaM2, 'm²')
  const first: Sketch = {
    ...shared, rule: 'seal-first', name: `${name}: first coat`, net: byArea(areaM2.value, c.sealFirst),
    inputs: [area, ranged('first coat on bare ply', c.sealFirst, 'g/m²'), wasteInput(settings)],
    formula: `${plain(areaM2.value)} m² × ${plain(c.sealFirst.likely)} g/m²`, source: ruleAbout['seal-first'].source,
  }
  const later: Sketch = {
    ...shared, rule: 'seal-next', name: `${name}: later coats`, net: byCoats(areaM2.value, next, c.sealNext),
    inputs: [area, input('coats', next, ''), ranged('a later coat', c.sealNext, 'g/m²'), wasteInput(settings)],
    formula: `${plain(areaM2.value)} m²${times(next)} × ${plain(c.sealNext.likely)} g/m²`, source: ruleAbout['seal-next'].source,
  }
  return [...(sealCoats > 0 ? [first] : []), ...(next > 0 ? [later] : [])]
}

function glass({ key, name, areaM2 }: Surface, cloth: NonNullable<Surface['cloth']>, settings: EstimateSettings): Sketch[] {
  const { coefficients: c, skill } = settings
  const lap = cloth.lap ?? null
  const { net, waste } = clothArea(areaM2.value, cloth.layers, cloth.trimShare, lap ? { widthMm: lap.widthMm.value, alongM: lap.alongM.value } : undefined)
  const covered = lap && lap.widthMm.value * lap.alongM.value > 0 ? `(${plain(areaM2.value)} m² + ${plain(lap.widthMm.value)} mm × ${plain(lap.alongM.value)} m)` : `${plain(areaM2.value)} m²`
  const psi = plain(c.glassFraction[skill].likely)
  const dryGlass = (cloth.arealMass * cloth.layers) / 1000
  const inputs = [
    measured('area', areaM2, 'm²'),
    ...(lap ? [measured(LAP_WIDE, lap.widthMm, 'mm'), measured(LAP_ALONG, lap.alongM, 'm')] : []),
    input('layers', cloth.layers, ''),
  ]
  const layers = times(cloth.layers)
  return [
    {
      rule: 'cloth', part: key, name: `${name}: glass cloth`, material: `Glass cloth ${plain(cloth.arealMass)} g/m²`, unit: 'm2',
      net: exactly(net), waste, kgEach: cloth.arealMass * G,
      inputs: [...inputs, ranged('trimmed off, on top', cloth.trimShare, 'share')],
      formula: `${covered}${layers}`, source: ruleAbout.cloth.source,
    },
    {
      rule: 'wet-out', part: key, name: `${name}: wet-out of the cloth`, material: EPOXY, unit: 'g',
      net: wetOutSpread(net * notNegative(cloth.arealMass, 'cloth'), c, skill), wasteShare: c.epoxyWaste[skill], kgEach: G,
      inputs: [
        ...inputs,
        input('dry glass', cloth.arealMass, 'g/m²'),
        fractionInput(settings),
        input('a standard’s nominal for woven glass (second-hand), to compare', nominalGlassFraction('woven-roving', 'simple'), 'share of mass'),
        input('thickness of the laminate', thicknessOf(dryGlass, c.glassFraction[skill].likely, c.glassDensity, c.epoxyDensity), 'mm'),
        wasteInput(settings),
      ],
      formula: `${plain(cloth.arealMass)} g/m² × ${covered}${layers} × (1 − ${psi}) ÷ ${psi}`,
      source: ruleAbout['wet-out'].source,
    },
  ]
}

const PUBLISHED = 'a published formula for this glass with three fill coats, skilled hands, waste and all, to compare'

function fill({ key, name, areaM2, fillCoats: coats, cloth }: Surface, settings: EstimateSettings): Sketch {
  const { coefficients: c, skill } = settings
  const published = cloth && cloth.layers > 0 ? sheathingVolume(areaM2.value, cloth.arealMass * cloth.layers) * 1000 * c.epoxyDensity : null
  return {
    rule: 'fill-coat', part: key, name: `${name}: fill coats`, material: EPOXY, unit: 'g',
    net: fillCoats(areaM2.value, coats, c.fillCoat), wasteShare: c.epoxyWaste[skill], kgEach: G,
    inputs: [
      measured('area', areaM2, 'm²'),
      input('coats', coats, ''),
      ranged('a fill coat', c.fillCoat, 'g/m²'),
      ...(published === null ? [] : [input(PUBLISHED, published, 'g')]),
      wasteInput(settings),
    ],
    formula: `${plain(areaM2.value)} m²${times(coats)} × ${plain(c.fillCoat.likely)} g/m²`, source: ruleAbout['fill-coat'].source,
  }
}

function fairing({ key, name, areaM2, fairedShare }: Surface, settings: EstimateSettings): Sketch {
  const { coefficients: c, skill } = settings
  const net = byArea(areaM2.value * fairedShare, c.fairing)
  return {
    rule: 'fairing', part: key, name: `${name}: fairing`, material: 'Fairing compound', unit: 'g',
    net, wasteShare: c.epoxyWaste[skill], kg: scaleSpread(timesSpread(net, fairingStays), G),
    inputs: [
      measured('area', areaM2, 'm²'),
      input('share faired', fairedShare, 'share'),
      ranged('fairing compound', c.fairing, 'g/m²'),
      ranged('still there after sanding', fairingStays, 'share'),
      wasteInput(settings),
    ],
    formula: `${plain(areaM2.value)} m²${times(fairedShare)} × ${plain(c.fairing.likely)} g/m²`, source: ruleAbout.fairing.source,
  }
}

function paint({ key, name, areaM2 }: Surface, paint: Paint, { coefficients: { paintLoss } }: EstimateSettings): Sketch {
  const { coats, solids, filmUm, material } = paint
  const net = paintTheory(areaM2.value, coats, solids, filmUm) * 1000
  const rate = `(${plain(solids * 100)} × 10 ÷ ${plain(filmUm)} m²/L)`
  const lost = (share: number): number => withLoss(net, share) - net
  const waste: Spread = { low: lost(paintLoss.low), likely: lost(paintLoss.likely), high: lost(paintLoss.high) }
  return {
    rule: 'paint', ending: `paint.${material}`, part: key, name: `${name}: ${material.toLowerCase()}`, material, unit: 'ml', net: exactly(net), waste,
    kg: exactly(dryFilmMass(areaM2.value, coats, filmUm, paint.dryDensity)),
    inputs: [
      measured('area', areaM2, 'm²'),
      input('coats', coats, ''),
      input('solids by volume', solids * 100, '%'),
      input('dry film of a coat', filmUm, 'µm'),
      input('wet film of a coat', wetFilm(solids, filmUm), 'µm'),
      input('theoretical spreading', paintSpreading(solids, filmUm), 'm²/L'),
      ranged('lost, of what is taken', paintLoss, 'share'),
      input('spreading in practice', practicalSpreading(solids, filmUm, paintLoss.likely), 'm²/L'),
      input('density of the dry film', paint.dryDensity, 'g/cm³'),
    ],
    formula: `${plain(areaM2.value)} m²${times(coats)} ÷ ${rate}; with waste ÷ (1 − ${plain(paintLoss.likely)})`,
    source: ruleAbout.paint.source,
  }
}

function discs({ key, name, areaM2 }: Surface, { coefficients: c }: EstimateSettings): Sketch {
  return {
    rule: 'abrasive', part: key, name: `${name}: sanding discs`, material: 'Sanding discs', unit: 'pcs', net: byArea(areaM2.value, c.discs),
    inputs: [measured('area', areaM2, 'm²'), ranged('discs, all sandings', c.discs, 'pieces/m²')],
    formula: `${plain(areaM2.value)} m² × ${plain(c.discs.likely)} /m²`, source: ruleAbout.abrasive.source,
  }
}
