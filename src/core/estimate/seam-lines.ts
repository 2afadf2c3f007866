/** What seams and joints take: fillets, tapes with their resin, glue. */
import { byArea } from './coats.ts'
import { filletVolume, insideAngle } from './fillet.ts'
import { wetOutSpread } from './laminate.ts'
import { input, measured, plain, ranged, type Sketch } from './line.ts'
import { mixForVolume } from './mixed.ts'
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

/** The mix of a fillet as its two materials: volume × (1 + gaps) by true densities. */
function fillet(seam: Seam, settings: EstimateSettings): Sketch[] {
  const { key, name, lengthM, anglesDeg, angleOrigin, radiusMm } = seam
  const { coefficients: c, skill } = settings
  const volume = filletVolume(lengthM.value, anglesDeg, radiusMm.value)
  const withGaps: Spread = { low: volume * (1 + c.gapFill.low), likely: volume * (1 + c.gapFill.likely), high: volume * (1 + c.gapFill.high) }
  const perMl = mixForVolume(1, c.epoxyDensity, c.woodFlourPer100, c.woodFlourDensity)
  const angles: Input[] = anglesDeg.map((value, i): Input => ({ label: anglesDeg.length === 1 ? 'inside angle' : `inside angle ${i + 1} of ${anglesDeg.length}, from fore`, value, unit: '°', origin: angleOrigin }))
  const inputs = [
    measured('length', lengthM, 'm'), ...angles, measured('radius', radiusMm, 'mm'), input('volume of the fillet', volume, 'mL'),
    ranged('gaps behind it, on top', c.gapFill, 'share'), input('wood flour to 100 g of epoxy', c.woodFlourPer100, 'g'), input('density of epoxy', c.epoxyDensity, 'g/cm³'),
    input('true density of wood flour', c.woodFlourDensity, 'g/cm³'), input('density of the mix', perMl.density, 'g/cm³'), wasteInput(settings),
  ]
  const shared = { rule: 'fillet', part: key, unit: 'g', wasteShare: c.epoxyWaste[skill], kgEach: G, inputs, source: ruleAbout.fillet.source } as const
  const formula = (grams: number): string =>
    `${plain(lengthM.value)} m × ${plain(lengthM.value > 0 ? volume / lengthM.value : 0)} mm² × (1 + ${plain(c.gapFill.likely)}) × ${plain(grams)} g/mL`
  return [
    { ...shared, name: `${name}: fillet`, material: EPOXY, net: scaleSpread(withGaps, perMl.epoxyG), formula: formula(perMl.epoxyG) },
    { ...shared, ending: 'fillet.wood-flour', name: `${name}: filler of the fillet`, material: 'Wood flour', net: scaleSpread(withGaps, perMl.fillerG), formula: formula(perMl.fillerG) },
  ]
}

function tape({ key, name, lengthM }: Seam, tape: Tape, settings: EstimateSettings): Sketch[] {
  const { coefficients: c, skill } = settings
  const metres = tapeLength(lengthM.value, tape)
  const glass = tapeGlass(lengthM.value, tape)
  const psi = plain(c.glassFraction[skill].likely)
  const inputs = [
    measured('length', lengthM, 'm'), input('layers', tape.layers, ''), input('overlap of a layer', tape.overlapMm, 'mm'),
    input('width', tape.widthMm, 'mm'), input('dry glass', tape.arealMass, 'g/m²'),
  ]
  return [
    {
      rule: 'tape', ending: `tape.${tape.side}`, part: key, name: `${name}: tape ${tape.side}`, material: `Glass tape ${plain(tape.widthMm)} mm, ${plain(tape.arealMass)} g/m²`, unit: 'm',
      net: exactly(metres), wasteShare: c.tapeWaste, kgEach: (tape.widthMm * tape.arealMass) / 1e6, inputs: [...inputs, ranged('offcuts on top', c.tapeWaste, 'share')],
      formula: `${plain(tape.layers)} × (${plain(lengthM.value)} m + ${plain(tape.overlapMm / 1000)} m)`, source: ruleAbout.tape.source,
    },
    {
      rule: 'tape-resin', ending: `tape-resin.${tape.side}`, part: key, name: `${name}: wet-out of the tape ${tape.side}`, material: EPOXY, unit: 'g',
      net: wetOutSpread(glass, c, skill), wasteShare: c.epoxyWaste[skill], kgEach: G, inputs: [...inputs, fractionInput(settings), wasteInput(settings)],
      formula: `${plain(metres)} m × ${plain(tape.widthMm / 1000)} m × ${plain(tape.arealMass)} g/m² × (1 − ${psi}) ÷ ${psi}`, source: ruleAbout['tape-resin'].source,
    },
  ]
}

export function jointSketches({ key, name, areaM2 }: Joint, settings: EstimateSettings): Sketch[] {
  const { coefficients: c, skill } = settings
  const net = byArea(areaM2.value, c.glueLine)
  const inputs = [measured('glued area', areaM2, 'm²'), ranged('glue line', c.glueLine, 'g/m²')]
  const formula = `${plain(areaM2.value)} m² × ${plain(c.glueLine.likely)} g/m²`
  const shared = { rule: 'glue-line', part: key, unit: 'g', wasteShare: c.epoxyWaste[skill], kgEach: G, source: ruleAbout['glue-line'].source } as const
  return [
    { ...shared, name: `${name}: glue`, material: EPOXY, net, inputs: [...inputs, wasteInput(settings)], formula },
    {
      ...shared, ending: 'glue-line.silica', name: `${name}: thickener of the glue`, material: 'Silica thickener', net: scaleSpread(net, c.silicaPer100 / 100),
      inputs: [...inputs, input('silica to 100 g of epoxy', c.silicaPer100, 'g'), wasteInput(settings)], formula: `${formula} × ${plain(c.silicaPer100)} ÷ 100`,
    },
  ]
}
