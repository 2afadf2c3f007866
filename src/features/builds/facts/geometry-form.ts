/** Forms of panels and seams: text to what was measured, each fault at its field in the user's words. Pure. */
import { areaByHalfBreadths, areaByStations } from '../../../core/estimate/areas.ts'
import type { Tape } from '../../../core/estimate/types.ts'
import type { Outline, PanelMeasured, SeamMeasured } from '../job-lists/geometry.ts'
import {
  angleFault, ANGLE_WORDS, arealFault, overlapFault, panelAreaFault, panelLengthFault, panelWidthFault, radiusFault, seamLengthFault, tapeWidthFault, thicknessFault, type BoatSize, type Fault,
} from './geometry-plausible.ts'
import { readStored, shownIn, type MeasureKind, type Units } from './measure-text.ts'

export type Sent = Readonly<Record<string, unknown>>
export const STATION_ROWS = 12
export const STATION_ROWS_MOST = 40
export const ANGLES_MOST = 9
export const TAPE_ROWS_MOST = 8

/** What a form of one panel shows where nobody measured: the list's own. Null for one that the list doesn't have. */
export interface PanelGuess {
  readonly count: number; readonly areaM2: number; readonly lengthMm: number; readonly widthMm: number
  readonly thicknessMm: number; readonly grain: 'along' | 'across' | 'any'; readonly joint: 'scarf' | 'butt'
}
export interface SeamGuess { readonly lengthM: number; readonly anglesDeg: readonly number[]; readonly radiusMm: number; readonly tapes: readonly Tape[] }
export interface About<Guess, Measured> { readonly units: Units; readonly size: BoatSize; readonly guess: Guess | null; readonly stored: Measured | undefined }

export type Read<T> = { readonly value: T; readonly fields: Readonly<Record<string, string>>; /** Every fault is one that may be insisted on. */ readonly isDoubt: boolean }

/** Takes fields one by one and keeps their faults. */
function reader(sent: Sent, units: Units) {
  const fields: Record<string, string> = {}
  let isImpossible = false
  const isSure = sent['sure'] === 'yes'
  const text = (name: string): string => {
    const value: unknown = Array.isArray(sent[name]) ? sent[name][0] : sent[name]
    return typeof value === 'string' ? value.trim() : ''
  }
  const wrong = (name: string, message: string) => {
    fields[name] ??= message
    isImpossible = true
  }
  const judge = (name: string, what: string, found: Fault | null) => {
    if (found === null || (found.isDoubt && isSure)) return
    fields[name] ??= `${what}: ${found.text}`
    if (!found.isDoubt) isImpossible = true
  }
  /** Undefined: empty, or not to be read. What stands as it was shown stays to the last digit. */
  const measure = (name: string, what: string, kind: MeasureKind, shown?: number): number | undefined => {
    const typed = text(name)
    if (typed === '') return undefined
    if (shown !== undefined && typed === shownIn(shown, kind, units)) return shown
    const read = readStored(typed, kind, units)
    if (read.ok) return read.value
    wrong(name, `${what}: ${read.refusal}`)
    return undefined
  }
  const whole = (name: string, what: string, least: number, most: number, shown?: number): number | undefined => {
    const n = measure(name, what, 'count', shown)
    if (n === undefined) return undefined
    if (Number.isInteger(n) && n >= least && n <= most) return n
    wrong(name, `${what}: a whole number from ${least} to ${most}, not “${text(name)}”`)
    return undefined
  }
  const choice = <T extends string>(name: string, from: readonly T[]): T | undefined => from.find((one) => one === text(name))
  return { fields, text, wrong, judge, measure, whole, choice, has: (name: string) => name in fields, isDoubt: () => Object.keys(fields).length > 0 && !isImpossible }
}
type Reader = ReturnType<typeof reader>

export const GRAINS = ['along', 'across', 'any'] as const
export const JOINTS = ['scarf', 'butt'] as const
export const HOWS = ['area', 'widths', 'half-breadths'] as const
export type How = (typeof HOWS)[number]

/** Rows that a form shows: what is stored or was typed, at least `least`, by a button some more. */
export const rowsOf = (sent: Sent, filled: number, least: number, most: number): number =>
  Math.min(most, Math.max(least, filled, Number.isInteger(Number(sent['rows'])) ? Number(sent['rows']) : 0))

const NAME_MAX = 60
function ownName(r: Reader): string {
  const name = r.text('name')
  if (name === '') r.wrong('name', 'Name: fill this in')
  else if (name.length > NAME_MAX) r.wrong('name', `Name: at most ${NAME_MAX} characters`)
  return name
}

