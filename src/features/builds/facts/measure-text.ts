/** Lengths, areas and weights of cloth as people write them, read in the club's units. Pure. */
import { ok, refuse, type Result } from '../../../core/result.ts'

export type Units = 'metric' | 'imperial'
/** length: m. small: mm. sheet: thickness of ply, mm. tape: width of a tape, mm. area: m². areal: g/m². angle: degrees. count: pieces. */
export type MeasureKind = 'length' | 'small' | 'sheet' | 'tape' | 'area' | 'areal' | 'angle' | 'count'

const FOOT_MM = 304.8
const INCH_MM = 25.4
/** 1 oz/yd² = 28.349523125 g / (0.9144 m)² (avoirdupois ounce and international yard, both exact). */
export const OUNCE_PER_YARD2 = 28.349523125 / 0.9144 ** 2

interface Unit { readonly word: string; readonly many: string; readonly si: number; readonly isMetric: boolean }
const unit = (word: string, many: string, si: number, isMetric: boolean): Unit => ({ word, many, si, isMetric })

/** In the order in which a slip is likely. */
const LENGTHS_MM = [unit('in', 'inches', INCH_MM, false), unit('ft', 'feet', FOOT_MM, false), unit('mm', 'millimetres', 1, true), unit('cm', 'centimetres', 10, true), unit('m', 'metres', 1000, true)]
const inMetres = (u: Unit): Unit => ({ ...u, si: u.si / 1000 })
export const UNITS: Readonly<Record<MeasureKind, readonly Unit[]>> = {
  small: LENGTHS_MM,
  sheet: LENGTHS_MM,
  tape: LENGTHS_MM,
  length: LENGTHS_MM.map(inMetres),
  area: [unit('ft²', 'square feet', (FOOT_MM / 1000) ** 2, false), unit('m²', 'square metres', 1, true), unit('cm²', 'square centimetres', 1e-4, true), unit('mm²', 'square millimetres', 1e-6, true)],
  areal: [unit('oz/yd²', 'ounces a square yard', OUNCE_PER_YARD2, false), unit('g/m²', 'g/m²', 1, true)],
  angle: [unit('°', 'degrees', 1, true)],
  count: [],
}

/** What stands beside a field. Ply is sold by the millimetre and cloth is kept by its g/m², in feet-and-inches clubs too. */
export function fieldUnit(kind: MeasureKind, units: Units): Unit {
  const word = { length: units === 'metric' ? 'm' : 'ft', small: units === 'metric' ? 'mm' : 'in', tape: units === 'metric' ? 'mm' : 'in', sheet: 'mm', area: units === 'metric' ? 'm²' : 'ft²', areal: 'g/m²', angle: '°', count: '' }[kind]
  return UNITS[kind].find((u) => u.word === word) ?? unit('', '', 1, true)
}

const DIGITS: Record<MeasureKind, number> = { length: 3, small: 2, sheet: 2, tape: 2, area: 3, areal: 1, angle: 1, count: 0 }
const rounded = (n: number, digits: number): number => Math.round(n * 10 ** digits) / 10 ** digits
/** A stored figure as it stands in its field; a tape is called by what it is sold as: 75 mm is the 3 in tape. */
export function shownIn(si: number, kind: MeasureKind, units: Units): string {
  const n = si / fieldUnit(kind, units).si
  return String(rounded(kind === 'tape' && units === 'imperial' && tapeWidths.includes(si) ? Math.round(n) : n, DIGITS[kind]))
}
/** With its unit, for messages. */
export function withUnit(si: number, kind: MeasureKind, units: Units): string {
  const { word } = fieldUnit(kind, units)
  return word === '' || word === '°' ? `${shownIn(si, kind, units)}${word}` : `${shownIn(si, kind, units)} ${word}`
}

const NUMBER = /^[-−+]?(\d+([.,]\d+)?|[.,]\d+)$/
const plainNumber = (text: string): number => Number(text.replace(',', '.').replace('−', '-'))

/** "5 1/2", "1/4", "5.5". */
function mixed(text: string): number | null {
  if (NUMBER.test(text)) return plainNumber(text)
  const m = /^(?:(\d+)[ -]+)?(\d+)\/(\d+)$/.exec(text)
  return m && Number(m[3]) > 0 ? Number(m[1] ?? 0) + Number(m[2]) / Number(m[3]) : null
}

