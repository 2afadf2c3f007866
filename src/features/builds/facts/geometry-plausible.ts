/**
 * What a measurement of this boat can be, and what it most likely is when it can't: inches typed where millimetres are asked. Pure.
 * The bounds are plausibility (common practice, no source), wide enough for every boat that a club builds.
 */
import { fieldUnit, INCH_MM, shownIn, soldAs, UNITS, withUnit, type MeasureKind, type Units } from './measure-text.ts'

/** Null where the build's list doesn't ask for it. */
export interface BoatSize { readonly lengthM: number | null; readonly beamM: number | null }
/** `isDoubt`: unlikely, not impossible: who looked again may insist. */
export interface Fault { readonly text: string; readonly isDoubt: boolean }
const fault = (text: string): Fault => ({ text, isDoubt: false })
const doubt = (text: string): Fault => ({ text, isDoubt: true })

const ratio = (a: number, b: number): number => Math.max(a / b, b / a)
/** A reading in another unit has to come this near to what was expected. */
const NEAR = 1.6
/** From here on a figure is far enough from the guess to look for another reading. */
const FAR = 6

export interface Likely { readonly expected: number | null; readonly least: number; readonly most: number }
/** What the typed figure would be in another unit, where that is likely. */
function otherReading(si: number, kind: MeasureKind, units: Units, { expected, least, most }: Likely): { many: string; si: number } | null {
  const own = fieldUnit(kind, units)
  const n = si / own.si
  const others = UNITS[kind].filter((u) => u.word !== own.word).map((u) => ({ many: u.many, si: soldAs(n * u.si, kind) }))
  if (expected === null || expected <= 0 || si <= 0) return others.find((o) => o.si >= least && o.si <= most) ?? null
  const better = others.filter((o) => ratio(o.si, expected) <= NEAR && ratio(o.si, expected) * 2 < ratio(si, expected))
  return better.sort((a, b) => ratio(a.si, expected) - ratio(b.si, expected))[0] ?? null
}
function isIt(si: number, kind: MeasureKind, units: Units, likely: Likely): string {
  const other = otherReading(si, kind, units, likely)
  return other ? `: is it ${other.many} (${withUnit(other.si, kind, units)})?` : ''
}

const ofBoat = (what: string, m: number, units: Units): string => `${what} of a ${withUnit(m, 'length', units)} boat`
/** Where a list has no length or beam: as large as the largest that clubs build. */
const LONGEST_M = 8
const BEAMIEST_M = 3

/** Length of one piece, mm; `expected` is what the list guesses. */
export function panelLengthFault(mm: number, size: BoatSize, expected: number | null, units: Units): Fault | null {
  if (mm <= 0) return fault('A length is above 0')
  const boat = size.lengthM ?? LONGEST_M
  const most = boat * 1500
  const least = Math.min(boat * 50, expected === null ? Infinity : expected / 3)
  const likely = { expected, least, most }
  const [typed, perhaps] = [withUnit(mm, 'small', units), isIt(mm, 'small', units, likely)]
  const her = size.lengthM === null ? 'any boat here' : `the boat (${withUnit(boat, 'length', units)})`
  if (mm > most) return fault(`${typed} is longer than one and a half times ${her}${perhaps}`)
  const isFar = expected !== null && ratio(mm, expected) > FAR && mm < expected && otherReading(mm, 'small', units, likely) !== null
  if (mm < least || isFar) return doubt(`${typed} is short for ${size.lengthM === null ? 'a panel' : ofBoat('a panel', boat, units)}${perhaps}`)
  return null
}

