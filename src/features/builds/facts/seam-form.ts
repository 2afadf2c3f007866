/** The form of one seam. Pure. */
import type { Tape } from '../../../core/estimate/types.ts'
import type { SeamMeasured } from '../job-lists/geometry.ts'
import { defined, ownName, reader, type About, type Read, type Reader, type Sent } from './geometry-form.ts'
import { angleFault, ANGLE_WORDS, arealFault, overlapFault, radiusFault, seamLengthFault, tapeWidthFault } from './geometry-plausible.ts'

export const ANGLES_MOST = 9
export const TAPE_ROWS_MOST = 8
export interface SeamGuess { readonly lengthM: number; readonly anglesDeg: readonly number[]; readonly radiusMm: number; readonly tapes: readonly Tape[] }

export function readSeam(sent: Sent, about: About<SeamGuess, SeamMeasured>, isOwn: boolean): Read<SeamMeasured> {
  const r = reader(sent, about.units)
  const { guess, stored, size, units } = about
  const name = isOwn ? ownName(r) : undefined
  const isSo = r.text('ok') === 'yes'
  const asGuessed = (typed: number | undefined, before: number | undefined, standing: number | undefined) => (before === undefined && !isOwn && !isSo && typed === standing ? undefined : typed)
  const lengthM = asGuessed(r.measure('length', 'Length', 'length', stored?.lengthM ?? guess?.lengthM), stored?.lengthM, guess?.lengthM)
  if (lengthM !== undefined) r.judge('length', 'Length', seamLengthFault(lengthM, size, guess?.lengthM ?? null, units))
  else if (isOwn && !r.has('length')) r.wrong('length', 'Length: fill this in')
  const radiusMm = asGuessed(r.measure('radius', 'Radius', 'small', stored?.radiusMm ?? guess?.radiusMm), stored?.radiusMm, guess?.radiusMm)
  if (radiusMm !== undefined) r.judge('radius', 'Radius', radiusFault(radiusMm, units))
  else if (isOwn && !r.has('radius')) r.wrong('radius', 'Radius: fill this in; 0 for no fillet')
  const anglesDeg = readAngles(r, about, isOwn)
  const tapes = readTapes(r, about, isOwn)
  return { value: defined({ name, leftOut: stored?.leftOut, lengthM, anglesDeg, radiusMm, tapes }), fields: r.fields, isDoubt: r.isDoubt() }
}

type SeamAbout = About<SeamGuess, SeamMeasured>
function readAngles(r: Reader, { guess, stored }: SeamAbout, isOwn: boolean): number[] | undefined {
  const names = Array.from({ length: ANGLES_MOST }, (_, i) => `angle.${i}`)
  const last = names.findLastIndex((name) => r.text(name) !== '')
  if (last < 0) {
    if (isOwn) r.wrong('angle.0', `Angle: ${ANGLE_WORDS}; one figure where it is the same all along`)
    return undefined
  }
  const angles = names.slice(0, last + 1).flatMap((name, i) => {
    const angle = r.measure(name, `Angle ${i + 1}`, 'angle', stored?.anglesDeg?.[i] ?? guess?.anglesDeg[i])
    if (angle !== undefined) r.judge(name, `Angle ${i + 1}`, angleFault(angle))
    else if (!r.has(name)) r.wrong(name, `Angle ${i + 1}: fill this in; they stand at equal steps from fore to aft, without gaps`)
    return angle ?? []
  })
  const isAsGuessed = stored?.anglesDeg === undefined && !isOwn && r.text('ok') !== 'yes' && guess?.anglesDeg.length === angles.length && guess.anglesDeg.every((a, i) => a === angles[i])
  return isAsGuessed ? undefined : angles
}

export const TAPE_FIELDS = ['side', 'tape', 'mass', 'layers', 'overlap'] as const
function readTapes(r: Reader, { guess, stored, units }: SeamAbout, isOwn: boolean): Tape[] | undefined {
  const before = stored?.tapes ?? guess?.tapes ?? []
  const tapes: Tape[] = []
  for (let row = 0; row < TAPE_ROWS_MOST; row++) {
    const at = (field: (typeof TAPE_FIELDS)[number]) => `${field}.${row}`
    if ((['tape', 'mass', 'layers'] as const).every((field) => r.text(at(field)) === '')) continue
    const no = `Tape ${row + 1}`
    const side = r.choice(at('side'), ['inside', 'outside'] as const) ?? 'inside'
    const widthMm = r.measure(at('tape'), `${no}, width`, 'tape', before[row]?.widthMm)
    const arealMass = r.measure(at('mass'), `${no}, g/m²`, 'areal', before[row]?.arealMass)
    const layers = r.whole(at('layers'), `${no}, layers`, 1, 8, before[row]?.layers)
    const overlapMm = r.measure(at('overlap'), `${no}, overlap`, 'small', before[row]?.overlapMm) ?? 0
    for (const [field, what, value] of [['tape', 'width', widthMm], ['mass', 'g/m²', arealMass], ['layers', 'layers', layers]] as const) {
      if (value === undefined && !r.has(at(field))) r.wrong(at(field), `${no}, ${what}: fill this in, or empty the whole row`)
    }
    if (widthMm !== undefined) r.judge(at('tape'), `${no}, width`, tapeWidthFault(widthMm, units))
    if (arealMass !== undefined) r.judge(at('mass'), `${no}, g/m²`, arealFault(arealMass))
    r.judge(at('overlap'), `${no}, overlap`, overlapFault(overlapMm, units))
    if (widthMm !== undefined && arealMass !== undefined && layers !== undefined) tapes.push({ side, widthMm, arealMass, layers, overlapMm })
  }
  // Tapes are chosen, not measured: what is as the list has it goes on following the list.
  return !isOwn && guess && JSON.stringify(tapes) === JSON.stringify(guess.tapes.map(tapeOf)) ? undefined : tapes
}
const tapeOf = ({ side, widthMm, arealMass, layers, overlapMm }: Tape): Tape => ({ side, widthMm, arealMass, layers, overlapMm })
