import { shownIn } from '../../../../views/shared/measures.ts'
import type { Units } from '../../../../views/shared/format.ts'
import { filletArea, filletVolume } from '../../../core/estimate/fillet.ts'
import { tapeLength } from '../../../core/estimate/tape.ts'
import type { Origin, Panel, Seam, Skill } from '../../../core/estimate/types.ts'
import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import type { PlainLine } from '../facts/geometry-form.ts'
import type { BoatSize } from '../facts/geometry-plausible.ts'
import type { PanelGuess } from '../facts/panel-form.ts'
import type { SeamGuess } from '../facts/seam-form.ts'
import { boatOf } from '../job-lists/boat.ts'
import { figuresOf } from '../job-lists/figures.ts'
import type { BoatState, Geometry, Outline, PanelMeasured, SeamMeasured } from '../job-lists/geometry.ts'
import { outlineOf, type Shape } from '../job-lists/outline.ts'
import type { JobList, MeasurementDef, MeasurementGroup } from '../job-lists/types.ts'
import { listOf, stateOf } from './boat.ts'
import { loadCoefficients } from './coefficients.ts'

export interface Geometric { readonly name: string; readonly version: number; readonly list: JobList; readonly state: BoatState; readonly size: BoatSize }

/** What a build was measured by, and the list that guesses the rest. */
export async function geometric(db: Reader, buildId: string): Promise<Geometric> {
  const row = found(await db.build.findUnique({ where: { id: buildId }, select: { name: true, version: true, listKey: true, measurements: true, geometry: true, skill: true, grade: true } }))
  const [list, state] = [listOf(row.listKey), stateOf(row)]
  const figures = figuresOf(list, state)
  return { name: row.name, version: row.version, list, state, size: { lengthM: figures['length']?.value ?? null, beamM: figures['beam']?.value ?? null } }
}

export interface MeasureLine extends PlainLine {
  readonly key: string; readonly label: string; readonly unit: MeasurementDef['unit']; readonly help: string
  readonly choices: MeasurementDef['choices']; readonly guessed: boolean; readonly origin: Origin
  /** Names of the panels or seams that it could be worked out from. */
  readonly from: readonly string[]
}

export function measureLines({ list, state }: Pick<Geometric, 'list' | 'state'>): MeasureLine[] {
  const figures = figuresOf(list, state)
  return list.measurements.map((def): MeasureLine => {
    const { value, origin } = figures[def.key]!
    const { [def.key]: _own, ...others } = state.measured
    const guess = origin === 'measured' ? figuresOf(list, { ...state, measured: others })[def.key]!.value : value
    const from = [...list.boat.panels.filter((p) => def.fromPanels?.includes(p.key)), ...list.boat.seams.filter((s) => def.fromSeams?.includes(s.key))].map((p) => p.name)
    const { key, label, unit, help, choices } = def
    return { def, key, label, unit, help, choices, value, origin, guessed: origin !== 'measured', isMeasured: origin === 'measured', guess, from }
  })
}

export async function measurementsPage(db: Reader, buildId: string) {
  const g = await geometric(db, buildId)
  const lines = measureLines(g)
  const groups: readonly MeasurementGroup[] = ['size', 'areas', 'layers', 'coats', 'choices']
  const { boat, panels } = boatOf(g.list, g.state)
  const share = (all: readonly { origin: Origin }[]) => ({ all: all.length, measured: all.filter((one) => one.origin !== 'guess').length })
  const { glassFraction } = await loadCoefficients(db)
  const resinAt = (share: number) => Math.round((100 * (1 - share)) / share)
  const resinTo100 = (skill: Skill) => resinAt(glassFraction[skill].likely)
  return {
    /** Grams of resin that 100 g of glass take. */
    resin: { first: resinTo100('first'), some: resinTo100('some'), practised: resinTo100('practised') },
    resinMost: resinAt(glassFraction.first.low),
    hasList: g.list.measurements.length > 0, listName: g.list.name, version: g.version, grade: g.state.grade, skill: g.state.skill,
    groups: groups.map((key) => ({ key, lines: lines.filter((l) => l.def.group === key) })).filter((group) => group.lines.length > 0),
    panels: share(panels.map((p) => p.areaM2)), seams: share(boat.seams.map((s) => s.lengthM)),
  }
}
export type MeasurementsPageModel = Awaited<ReturnType<typeof measurementsPage>>

/** Keys of what the list has, then of people's own in the order in which they were added. */
const ownKeys = (measured: Readonly<Record<string, unknown>> | undefined, listed: readonly { key: string }[]): string[] =>
  Object.keys(measured ?? {}).filter((key) => !listed.some((one) => one.key === key)).sort((a, b) => a.localeCompare(b, 'en', { numeric: true }))