/** Largest width of one piece, mm. */
export function panelWidthFault(mm: number, size: BoatSize, expected: number | null, units: Units): Fault | null {
  if (mm <= 0) return fault('A width is above 0')
  const beam = size.beamM ?? BEAMIEST_M
  const most = beam * 1500
  const least = Math.min(beam * 25, expected === null ? Infinity : expected / 3)
  const likely = { expected, least, most }
  const [typed, perhaps] = [withUnit(mm, 'small', units), isIt(mm, 'small', units, likely)]
  const her = size.beamM === null ? 'any boat here' : `her beam (${withUnit(beam, 'length', units)})`
  if (mm > most) return fault(`${typed} is wider than one and a half times ${her}${perhaps}`)
  const isFar = expected !== null && ratio(mm, expected) > FAR && mm < expected && otherReading(mm, 'small', units, likely) !== null
  if (mm < least || isFar) return doubt(`${typed} is narrow for ${size.lengthM === null ? 'a panel' : ofBoat('a panel', size.lengthM, units)}${perhaps}`)
  return null
}

/** Area of one piece against the rectangle that bounds it (null where that itself is wrong). */
export function panelAreaFault(m2: number, box: { lengthMm: number; widthMm: number } | null, units: Units): Fault | null {
  if (m2 < 0) return fault(`An area can’t be negative: ${withUnit(m2, 'area', units)}`)
  if (m2 === 0) return fault('An area is above 0')
  if (box === null) return null
  const most = (box.lengthMm * box.widthMm) / 1e6
  const likely = { expected: most * 0.75, least: most * 0.3, most }
  const rectangle = `its length times its width (${withUnit(most, 'area', units)})`
  // What was rounded when it was typed may reach a little over.
  if (m2 > most * 1.01) return fault(`${withUnit(m2, 'area', units)} is more than ${rectangle}${isIt(m2, 'area', units, likely)}`)
  if (m2 < most * 0.15) return doubt(`${withUnit(m2, 'area', units)} is little for ${rectangle}${isIt(m2, 'area', units, likely)}`)
  return null
}

/** Ply, mm: what is sold is 3 to 25 mm thick, thin aircraft ply and thick bed-plates allowed for. */
export function thicknessFault(mm: number, units: Units): Fault | null {
  if (mm <= 0) return fault('A thickness is above 0')
  if (mm < 1) return fault(smallAsInches(mm, soldAs(mm * INCH_MM, 'sheet')))
  if (mm < 1.5 || mm > 40) return fault(`Ply is 1.5 to 40 mm thick, not ${withUnit(mm, 'sheet', units)}`)
  return null
}
const smallAsInches = (n: number, mm: number): string => `${shownIn(mm, 'sheet', 'metric')} mm? ${n} looks like inches`

/** Radius of a fillet, mm; 0: none. */
export function radiusFault(mm: number, units: Units): Fault | null {
  if (mm < 0) return fault('A radius is 0 (no fillet) or above')
  if (mm > 0 && mm < 3 && units === 'metric') return fault(`${Math.round(mm * INCH_MM)} mm? ${mm} looks like inches`)
  if (mm === 0 || (mm >= 3 && mm <= 100)) return null
  const perhaps = mm > 100 && units === 'imperial' ? ': is it millimetres?' : ''
  return fault(`A fillet has a radius of ${withUnit(3, 'small', units)} to ${withUnit(100, 'small', units)}, not ${withUnit(mm, 'small', units)}${perhaps}`)
}

/** Dry glass, g/m². */
export function arealFault(gsm: number): Fault | null {
  if (gsm <= 0) return fault('Its weight is above 0')
  if (gsm < 20) return fault(`${gsm} looks like oz/yd²: ${soldAs(gsm * UNITS.areal[0]!.si, 'areal').toFixed(0)} g/m²`)
  return gsm > 1500 ? fault(`Cloth and tape are 20 to 1500 g/m², not ${gsm}`) : null
}

export function tapeWidthFault(mm: number, units: Units): Fault | null {
  if (mm <= 0) return fault('A width is above 0')
  if (mm < 12 && units === 'metric') return fault(`${soldAs(mm * INCH_MM, 'tape').toFixed(0)} mm? ${mm} looks like inches`)
  return mm < 12 || mm > 400 ? fault(`A tape is ${withUnit(12, 'tape', units)} to ${withUnit(400, 'tape', units)} wide, not ${withUnit(mm, 'tape', units)}`) : null
}