/** A panel as its form says; what stands as the list guesses it stays a guess. `isOwn`: one that the list doesn't have. */
export function readPanel(sent: Sent, about: About<PanelGuess, PanelMeasured>, isOwn: boolean): Read<PanelMeasured> {
  const r = reader(sent, about.units)
  const { guess, stored } = about
  const kept = <T>(value: T | undefined, before: T | undefined, standing: T | undefined): T | undefined => (before === undefined && !isOwn && value === standing ? undefined : value)
  const name = isOwn ? ownName(r) : undefined
  const count = kept(r.whole('count', 'How many', 1, 200, stored?.count), stored?.count, guess?.count)
  if (isOwn && count === undefined && !r.has('count')) r.wrong('count', 'How many: fill this in')
  const thicknessMm = kept(r.measure('thickness', 'Thickness', 'sheet', stored?.thicknessMm ?? guess?.thicknessMm), stored?.thicknessMm, guess?.thicknessMm)
  if (thicknessMm !== undefined) r.judge('thickness', 'Thickness', thicknessFault(thicknessMm, about.units))
  const grain = kept(r.choice('grain', GRAINS), stored?.grain, guess?.grain)
  const joint = kept(r.choice('joint', JOINTS), stored?.joint, guess?.joint)
  const outline = readOutline(r, about, isOwn)
  const value = defined({ name, leftOut: stored?.leftOut, count, outline, thicknessMm, grain, joint })
  return { value, fields: r.fields, isDoubt: r.isDoubt() }
}

/** Leaves out what is not there. */
const defined = <T extends object>(all: { [K in keyof T]: T[K] | undefined }): T => Object.fromEntries(Object.entries(all).filter(([, v]) => v !== undefined)) as T

type PanelAbout = About<PanelGuess, PanelMeasured>
function readOutline(r: Reader, about: PanelAbout, isOwn: boolean): Outline | undefined {
  const how = r.choice('how', HOWS) ?? 'area'
  return how === 'area' ? byArea(r, about, isOwn) : byStations(r, about, how)
}

function byArea(r: Reader, { units, size, guess, stored }: PanelAbout, isOwn: boolean): Outline | undefined {
  const before = stored?.outline ? figuresOf(stored.outline) : undefined
  const shown = before ?? guess
  const standing = (name: string, si: number | undefined, kind: MeasureKind) => r.text(name) === '' || (si !== undefined && r.text(name) === shownIn(si, kind, units))
  if (!isOwn && !stored?.outline && guess && standing('area', guess.areaM2, 'area') && standing('long', guess.lengthMm, 'small') && standing('wide', guess.widthMm, 'small')) return undefined
  const lengthMm = r.measure('long', 'Length', 'small', shown?.lengthMm)
  const widthMm = r.measure('wide', 'Width', 'small', shown?.widthMm)
  const areaM2 = r.measure('area', 'Area', 'area', shown?.areaM2)
  for (const [name, what, value] of [['area', 'Area', areaM2], ['long', 'Length', lengthMm], ['wide', 'Width', widthMm]] as const) {
    if (value === undefined && !r.has(name)) r.wrong(name, `${what}: fill this in${isOwn ? '' : ', or empty all three to go back to the guess'}`)
  }
  if (lengthMm !== undefined) r.judge('long', 'Length', panelLengthFault(lengthMm, size, guess?.lengthMm ?? null, units))
  if (widthMm !== undefined) r.judge('wide', 'Width', panelWidthFault(widthMm, size, guess?.widthMm ?? null, units))
  const isBoxWrong = lengthMm === undefined || widthMm === undefined || r.has('long') || r.has('wide')
  if (areaM2 !== undefined) r.judge('area', 'Area', panelAreaFault(areaM2, isBoxWrong ? null : { lengthMm, widthMm }, units))
  return areaM2 === undefined || lengthMm === undefined || widthMm === undefined ? undefined : { how: 'area', areaM2, lengthMm, widthMm }
}

