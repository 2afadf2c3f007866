/** What seams and joints take: fillets, tapes with their resin, glue. */
import { byArea } from './coats.ts'
import { filletLeg, filletVolume, insideAngle } from './fillet.ts'
import { wetOutSpread } from './laminate.ts'
import { input, measured, plain, ranged, type Sketch } from './line.ts'
import { filledMix, mixForVolume } from './mixed.ts'
import { ruleAbout } from './rules.ts'
import { exactly, notNegative, scaleSpread } from './spread.ts'
import { EPOXY, fractionInput, G, wasteInput } from './surface-lines.ts'
import { tapeGlass, tapeLength } from './tape.ts'
import type { EstimateSettings, Input, Joint, Seam, Spread, Tape } from './types.ts'

export function seamSketches(seam: Seam, settings: EstimateSettings): Sketch[] {
  notNegative(seam.lengthM.value, `length of ${seam.name}`)
  seam.anglesDeg.forEach(insideAngle)
  return [
    ...(seam.radiusMm.value > 0 ? fillet(seam, settings) : []),
    ...seam.tapes.filter((t) => t.layers > 0).flatMap((t) => tape(seam, t, settings)),
  ]
}

function angleInputs({ anglesDeg, angleOrigin, radiusMm }: Seam): Input[] {
  const [first, ...rest] = anglesDeg
  if (first === undefined) return []
  if (rest.length > 0) {
    const label = (i: number): string => `inside angle ${i + 1} of ${anglesDeg.length}, from fore`
    return anglesDeg.map((value, i) => ({ label: label(i), value, unit: '°', origin: angleOrigin }))
  }
  return [
    { label: 'inside angle', value: first, unit: '°', origin: angleOrigin },
    input('reaches up each side', filletLeg(first, radiusMm.value), 'mm'),
  ]
}

/** The mix of a fillet as its two materials: volume × (1 + gaps) by true densities. */
function fillet(seam: Seam, settings: EstimateSettings): Sketch[] {
  const { key, name, lengthM, anglesDeg, radiusMm } = seam
  const { coefficients: c, skill } = settings
  const perMetre = filletVolume(1, anglesDeg, radiusMm.value)
  const volume = perMetre * lengthM.value
  const withGaps: Spread = { low: volume * (1 + c.gapFill.low), likely: volume * (1 + c.gapFill.likely), high: volume * (1 + c.gapFill.high) }
  const perMl = mixForVolume(1, c.epoxyDensity, c.woodFlourPer100, c.woodFlourDensity)
  const inputs = [
    measured('length', lengthM, 'm'),
    ...angleInputs(seam),
    measured('radius', radiusMm, 'mm'),
    input('volume of the fillet', volume, 'mL'),
    ranged('gaps behind it, on top', c.gapFill, 'share'),
    input('wood flour to 100 g of epoxy', c.woodFlourPer100, 'g'),
    input('density of epoxy', c.epoxyDensity, 'g/cm³'),
    input('true density of wood flour', c.woodFlourDensity, 'g/cm³'),
    input('density of the mix', perMl.density, 'g/cm³'),
    wasteInput(settings),
  ]
  const gaps = plain(c.gapFill.likely)
  const of = (material: string, what: string, ending: string, gramsPerMl: number): Sketch => ({
    rule: 'fillet', ending, part: key, name: `${name}: ${what}`, material, unit: 'g', net: scaleSpread(withGaps, gramsPerMl),
    wasteShare: c.epoxyWaste[skill], kgEach: G, inputs, source: ruleAbout.fillet.source,
    formula: `${plain(lengthM.value)} m × ${plain(perMetre)} mm² × (1 + ${gaps}) × ${plain(gramsPerMl)} g/mL`,
  })
  return [of(EPOXY, 'fillet', 'fillet', perMl.epoxyG), of('Wood flour', 'filler of the fillet', 'fillet.wood-flour', perMl.fillerG)]
}

function tape({ key, name, lengthM }: Seam, tape: Tape, settings: EstimateSettings): Sketch[] {
  const { coefficients: c, skill } = settings
  const { side, widthMm, arealMass, layers, overlapMm } = tape
  const metres = tapeLength(lengthM.value, tape)
  const glass = tapeGlass(lengthM.value, tape)
  const psi = plain(c.glassFraction[skill].likely)
  const inputs = [
    measured('length', lengthM, 'm'), input('layers', layers, ''), input('overlap of a layer', overlapMm, 'mm'),
    input('width', widthMm, 'mm'), input('dry glass', arealMass, 'g/m²'),
  ]
  return [
    {
      rule: 'tape', ending: `tape.${side}`, part: key, name: `${name}: tape ${side}`, unit: 'm',
      material: `Glass tape ${plain(widthMm)} mm, ${plain(arealMass)} g/m²`,
      net: exactly(metres), wasteShare: c.tapeWaste, kgEach: (widthMm * arealMass) / 1e6,
      inputs: [...inputs, ranged('offcuts on top', c.tapeWaste, 'share')],
      formula: `${plain(layers)} × (${plain(lengthM.value)} m + ${plain(overlapMm / 1000)} m)`, source: ruleAbout.tape.source,
    },
    {
      rule: 'tape-resin', ending: `tape-resin.${side}`, part: key, name: `${name}: wet-out of the tape ${side}`, material: EPOXY, unit: 'g',
      net: wetOutSpread(glass, c, skill), wasteShare: c.epoxyWaste[skill], kgEach: G,
      inputs: [...inputs, input('dry glass in it', glass, 'g'), fractionInput(settings), wasteInput(settings)],
      formula: `${plain(metres)} m × ${plain(widthMm / 1000)} m × ${plain(arealMass)} g/m² × (1 − ${psi}) ÷ ${psi}`,
      source: ruleAbout['tape-resin'].source,
    },
  ]
}

export function jointSketches({ key, name, areaM2 }: Joint, settings: EstimateSettings): Sketch[] {
  const { coefficients: c, skill } = settings
  const net = byArea(areaM2.value, c.glueLine)
  const mix = filledMix([{ mass: 100, density: c.epoxyDensity }, { mass: c.silicaPer100, density: c.silicaDensity }])
  const inputs = [
    measured('glued area', areaM2, 'm²'),
    ranged('glue line', c.glueLine, 'g/m²'),
    input('silica to 100 g of epoxy', c.silicaPer100, 'g'),
    input('density of the mix', mix.density, 'g/cm³'),
    // g/m² × mL/g: 1000 mL/m² is a millimetre.
    input('thickness of the glue', (c.glueLine.likely * mix.volume) / 100 / 1000, 'mm'),
    wasteInput(settings),
  ]
  const formula = `${plain(areaM2.value)} m² × ${plain(c.glueLine.likely)} g/m²`
  const of = (material: string, what: string, ending: string, grams: Spread, how: string): Sketch => ({
    rule: 'glue-line', ending, part: key, name: `${name}: ${what}`, material, unit: 'g', net: grams,
    wasteShare: c.epoxyWaste[skill], kgEach: G, inputs, formula: how, source: ruleAbout['glue-line'].source,
  })
  return [
    of(EPOXY, 'glue', 'glue-line', net, formula),
    of('Silica thickener', 'thickener', 'glue-line.silica', scaleSpread(net, c.silicaPer100 / 100), `${formula} × ${plain(c.silicaPer100)} ÷ 100`),
  ]
}
