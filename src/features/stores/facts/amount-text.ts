/** Amounts and money as people write them: on forms, on paper slips, in lists. Pure. */
import type { StockUnit } from '../../../platform/generated/enums.ts'

export type ParsedAmount = { ok: true; milli: number } | { ok: false; message: string }
export type ParsedMoney = { ok: true; cents: number } | { ok: false; message: string }

export const UNIT_NAMES: Record<StockUnit, string> = { g: 'g', ml: 'ml', m: 'm', m2: 'm²', pcs: 'pieces' }

/** Thousandths of the item's unit in one of each; ounce, pound, inch and foot exactly (1959). */
const UNITS: Record<string, readonly [StockUnit, number]> = {
  mg: ['g', 1], g: ['g', 1000], kg: ['g', 1_000_000], oz: ['g', 28_349.523125], lb: ['g', 453_592.37], lbs: ['g', 453_592.37],
  ml: ['ml', 1000], cl: ['ml', 10_000], l: ['ml', 1_000_000],
  mm: ['m', 1], cm: ['m', 10], m: ['m', 1000], in: ['m', 25.4], ft: ['m', 304.8],
  m2: ['m2', 1000], 'm²': ['m2', 1000], sqm: ['m2', 1000], ft2: ['m2', 92.90304], 'ft²': ['m2', 92.90304],
  pcs: ['pcs', 1000], pc: ['pcs', 1000], piece: ['pcs', 1000], pieces: ['pcs', 1000], sheet: ['pcs', 1000], sheets: ['pcs', 1000],
}

/** A thousand tonnes: more is a slip of the finger, and sums stay whole. */
const MOST_MILLI = 1e12

/** A decimal number, or null; throws nothing. `two ways`: a comma before just three digits is a decimal to some and thousands to others. */
function readNumber(text: string): { value: number; decimals: number } | 'two ways' | null {
  const plain = text.replace(/[\s\u00A0\u202F'’](?=\d{3}(\D|$))/g, '').replace('−', '-')
  if (/^-?\d{1,3},\d{3}$/.test(plain)) return 'two ways'
  const point = plain.replace(',', '.')
  const match = /^(-?)(\d*)(?:\.(\d*))?$/.exec(point)
  if (!match || (!match[2] && !match[3])) return null
  return { value: Number(point), decimals: match[3]?.replace(/0+$/, '').length ?? 0 }
}

/** What turns one kind of amount into another: g/ml, and the width of a roll. */
export type Converts = { density?: number | null; widthMm?: number | null }

/** Thousandths of `unit` in a thousandth of `from`; null where nobody knows. */
function between(from: StockUnit, unit: StockUnit, { density, widthMm }: Converts): number | null {
  if (from === unit) return 1
  if (density && from === 'ml' && unit === 'g') return density
  if (density && from === 'g' && unit === 'ml') return 1 / density
  if (widthMm && from === 'm' && unit === 'm2') return widthMm / 1000
  return null
}

/**
 * "1.25", "1,25", "250 g", "1.2 kg" → thousandths of the item's unit; "3 m" off a roll of known width are square metres. Any other unit
 * than the item's is refused, and so is "1,250", which people read in two ways.
 */
export function parseAmount(text: string, unit: StockUnit, converts: Converts = {}): ParsedAmount {
  const typed = text.trim()
  const name = UNIT_NAMES[unit]
  if (typed === '') return { ok: false, message: `say how much, in ${name}` }
  const match = /^([-−]?[\d.,\s\u00A0\u202F'’]+?)\s*([a-zµ][a-z0-9²]*\.?)?$/i.exec(typed)
  const number = match ? readNumber(match[1]!.trim()) : null
  if (number === 'two ways') {
    return { ok: false, message: `“${typed}” can be read in two ways: write ${match![1]!.trim().replace(',', '')} or ${match![1]!.trim().replace(',', '.')}` }
  }
  if (!match || number === null) return { ok: false, message: `“${typed}” is no amount: write a number of ${name}` }
  const word = match[2]?.replace(/\.$/, '').toLowerCase()
  const of = word === undefined ? ([unit, 1000] as const) : UNITS[word]
  if (of === undefined) return { ok: false, message: `“${match[2]}” is no unit that is known here: write a number of ${name}` }
  const factor = between(of[0], unit, converts)
  if (factor === null) return { ok: false, message: `“${typed}” is in ${word}, but this is kept in ${name}: weigh or measure it in ${name}` }
  if (number.value < 0) return { ok: false, message: `“${typed}” is below nothing` }
  const milli = Math.round(number.value * of[1] * factor)
  if (milli > MOST_MILLI) return { ok: false, message: `“${typed}” is more than any club has` }
  if (word === undefined && number.decimals > 3) return { ok: false, message: `“${typed}” is finer than is kept: at most three decimals of ${name}` }
  return { ok: true, milli }
}

/** Thousandths of the unit as a form and a list show them: "1250", "0.5", with a point and no unit. */
export function amountField(milli: number | bigint): string {
  const n = BigInt(milli)
  const sign = n < 0n ? '-' : ''
  const abs = n < 0n ? -n : n
  const rest = String(abs % 1000n).padStart(3, '0').replace(/0+$/, '')
  return `${sign}${abs / 1000n}${rest && `.${rest}`}`
}

/** Twenty million at most: what four bytes of cents hold. */
const MOST_CENTS = 2_000_000_000

/** "12.50", "12,50", "12" (with or without a currency's sign) → whole cents. */
export function parseMoney(text: string): ParsedMoney {
  const typed = text.trim()
  const bare = typed.replace(/^[A-Z]{3}\s|^[€$£]\s?|\s?[€$£]$|\s[A-Z]{3}$/g, '').trim()
  const number = readNumber(bare)
  if (number === 'two ways') return { ok: false, message: `“${typed}” can be read in two ways: write ${bare.replace(',', '')} or ${bare.replace(',', '.')}` }
  if (bare === '' || number === null) return { ok: false, message: typed === '' ? 'say what it cost; 0 if nothing' : `“${typed}” is no sum: write 12.50` }
  if (number.value < 0) return { ok: false, message: `“${typed}” is below nothing` }
  if (number.decimals > 2) return { ok: false, message: `“${typed}” is finer than a cent` }
  const cents = Math.round(number.value * 100)
  return cents > MOST_CENTS ? { ok: false, message: `“${typed}” is more than any club has` } : { ok: true, cents }
}

/** Cents as a form and a list show them: "12.50". */
export function moneyField(cents: number | bigint): string {
  const n = Number(cents)
  return `${n < 0 ? '-' : ''}${Math.floor(Math.abs(n) / 100)}.${String(Math.abs(n) % 100).padStart(2, '0')}`
}