export function nextOwnKey(measured: Readonly<Record<string, unknown>> | undefined): string {
  const last = Math.max(0, ...Object.keys(measured ?? {}).map((key) => Number(/^own-(\d+)$/.exec(key)?.[1] ?? 0)))
  return `own-${last + 1}`
}

export type LeftOut = { key: string; name: string; isOwn: boolean }
export async function panelsPage(db: Reader, buildId: string) {
  const { list, state, version } = await geometric(db, buildId)
  const { panels, figures } = boatOf(list, state)
  const measured = state.geometry.panels ?? {}
  const isListed = (key: string) => list.boat.panels.some((p) => p.key === key)
  const leftOut: LeftOut[] = [
    ...list.boat.panels.filter((p) => measured[p.key]?.leftOut).map(({ key, name }) => ({ key, name, isOwn: false })),
    ...ownKeys(measured, list.boat.panels).filter((key) => measured[key]?.leftOut).map((key) => ({ key, name: measured[key]?.name ?? key, isOwn: true })),
  ]
  return {
    version, leftOut, isKit: (figures['kit']?.value ?? 0) >= 1, rows: panels.map((p) => ({ ...p, isOwn: !isListed(p.key) })),
    totalM2: panels.reduce((sum, p) => sum + p.count * p.areaM2.value, 0),
    guesses: panels.filter((p) => p.areaM2.origin === 'guess').length,
  }
}
export type PanelsPageModel = Awaited<ReturnType<typeof panelsPage>>

const without = <T>(all: Readonly<Record<string, T>> | undefined, key: string): Record<string, T> => Object.fromEntries(Object.entries(all ?? {}).filter(([k]) => k !== key))
/** The geometry with one panel or seam set, or taken away with undefined. */
export const withPanel = (geometry: Geometry, key: string, panel: PanelMeasured | undefined): Geometry => ({
  ...geometry, panels: { ...without(geometry.panels, key), ...(panel ? { [key]: panel } : {}) },
})
export const withSeam = (geometry: Geometry, key: string, seam: SeamMeasured | undefined): Geometry => ({
  ...geometry, seams: { ...without(geometry.seams, key), ...(seam ? { [key]: seam } : {}) },
})

export interface PanelFacts {
  readonly key: string; readonly name: string; readonly isOwn: boolean; readonly isLeftOut: boolean
  readonly stored: PanelMeasured | undefined
  readonly guess: PanelGuess | null
  /** As it counts now; null where it is left out or the boat has none by her measurements. */
  readonly now: Panel | null
}
/** One panel; null: there is none of this key. */
export function panelFacts({ list, state }: Pick<Geometric, 'list' | 'state'>, key: string): PanelFacts | null {
  const def = list.boat.panels.find((p) => p.key === key)
  const stored = Object.hasOwn(state.geometry.panels ?? {}, key) ? state.geometry.panels?.[key] : undefined
  if (!def && !stored) return null
  const asGuessed = def && boatOf(list, { ...state, geometry: withPanel(state.geometry, key, undefined) }).panels.find((p) => p.key === key)
  const guess = asGuessed ? guessOf(asGuessed) : null
  const now = boatOf(list, state).panels.find((p) => p.key === key) ?? null
  return { key, name: def?.name ?? stored?.name ?? key, isOwn: !def, isLeftOut: stored?.leftOut === true, stored, guess, now }
}

const guessOf = ({ count, areaM2, lengthMm, widthMm, ply, grain, joint }: Panel): PanelGuess => (
  { count, areaM2: areaM2.value, lengthMm: lengthMm.value, widthMm: widthMm.value, thicknessMm: ply.thicknessMm, grain, joint })

export type Values = Record<string, string>
/** A panel as its form shows it. */
export function panelValues({ stored, guess, now }: Pick<PanelFacts, 'stored' | 'guess' | 'now'>, units: Units): Values {
  const shape: Shape | null = (stored?.outline && outlineOf(stored.outline)) ?? guess
  const thickness = stored?.thicknessMm ?? guess?.thicknessMm ?? now?.ply.thicknessMm
  return {
    name: stored?.name ?? '', count: String(stored?.count ?? guess?.count ?? ''), thickness: thickness === undefined ? '' : shownIn(thickness, 'sheet', units),
    grain: stored?.grain ?? guess?.grain ?? 'any', joint: stored?.joint ?? guess?.joint ?? 'scarf', how: stored?.outline?.how ?? 'area',
    ...(shape ? { area: shownIn(shape.areaM2, 'area', units), long: shownIn(shape.lengthMm, 'small', units), wide: shownIn(shape.widthMm, 'small', units) } : {}),
    ...stationValues(stored?.outline, units),
  }
}
function stationValues(outline: Outline | undefined, units: Units): Values {
  if (!outline || outline.how === 'area') return {}
  return Object.fromEntries(outline.stations.flatMap((s, i) => [[`at.${i}`, shownIn(s.atMm, 'small', units)], [`w.${i}`, shownIn('halfMm' in s ? s.halfMm : s.widthMm, 'small', units)]]))
}