interface Station { readonly row: number; readonly at: number; readonly wide: number }
function byStations(r: Reader, { units, size, guess, stored }: PanelAbout, how: 'widths' | 'half-breadths'): Outline | undefined {
  const isHalf = how === 'half-breadths'
  const [position, width] = ['Position', isHalf ? 'Half-breadth' : 'Width']
  const before = stored?.outline?.how === how ? stored.outline.stations.map((s) => ({ at: s.atMm, wide: 'halfMm' in s ? s.halfMm : s.widthMm })) : []
  const rows: Station[] = []
  for (let row = 0; row < STATION_ROWS_MOST; row++) {
    if (r.text(`at.${row}`) === '' && r.text(`w.${row}`) === '') continue
    const at = r.measure(`at.${row}`, `${position} ${row + 1}`, 'small', before[row]?.at)
    const wide = r.measure(`w.${row}`, `${width} ${row + 1}`, 'small', before[row]?.wide)
    if (at === undefined && !r.has(`at.${row}`)) r.wrong(`at.${row}`, `${position} ${row + 1}: fill this in, or empty its ${width.toLowerCase()} too`)
    if (wide === undefined && !r.has(`w.${row}`)) r.wrong(`w.${row}`, `${width} ${row + 1}: fill this in (0 where it ends in a point), or empty its position too`)
    if (at !== undefined && at < 0) r.wrong(`at.${row}`, `${position} ${row + 1}: can’t be negative; begin with 0 at one end`)
    if (wide !== undefined && wide < 0) r.wrong(`w.${row}`, `${width} ${row + 1}: can’t be negative`)
    if (at === undefined || wide === undefined || r.has(`at.${row}`) || r.has(`w.${row}`)) continue
    const last = rows.at(-1)
    if (last && at <= last.at) r.wrong(`at.${row}`, `${position} ${row + 1}: ${shownIn(at, 'small', units)} is not beyond ${shownIn(last.at, 'small', units)} before it; write them from one end to the other`)
    else rows.push({ row, at, wide })
  }
  if (Object.keys(r.fields).some((name) => /^(at|w)\./.test(name))) return undefined
  if (rows.length < 2) {
    r.wrong(rows.length === 0 ? 'at.0' : `at.${rows[0]!.row === 0 ? 1 : 0}`, `At least two stations: a position and a ${width.toLowerCase()} each`)
    return undefined
  }
  const lengthMm = rows.at(-1)!.at - rows[0]!.at
  const widest = rows.reduce((a, b) => (b.wide > a.wide ? b : a))
  const name = (field: 'at' | 'w', { row }: Station) => `${field}.${row}`
  r.judge(name('at', rows.at(-1)!), 'From the first to the last position', panelLengthFault(lengthMm, size, guess?.lengthMm ?? null, units))
  r.judge(name('w', widest), isHalf ? 'Twice the largest half-breadth' : 'The largest width', panelWidthFault(widest.wide * (isHalf ? 2 : 1), size, guess?.widthMm ?? null, units))
  return isHalf ? { how, stations: rows.map((s) => ({ atMm: s.at, halfMm: s.wide })) } : { how, stations: rows.map((s) => ({ atMm: s.at, widthMm: s.wide })) }
}

/** Area, length and largest width of one piece. */
export function figuresOf(outline: Outline): { areaM2: number; lengthMm: number; widthMm: number } {
  if (outline.how === 'area') return outline
  const at = outline.stations.map((s) => s.atMm)
  const lengthMm = at.at(-1)! - at[0]!
  return outline.how === 'widths'
    ? { areaM2: areaByStations(outline.stations), lengthMm, widthMm: Math.max(...outline.stations.map((s) => s.widthMm)) }
    : { areaM2: areaByHalfBreadths(outline.stations), lengthMm, widthMm: 2 * Math.max(...outline.stations.map((s) => s.halfMm)) }
}

export function readSeam(sent: Sent, about: About<SeamGuess, SeamMeasured>, isOwn: boolean): Read<SeamMeasured> {
  const r = reader(sent, about.units)
  const { guess, stored, size, units } = about
  const name = isOwn ? ownName(r) : undefined
  const asGuessed = (typed: number | undefined, before: number | undefined, standing: number | undefined) => (before === undefined && !isOwn && typed === standing ? undefined : typed)
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
  const isAsGuessed = stored?.anglesDeg === undefined && !isOwn && guess?.anglesDeg.length === angles.length && guess.anglesDeg.every((a, i) => a === angles[i])
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
  if (stored?.tapes !== undefined || isOwn) return tapes
  return guess && JSON.stringify(tapes) === JSON.stringify(guess.tapes.map(tapeOf)) ? undefined : tapes
}
const tapeOf = ({ side, widthMm, arealMass, layers, overlapMm }: Tape): Tape => ({ side, widthMm, arealMass, layers, overlapMm })