const tidied = (text: string): string =>
  text.trim().toLowerCase().replaceAll(/[’′`]/g, '\'').replaceAll(/''|[”″“]/g, '"').replaceAll('½', ' 1/2').replaceAll('¼', ' 1/4').replaceAll('¾', ' 3/4').replaceAll(/\s+/g, ' ').trim()

/** Feet and inches in all their spellings, in mm: 5' 6 1/2", 5 ft 6 in, 66 in, 5-6-4 (feet, inches, eighths). Null: it is none. */
function feetAndInches(text: string): number | null {
  const offsets = /^(\d+)-(\d+)-(\d+)$/.exec(text)
  if (offsets) return Number(offsets[1]) * FOOT_MM + (Number(offsets[2]) + Number(offsets[3]) / 8) * INCH_MM
  const m = /^(?:([\d.,]+) ?(?:'|ft\.?|feet|foot))?(?: ?([\d.,/ -]+?) ?(?:"|in\.?|ins\.?|inch|inches))?$/.exec(text)
  if (!m || (m[1] === undefined && m[2] === undefined)) return null
  const [feet, inches] = [m[1] === undefined ? 0 : mixed(m[1]), m[2] === undefined ? 0 : mixed(m[2].trim())]
  return feet === null || inches === null ? null : feet * FOOT_MM + inches * INCH_MM
}

const SPELLINGS: Readonly<Record<string, string>> = {
  mm2: 'mm²', cm2: 'cm²', m2: 'm²', sqm: 'm²', 'sq m': 'm²', ft2: 'ft²', sqft: 'ft²', 'sq ft': 'ft²', 'sq. ft': 'ft²', gsm: 'g/m²', 'g/m2': 'g/m²', g: 'g/m²', oz: 'oz/yd²', 'oz/yd2': 'oz/yd²', deg: '°', degrees: '°',
  metres: 'm', meters: 'm', millimetres: 'mm', millimeters: 'mm', centimetres: 'cm', centimeters: 'cm',
}

/** Text of a field to SI (mm for small and sheet), or what is wrong with it in the user's words. */
export function readMeasure(raw: string, kind: MeasureKind, units: Units): Result<number, string> {
  const text = tidied(raw)
  const typed = `“${raw.trim()}”`
  const own = fieldUnit(kind, units)
  if (NUMBER.test(text)) {
    if (kind === 'small' && /^\d{1,3}[.,]\d{3}$/.test(text) && units === 'metric') return refuse(`${typed} can be read as ${plainNumber(text)} or as ${text.replace(/[.,]/, '')}: write it without a mark between the thousands`)
    return ok(plainNumber(text) * own.si)
  }
  if (kind === 'count') return refuse(`${typed} is not a number`)
  const scale = kind === 'length' ? 0.001 : 1
  const isLength = kind === 'length' || kind === 'small' || kind === 'sheet' || kind === 'tape'
  const mm = isLength ? feetAndInches(text) : null
  if (mm !== null) {
    if (units === 'imperial') return ok(mm * scale)
    return refuse(`${typed} is in feet and inches, and this club measures in ${own.many}: that is ${withUnit(mm * scale, kind, units)}`)
  }
  const fraction = units === 'imperial' && isLength && own.word !== 'mm' ? mixed(text) : null
  if (fraction !== null) return ok(fraction * own.si)
  const m = /^([-−+]?[\d.,]+) ?(\D[\w²./ ]*)$/.exec(text)
  const word = m?.[2]?.trim() ?? ''
  const named = UNITS[kind].find((u) => u.word === (SPELLINGS[word] ?? word))
  if (m && NUMBER.test(m[1]!) && named) {
    const si = plainNumber(m[1]!) * named.si
    if (named.isMetric || units === 'imperial') return ok(si)
    return refuse(`${typed} is in ${named.many}, and this club measures in ${own.many}: that is ${withUnit(si, kind, units)}`)
  }
  return refuse(`${typed} is not a ${kind === 'angle' ? 'number of degrees' : own.many === '' ? 'number' : `number of ${own.many}`}`)
}

/** Sizes that sheets, tapes and cloths are sold in: 1/4 in is a 6 mm sheet, 3 in a 75 mm tape, 6 oz a 200 g cloth (common practice, no source). */
export const tapeWidths: readonly number[] = [25, 50, 75, 100, 150]
const STOCK: Partial<Record<MeasureKind, readonly number[]>> = { sheet: [3, 4, 5, 6, 9, 12, 15, 18, 22, 25], tape: tapeWidths, areal: [80, 100, 125, 135, 160, 200, 270, 300, 340, 400, 600] }
/** The size that is sold by a figure of the other system; what lies off them all stays. */
export function soldAs(si: number, kind: MeasureKind): number {
  const near = (STOCK[kind] ?? []).reduce((best, size) => (Math.abs(size / si - 1) < Math.abs(best / si - 1) ? size : best), Infinity)
  return Math.abs(near / si - 1) <= 0.06 ? near : si
}
/** What was typed in inches or ounces, as what is sold by them; millimetres and grams stay to the digit. */
export function asSold(si: number, kind: MeasureKind, raw: string, units: Units): number {
  const text = tidied(raw)
  const isMetric = NUMBER.test(text) ? fieldUnit(kind, units).isMetric : /mm|cm|g|m$/.test(text)
  return isMetric ? si : soldAs(si, kind)
}