export interface SeamFacts {
  readonly key: string; readonly name: string; readonly isOwn: boolean; readonly isLeftOut: boolean
  readonly stored: SeamMeasured | undefined; readonly guess: SeamGuess | null; readonly now: Seam | null
}
export function seamFacts({ list, state }: Pick<Geometric, 'list' | 'state'>, key: string): SeamFacts | null {
  const def = list.boat.seams.find((s) => s.key === key)
  const stored = Object.hasOwn(state.geometry.seams ?? {}, key) ? state.geometry.seams?.[key] : undefined
  if (!def && !stored) return null
  const g = def && boatOf(list, { ...state, geometry: withSeam(state.geometry, key, undefined) }).boat.seams.find((s) => s.key === key)
  const guess: SeamGuess | null = g ? { lengthM: g.lengthM.value, anglesDeg: g.anglesDeg, radiusMm: g.radiusMm.value, tapes: g.tapes } : null
  const now = boatOf(list, state).boat.seams.find((s) => s.key === key) ?? null
  return { key, name: def?.name ?? stored?.name ?? key, isOwn: !def, isLeftOut: stored?.leftOut === true, stored, guess, now }
}

export function seamValues({ stored, guess, now }: Pick<SeamFacts, 'stored' | 'guess' | 'now'>, units: Units): Values {
  const [length, radius] = [stored?.lengthM ?? guess?.lengthM, stored?.radiusMm ?? guess?.radiusMm ?? now?.radiusMm.value]
  const [angles, tapes] = [stored?.anglesDeg ?? guess?.anglesDeg ?? [], stored?.tapes ?? guess?.tapes ?? []]
  return {
    name: stored?.name ?? '', length: length === undefined ? '' : shownIn(length, 'length', units), radius: radius === undefined ? '' : shownIn(radius, 'small', units),
    ...Object.fromEntries(angles.map((a, i) => [`angle.${i}`, shownIn(a, 'angle', units)])),
    ...Object.fromEntries(tapes.flatMap((t, i) => [
      [`side.${i}`, t.side], [`tape.${i}`, shownIn(t.widthMm, 'tape', units)], [`mass.${i}`, shownIn(t.arealMass, 'areal', units)],
      [`layers.${i}`, String(t.layers)], [`overlap.${i}`, shownIn(t.overlapMm, 'small', units)],
    ])),
  }
}

/** What a seam comes to, without waste: fillet in ml, tape in metres by kind. */
export function seamSums(seam: Pick<Seam, 'anglesDeg' | 'tapes'> & { lengthM: number; radiusMm: number }) {
  const { lengthM, anglesDeg, radiusMm, tapes } = seam
  const sections = anglesDeg.map((a) => filletArea(a, radiusMm))
  return {
    lengthM, filletMl: filletVolume(lengthM, anglesDeg, radiusMm), sectionsMm2: sections,
    tapes: tapes.map((t) => ({ ...t, lengthM: tapeLength(lengthM, t) })),
  }
}
export type SeamSums = ReturnType<typeof seamSums>

export async function seamsPage(db: Reader, buildId: string) {
  const { list, state, version } = await geometric(db, buildId)
  const { boat } = boatOf(list, state)
  const measured = state.geometry.seams ?? {}
  const rows = boat.seams.map((s) => ({ ...s, isOwn: !list.boat.seams.some((one) => one.key === s.key), sums: seamSums({ ...s, lengthM: s.lengthM.value, radiusMm: s.radiusMm.value }) }))
  const leftOut: LeftOut[] = [
    ...list.boat.seams.filter((s) => measured[s.key]?.leftOut).map(({ key, name }) => ({ key, name, isOwn: false })),
    ...ownKeys(measured, list.boat.seams).filter((key) => measured[key]?.leftOut).map((key) => ({ key, name: measured[key]?.name ?? key, isOwn: true })),
  ]
  return {
    version, rows, leftOut, totalM: rows.reduce((sum, s) => sum + s.lengthM.value, 0), filletMl: rows.reduce((sum, s) => sum + s.sums.filletMl, 0),
    guesses: rows.filter((s) => s.lengthM.origin === 'guess' || s.angleOrigin === 'guess').length,
  }
}
export type SeamsPageModel = Awaited<ReturnType<typeof seamsPage>>
