/** Forms of one panel and one seam as they are shown: what is stored, or what was typed with what it comes to. */
import type { Units } from '../../../../views/shared/format.ts'
import { fieldUnit, shownIn, type MeasureKind } from '../../../../views/shared/measures.ts'
import type { Reader } from '../../../platform/database.ts'
import { readPlain, rowsOf, type Sent } from '../facts/geometry-form.ts'
import { HOWS, readPanel, STATION_ROWS, STATION_ROWS_MOST, type How } from '../facts/panel-form.ts'
import { ANGLES_MOST, readSeam, TAPE_ROWS_MOST } from '../facts/seam-form.ts'
import type { Outline } from '../job-lists/geometry.ts'
import { outlineOf, type Shape } from '../job-lists/outline.ts'
import { geometric, measureLines, panelFacts, panelValues, seamFacts, seamSums, seamValues, type PanelFacts, type SeamFacts, type SeamSums, type Values } from './geometry.ts'

const NEW_PANEL: PanelFacts = { key: 'new', name: 'A panel of your own', isOwn: true, isLeftOut: false, stored: undefined, guess: null, now: null }
const NEW_SEAM: SeamFacts = { key: 'new', name: 'A seam of your own', isOwn: true, isLeftOut: false, stored: undefined, guess: null, now: null }

/** Rows that hold something. */
const filled = (sent: Sent, fields: readonly string[]): number =>
  Math.max(0, ...Object.entries(sent).map(([name, text]) => {
    const m = /^([a-z]+)\.(\d+)$/.exec(name)
    return m && fields.includes(m[1]!) && text !== '' ? Number(m[2]) + 1 : 0
  }))

/** Units beside the fields. */
const wordsFor = (units: Units): Record<MeasureKind, string> => {
  const kinds: readonly MeasureKind[] = ['length', 'small', 'sheet', 'tape', 'area', 'areal', 'angle', 'count']
  return Object.fromEntries(kinds.map((kind) => [kind, fieldUnit(kind, units).word])) as Record<MeasureKind, string>
}

const NOT_SAVED = 'This is how it would be; it is not saved. Some of it can’t be used yet.'
const previewOf = (sent: Sent | undefined, fields: Readonly<Record<string, string>>) =>
  sent?.['show'] !== undefined && Object.keys(fields).length > 0 ? { message: NOT_SAVED, fields: { ...fields } } : undefined

export type Shown = { outline: Outline | null; shape: Shape | null }

/** Null: there is no panel of this key. */
export async function panelForm(db: Reader, buildId: string, key: string | null, sent: Sent | undefined, units: Units, asked: Sent = sent ?? {}) {
  const g = await geometric(db, buildId)
  const facts = key === null ? NEW_PANEL : panelFacts(g, key)
  if (!facts) return null
  const read = sent && readPanel(sent, { units, size: g.size, guess: facts.guess, stored: facts.stored }, facts.isOwn)
  const values: Values = key === null ? { count: '1', grain: 'any', joint: 'scarf', how: 'area', thickness: shownIn(6, 'sheet', units) } : panelValues(facts, units)
  const said = asked['to'] ?? sent?.['how'] ?? values['how']
  const how: How = HOWS.find((h) => h === said) ?? 'area'
  // A shape that can’t be is not drawn; one that is only unlikely is, for a second look.
  const isWrong = read !== undefined && !read.isDoubt && Object.keys(read.fields).some((name) => /^(area|long|wide|(at|w)[.].*)$/.test(name))
  const outline = isWrong ? null : read ? (read.value.outline ?? null) : (facts.stored?.outline ?? null)
  const guess = facts.guess && { areaM2: facts.guess.areaM2, lengthMm: facts.guess.lengthMm, widthMm: facts.guess.widthMm }
  const shape = outline ? outlineOf(outline) : isWrong ? null : guess
  return {
    version: sent ? Number(sent['version']) || g.version : g.version, storedVersion: g.version, facts, values, how,
    rows: rowsOf(asked, filled(sent ?? values, ['at', 'w']), STATION_ROWS, STATION_ROWS_MOST), mostRows: STATION_ROWS_MOST,
    words: wordsFor(units), count: read?.value.count ?? facts.stored?.count ?? facts.guess?.count ?? 1, shown: { outline, shape } satisfies Shown, isTyped: sent !== undefined,
    isDoubt: read?.isDoubt ?? false, preview: previewOf(sent, read?.fields ?? {}),
    stations: stationsIn(outline, units),
  }
}
export type PanelFormModel = NonNullable<Awaited<ReturnType<typeof panelForm>>>

/** For the table beside the drawing, in the club's units. */
function stationsIn(outline: Outline | null, units: Units): { at: string; wide: string }[] {
  if (!outline || outline.how === 'area') return []
  return outline.stations.map((s) => ({ at: shownIn(s.atMm, 'small', units), wide: shownIn('halfMm' in s ? s.halfMm : s.widthMm, 'small', units) }))
}

export async function seamForm(db: Reader, buildId: string, key: string | null, sent: Sent | undefined, units: Units, asked: Sent = sent ?? {}) {
  const g = await geometric(db, buildId)
  const facts = key === null ? NEW_SEAM : seamFacts(g, key)
  if (!facts) return null
  const read = sent && readSeam(sent, { units, size: g.size, guess: facts.guess, stored: facts.stored }, facts.isOwn)
  const values: Values = key === null ? {} : seamValues(facts, units)
  const hasFaults = Object.keys(read?.fields ?? {}).length > 0
  const said = { ...facts.guess, ...(read ? read.value : facts.stored) }
  const { lengthM, anglesDeg, radiusMm, tapes } = said
  const isWhole = !hasFaults && lengthM !== undefined && radiusMm !== undefined && anglesDeg !== undefined && anglesDeg.length > 0
  const sums: SeamSums | null = isWhole ? seamSums({ lengthM, anglesDeg, radiusMm, tapes: tapes ?? [] }) : null
  const typedTapes = filled(sent ?? values, ['tape', 'mass', 'layers', 'overlap'])
  return {
    version: sent ? Number(sent['version']) || g.version : g.version, storedVersion: g.version, facts, values,
    rows: rowsOf(asked, typedTapes, Math.max(2, said.tapes?.length ?? 0), TAPE_ROWS_MOST), mostRows: TAPE_ROWS_MOST, angles: ANGLES_MOST, words: wordsFor(units),
    course: sums ? (anglesDeg ?? []) : [], sums, isTyped: sent !== undefined, isDoubt: read?.isDoubt ?? false, preview: previewOf(sent, read?.fields ?? {}),
  }
}
export type SeamFormModel = NonNullable<Awaited<ReturnType<typeof seamForm>>>

/** Whether all that is wrong with typed measurements is that they are unlikely. */
export async function unlikely(db: Reader, buildId: string, sent: Sent, units: Units): Promise<boolean> {
  return readPlain(sent, measureLines(await geometric(db, buildId)), units).isDoubt
}
