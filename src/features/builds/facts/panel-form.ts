/** The form of one panel. Pure. */
import { areaByHalfBreadths } from '../../../core/estimate/areas.ts'
import type { Outline, PanelMeasured } from '../job-lists/geometry.ts'
import { outlineOf } from '../job-lists/outline.ts'
import { defined, ownName, reader, type About, type Read, type Reader, type Sent } from './geometry-form.ts'
import { panelAreaFault, panelLengthFault, panelWidthFault, thicknessFault } from './geometry-plausible.ts'
import { shownIn, type MeasureKind } from './measure-text.ts'

export const STATION_ROWS = 12
export const STATION_ROWS_MOST = 40
const GRAINS = ['along', 'across', 'any'] as const
const JOINTS = ['scarf', 'butt'] as const
export const HOWS = ['area', 'widths', 'half-breadths'] as const
export type How = (typeof HOWS)[number]

/** What a form of one panel shows where nobody measured: the list's own. Null for one that the list doesn't have. */
export interface PanelGuess {
  readonly count: number; readonly areaM2: number; readonly lengthMm: number; readonly widthMm: number
  readonly thicknessMm: number; readonly grain: 'along' | 'across' | 'any'; readonly joint: 'scarf' | 'butt'
}
type PanelAbout = About<PanelGuess, PanelMeasured>

/** A panel as its form says; what stands as the list guesses it stays a guess. `isOwn`: one that the list doesn't have. */
export function readPanel(sent: Sent, about: About<PanelGuess, PanelMeasured>, isOwn: boolean): Read<PanelMeasured> {
  const r = reader(sent, about.units)
  const { guess, stored } = about
  /** What is as the list has it goes on following the list. */
  const unlessListed = <T>(value: T | undefined, listed: T | undefined): T | undefined => (!isOwn && value === listed ? undefined : value)
  const name = isOwn ? ownName(r) : undefined
  const count = unlessListed(r.whole('count', 'How many', 1, 200, stored?.count), guess?.count)
  if (isOwn && count === undefined && !r.has('count')) r.wrong('count', 'How many: fill this in')
  const thicknessMm = unlessListed(r.measure('thickness', 'Thickness', 'sheet', stored?.thicknessMm ?? guess?.thicknessMm), guess?.thicknessMm)
  if (thicknessMm !== undefined) r.judge('thickness', 'Thickness', thicknessFault(thicknessMm, about.units))
  const grain = unlessListed(r.choice('grain', GRAINS), guess?.grain)
  const joint = unlessListed(r.choice('joint', JOINTS), guess?.joint)
  const outline = readOutline(r, about, isOwn)
  const value = defined({ name, leftOut: stored?.leftOut, count, outline, thicknessMm, grain, joint })
  return { value, fields: r.fields, isDoubt: r.isDoubt() }
}

function readOutline(r: Reader, about: PanelAbout, isOwn: boolean): Outline | undefined {
  const how = r.choice('how', HOWS) ?? 'area'
  return how === 'area' ? byArea(r, about, isOwn) : byStations(r, about, how)
}

function byArea(r: Reader, { units, size, guess, stored }: PanelAbout, isOwn: boolean): Outline | undefined {
  const before = stored?.outline && outlineOf(stored.outline)
  const shown = before ?? guess
  const standing = (name: string, si: number | undefined, kind: MeasureKind) => r.text(name) === '' || (si !== undefined && r.text(name) === shownIn(si, kind, units))
  if (!isOwn && !stored?.outline && guess && standing('area', guess.areaM2, 'area') && standing('long', guess.lengthMm, 'small') && standing('wide', guess.widthMm, 'small')) {
    return r.text('ok') === 'yes' ? { how: 'area', areaM2: guess.areaM2, lengthMm: guess.lengthMm, widthMm: guess.widthMm } : undefined
  }
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
    if (last && at <= last.at) {
      const before = shownIn(last.at, 'small', units)
      r.wrong(`at.${row}`, `${position} ${row + 1}: ${shownIn(at, 'small', units)} is not beyond ${before} before it; write them from one end to the other`)
    } else rows.push({ row, at, wide })
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
  const whole = isHalf && guess && guess.count > 1 ? areaByHalfBreadths(rows.map((s) => ({ atMm: s.at, halfMm: s.wide }))) / guess.areaM2 : 1
  if (whole > 1.6) {
    const text = `the list has ${guess!.count} of these, each about half as large. Where two halves meet on her centre line, give the widths of one half instead`
    r.judge(name('w', widest), 'Half-breadths', { isDoubt: true, text })
  }
  return isHalf ? { how, stations: rows.map((s) => ({ atMm: s.at, halfMm: s.wide })) } : { how, stations: rows.map((s) => ({ atMm: s.at, widthMm: s.wide })) }
}
