import type { Units } from './format.ts'

/**
 * Measurements of a boat in their fields: kept in SI (mm for small ones), shown in the club's units. Builds' `measure-text` reads them again.
 * length: m. small: mm. sheet: thickness of ply, mm. tape: width of a tape, mm. area: m². areal: g/m². angle: degrees. count: pieces.
 */
export type MeasureKind = 'length' | 'small' | 'sheet' | 'tape' | 'area' | 'areal' | 'angle' | 'count'

export const FOOT_MM = 304.8
export const INCH_MM = 25.4
/** 1 oz/yd² = 28.349523125 g / (0.9144 m)² (avoirdupois ounce and international yard, both exact). */
export const OUNCE_PER_YARD2 = 28.349523125 / 0.9144 ** 2

interface Unit { readonly word: string; readonly many: string; readonly si: number; readonly isMetric: boolean }
const unit = (word: string, many: string, si: number, isMetric: boolean): Unit => ({ word, many, si, isMetric })

/** In the order in which a slip is likely. */
const LENGTHS_MM = [
  unit('in', 'inches', INCH_MM, false), unit('ft', 'feet', FOOT_MM, false),
  unit('mm', 'millimetres', 1, true), unit('cm', 'centimetres', 10, true), unit('m', 'metres', 1000, true),
]
const inMetres = (u: Unit): Unit => ({ ...u, si: u.si / 1000 })
export const UNITS: Readonly<Record<MeasureKind, readonly Unit[]>> = {
  small: LENGTHS_MM,
  sheet: LENGTHS_MM,
  tape: LENGTHS_MM,
  length: LENGTHS_MM.map(inMetres),
  area: [
    unit('ft²', 'square feet', (FOOT_MM / 1000) ** 2, false), unit('m²', 'square metres', 1, true),
    unit('cm²', 'square centimetres', 1e-4, true), unit('mm²', 'square millimetres', 1e-6, true),
  ],
  areal: [unit('oz/yd²', 'ounces a square yard', OUNCE_PER_YARD2, false), unit('g/m²', 'g/m²', 1, true)],
  angle: [unit('°', 'degrees', 1, true)],
  count: [],
}

/** What stands beside a field. Ply is sold by the millimetre and cloth is kept by its g/m², in feet-and-inches clubs too. */
export function fieldUnit(kind: MeasureKind, units: Units): Unit {
  const [length, small, area] = units === 'metric' ? ['m', 'mm', 'm²'] : ['ft', 'in', 'ft²']
  const word = { length, small, tape: small, sheet: 'mm', area, areal: 'g/m²', angle: '°', count: '' }[kind]
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

/** Sizes that sheets, tapes and cloths are sold in: 1/4 in is a 6 mm sheet, 3 in a 75 mm tape, 6 oz a 200 g cloth (common practice, no source). */
const tapeWidths: readonly number[] = [25, 50, 75, 100, 150]
const STOCK: Partial<Record<MeasureKind, readonly number[]>> = { sheet: [3, 4, 5, 6, 9, 12, 15, 18, 22, 25], tape: tapeWidths, areal: [80, 100, 125, 135, 160, 200, 270, 300, 340, 400, 600] }
/** The size that is sold by a figure of the other system; what lies off them all stays. */
export function soldAs(si: number, kind: MeasureKind): number {
  const near = (STOCK[kind] ?? []).reduce((best, size) => (Math.abs(size / si - 1) < Math.abs(best / si - 1) ? size : best), Infinity)
  return Math.abs(near / si - 1) <= 0.06 ? near : si
}

/** The groups of a job list's measurements, in the order of the form. */
export const measurementGroups = { size: 'Size', areas: 'Areas', layers: 'Ply, glass and tape', coats: 'Coats', choices: 'Choices' } as const

/** How a job list's measurement is shown and typed; plies and tapes go by what is sold. */
export function measureKind({ key, unit }: { key: string; unit: string }): MeasureKind {
  if (unit === 'mm') return key.startsWith('ply') ? 'sheet' : key === 'tapeWidth' ? 'tape' : 'small'
  return ({ m: 'length', m2: 'area', 'g/m2': 'areal' } as const)[unit] ?? 'count'
}
