/** Lengths, areas and weights of cloth as people write them, read in the club's units. Pure. */
import { fieldUnit, FOOT_MM, INCH_MM, shownIn, soldAs, UNITS, withUnit, type MeasureKind } from '../../../../views/shared/measures.ts'
import type { Units } from '../../../../views/shared/format.ts'
import { ok, refuse, type Result } from '../../../core/result.ts'

export { fieldUnit, INCH_MM, shownIn, soldAs, UNITS, withUnit, type MeasureKind, type Units }

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
  mm2: 'mm²', cm2: 'cm²', m2: 'm²', sqm: 'm²', 'sq m': 'm²', ft2: 'ft²', sqft: 'ft²', 'sq ft': 'ft²', 'sq. ft': 'ft²',
  gsm: 'g/m²', 'g/m2': 'g/m²', g: 'g/m²', oz: 'oz/yd²', 'oz/yd2': 'oz/yd²', deg: '°', degrees: '°',
  metres: 'm', meters: 'm', millimetres: 'mm', millimeters: 'mm', centimetres: 'cm', centimeters: 'cm',
}

/** Text of a field to SI (mm for small and sheet), or what is wrong with it in the user's words. */
export function readMeasure(raw: string, kind: MeasureKind, units: Units): Result<number, string> {
  const text = tidied(raw)
  const typed = `“${raw.trim()}”`
  const own = fieldUnit(kind, units)
  if (NUMBER.test(text)) {
    if (kind === 'small' && /^\d{1,3}[.,]\d{3}$/.test(text) && units === 'metric') {
      return refuse(`${typed} can be read as ${plainNumber(text)} or as ${text.replace(/[.,]/, '')}: write it without a mark between the thousands`)
    }
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

/** What was typed in inches or ounces, as what is sold by them; millimetres and grams stay to the digit. */
export function asSold(si: number, kind: MeasureKind, raw: string, units: Units): number {
  const text = tidied(raw)
  const isMetric = NUMBER.test(text) ? fieldUnit(kind, units).isMetric : /mm|cm|g|m$/.test(text)
  return isMetric ? si : soldAs(si, kind)
}

/** As it is stored: what comes from feet and inches is rounded to tenths of a millimetre, hundredths of a millimetre where it is small. */
export function readStored(raw: string, kind: MeasureKind, units: Units): Result<number, string> {
  const read = readMeasure(raw, kind, units)
  if (!read.ok || units === 'metric') return read.ok ? ok(asSold(read.value, kind, raw, units)) : read
  const digits = kind === 'length' || kind === 'area' ? 1e4 : 100
  return ok(asSold(Math.round(read.value * digits) / digits, kind, raw, units))
}