export function overlapFault(mm: number, units: Units): Fault | null {
  return mm < 0 || mm > 1000 ? fault(`The overlap is ${withUnit(0, 'small', units)} to ${withUnit(1000, 'small', units)}, not ${withUnit(mm, 'small', units)}`) : null
}

export const ANGLE_WORDS = 'between 1° and 180°: the inside angle between the two panels'
export function angleFault(deg: number): Fault | null {
  if (!(deg >= 1 && deg <= 180)) return fault(`${deg}° can’t be: ${ANGLE_WORDS}`)
  if (deg < 15) return doubt(`${deg}° is a very sharp corner${deg <= Math.PI ? `: is it radians (${Math.round((deg * 180) / Math.PI)}°)?` : ''}`)
  return null
}

/** Length of a seam, m. */
export function seamLengthFault(m: number, size: BoatSize, expected: number | null, units: Units): Fault | null {
  if (m <= 0) return fault('A length is above 0')
  const boat = size.lengthM ?? LONGEST_M
  const most = Math.max(boat * 4, (expected ?? 0) * 2)
  const least = Math.min(boat * 0.03, expected === null ? Infinity : expected / 3)
  const likely = { expected, least: boat * 0.3, most }
  if (m > most) return fault(`${withUnit(m, 'length', units)} is long for ${size.lengthM === null ? 'one seam' : ofBoat('one seam', boat, units)}${isIt(m, 'length', units, likely)}`)
  const other = expected !== null && ratio(m, expected) > 2.5 ? otherReading(m, 'length', units, likely) : null
  if (other && m > expected!) return doubt(`${withUnit(m, 'length', units)} is long for this seam: is it ${other.many} (${withUnit(other.si, 'length', units)})?`)
  if (m < least) return doubt(`${withUnit(m, 'length', units)} is short for ${size.lengthM === null ? 'a seam' : ofBoat('a seam', boat, units)}${isIt(m, 'length', units, likely)}`)
  return null
}

/** Any plain measurement of the list: its own bounds, in the club's units, and another reading where it is far off. */
export function plainFault(def: { label: string; min: number; max: number; leastIfAny?: number }, si: number, kind: MeasureKind, expected: number, units: Units): Fault | null {
  const between = (n: number): string => (kind === 'count' ? String(n) : shownIn(n, kind, units))
  const likely = { expected, least: def.min, most: def.max }
  const early = kind === 'areal' && si > 0 && si < 20 ? arealFault(si) : kind === 'sheet' && si > 0 && si < 1 ? thicknessFault(si, units) : null
  if (early) return { ...early, text: `${def.label}: ${early.text}` }
  if (kind === 'count' && !Number.isInteger(si)) return fault(`${def.label}: a whole number, not ${si}`)
  if (si < def.min - 1e-9 || si > def.max + 1e-9 || (def.leastIfAny !== undefined && si > 0 && si < def.leastIfAny)) {
    const { word } = fieldUnit(kind, units)
    const to = `${between(def.max)}${word === '' || word === '°' ? word : ` ${word}`}`
    const range = def.leastIfAny === undefined ? `between ${between(def.min)} and ${to}` : `0 for none, or between ${between(def.leastIfAny)} and ${to}`
    return fault(`${def.label}: ${range}, not ${between(si)}${kind === 'count' ? '' : isIt(si, kind, units, likely)}`)
  }
  if (kind === 'count' || expected <= 0 || si <= 0 || ratio(si, expected) <= 3) return null
  const other = otherReading(si, kind, units, likely)
  const far = `${def.label}: ${withUnit(si, kind, units)} is far from what is likely (${withUnit(expected, kind, units)})`
  if (other) return doubt(`${far}: is it ${other.many} (${withUnit(other.si, kind, units)})?`)
  return kind === 'area' && ratio(si, expected) > 4 ? doubt(far) : null
}
