import type { PageClub } from './page-context.ts'

/** Numbers, masses, lengths, temperatures and money in the club's own way. The database keeps SI; only views convert. */
export type Units = PageClub['units']

const CLUB: Pick<PageClub, 'locale' | 'units' | 'currency'> = { locale: 'en-GB', units: 'metric', currency: 'EUR' }
type Club = typeof CLUB | null

// Made once each: an Intl formatter costs more than a row of a table.
const made = new Map<string, Intl.NumberFormat>()
function formatter(locale: string, options: Intl.NumberFormatOptions): Intl.NumberFormat {
  const key = `${locale} ${JSON.stringify(options)}`
  const known = made.get(key) ?? new Intl.NumberFormat(locale, options)
  made.set(key, known)
  return known
}

/** A number with at most `digits` decimals: 1234.5 → "1,234.5". */
export const number = (value: number, club: Club = CLUB, digits = 1): string =>
  formatter((club ?? CLUB).locale, { maximumFractionDigits: digits }).format(value)

/** 0.615 → "62 %". */
export const percent = (share: number, club: Club = CLUB): string => `${number(Math.round(share * 100), club, 0)} %`

export const money = (cents: number, club: Club = CLUB): string =>
  formatter((club ?? CLUB).locale, { style: 'currency', currency: (club ?? CLUB).currency }).format(cents / 100)

/** An estimate's money: no cents, for they would be false precision. */
export const wholeMoney = (cents: number, club: Club = CLUB): string =>
  formatter((club ?? CLUB).locale, { style: 'currency', currency: (club ?? CLUB).currency, maximumFractionDigits: 0, minimumFractionDigits: 0 }).format(Math.round(cents / 100))

// Exact by definition (1959 international yard and pound).
const GRAMS_PER_POUND = 453.59237
const METRES_PER_FOOT = 0.3048

/** Grams as "650 g", "2.4 kg", or "1 lb 7 oz". */
export function mass(grams: number, club: Club = CLUB): string {
  if ((club ?? CLUB).units === 'metric') return Math.abs(grams) < 1000 ? `${number(grams, club, 0)} g` : `${number(grams / 1000, club, grams < 10_000 ? 2 : 1)} kg`
  const ounces = Math.round((grams / GRAMS_PER_POUND) * 16)
  const pounds = Math.floor(ounces / 16)
  return pounds === 0 ? `${ounces} oz` : `${pounds} lb${ounces % 16 ? ` ${ounces % 16} oz` : ''}`
}

/** Metres as "4.2 m", or "13 ft 9 in". */
export function length(metres: number, club: Club = CLUB): string {
  if ((club ?? CLUB).units === 'metric') return `${number(metres, club, 2)} m`
  const inches = Math.round((metres / METRES_PER_FOOT) * 12)
  const feet = Math.floor(inches / 12)
  return feet === 0 ? `${inches} in` : `${feet} ft${inches % 12 ? ` ${inches % 12} in` : ''}`
}

/** Millimetres as "1440 mm", or "56.7 in". */
export const small = (mm: number, club: Club = CLUB): string =>
  (club ?? CLUB).units === 'metric' ? `${number(mm, club, 1)} mm` : `${number(mm / METRES_PER_FOOT / 1000 * 12, club, 2)} in`

/** Square metres as "3.4 m²", or "36.6 ft²". */
export const area = (m2: number, club: Club = CLUB): string =>
  (club ?? CLUB).units === 'metric' ? `${number(m2, club, 2)} m²` : `${number(m2 / METRES_PER_FOOT ** 2, club, 1)} ft²`

/** Millilitres as "650 ml", "2.4 l", or "22 fl oz" (US): written as the stores write them. */
export const volume = (ml: number, club: Club = CLUB): string =>
  (club ?? CLUB).units === 'imperial' ? `${number(ml / 29.5735295625, club, 1)} fl oz` : Math.abs(ml) < 1000 ? `${number(ml, club, 0)} ml` : `${number(ml / 1000, club, 2)} l`

/** What a task needs, in the unit of its row: g, m, m2, ml, else pieces. */
export function amount(n: number, unit: string, club: Club = CLUB): string {
  switch (unit) {
    case 'g': return mass(n, club)
    case 'm': return length(n, club)
    case 'm2': return area(n, club)
    case 'ml': return volume(n, club)
    default: return number(n, club, n < 10 ? 1 : 0)
  }
}

/** A unit of the stores as it is written on labels and beside fields. */
export const STOCK_UNITS: Readonly<Record<string, string>> = { g: 'g', ml: 'ml', m: 'm', m2: 'm²', pcs: 'pcs' }

const sixteenths = (milliOunces: number, club: Club): string => {
  const tenths = Math.round(milliOunces * 10)
  const pounds = Math.trunc(tenths / 160)
  const rest = number((tenths % 160) / 10, club, 1)
  return pounds === 0 ? `${rest} oz` : `${number(pounds, club, 0)} lb${tenths % 160 === 0 ? '' : ` ${rest.replace('-', '')} oz`}`
}

/** What the stores hold: thousandths of an item's unit (g, ml, m, m2, pcs), to the gram: "650 g", "12.345 kg", "2.5 pcs". */
export function stockAmount(milli: number | bigint, unit: string, club: Club = CLUB): string {
  const n = Number(milli) / 1000
  const isMetric = (club ?? CLUB).units === 'metric'
  const large = Math.abs(n) >= 1000
  switch (unit) {
    case 'g': return !isMetric ? sixteenths((n / GRAMS_PER_POUND) * 16, club) : large ? `${number(n / 1000, club, 3)} kg` : `${number(n, club, 3)} g`
    case 'ml': return !isMetric ? `${number(n / 29.5735295625, club, 1)} fl oz` : large ? `${number(n / 1000, club, 3)} l` : `${number(n, club, 3)} ml`
    case 'm': return isMetric ? `${number(n, club, 3)} m` : `${number(n / METRES_PER_FOOT, club, 2)} ft`
    case 'm2': return isMetric ? `${number(n, club, 3)} m²` : `${number(n / METRES_PER_FOOT ** 2, club, 2)} ft²`
    default: return `${number(n, club, 3)} ${STOCK_UNITS[unit] ?? unit}`
  }
}

/** What is still to be drawn, as people weigh and count it: to the gram, above a kilogram to ten; lengths and areas to a hundredth. */
export const stockNeed = (milli: number, unit: string, club: Club = CLUB): string => stockAmount(roughly(milli, unit), unit, club)

function roughly(milli: number, unit: string): number {
  const size = Math.abs(milli)
  const step = unit === 'g' || unit === 'ml' ? (size >= 1_000_000 ? 10_000 : size >= 10_000 ? 1_000 : 100) : unit !== 'pcs' ? 10 : size >= 10_000 ? 1_000 : 100
  return size < step ? milli : Math.round(milli / step) * step
}

/** "240 g (180 g to 330 g)": likely first, then from the least to the most where they differ. */
export const amountRange = (m: { low: number; likely: number; high: number; unit: string }, club: Club = CLUB): string =>
  `${amount(m.likely, m.unit, club)}${m.high > m.low ? ` (${amount(m.low, m.unit, club)} to ${amount(m.high, m.unit, club)})` : ''}`

/** Degrees Celsius as "12 °C", or "54 °F". */
export const temperature = (celsius: number, club: Club = CLUB): string =>
  (club ?? CLUB).units === 'metric' ? `${number(celsius, club, 1)} °C` : `${number(celsius * 1.8 + 32, club, 0)} °F`

/** A difference of temperatures: 3 K → "3 °C", or "5.4 °F". */
export const temperatureDifference = (kelvin: number, club: Club = CLUB): string =>
  (club ?? CLUB).units === 'metric' ? `${number(kelvin, club, 1)} °C` : `${number(kelvin * 1.8, club, 1)} °F`

/** The unit to write beside a field, and both ways of converting what stands in it. */
export type UnitOf = { unit: string; fromSi(value: number): number; toSi(value: number): number }

const same = (unit: string): UnitOf => ({ unit, fromSi: (v) => v, toSi: (v) => v })
const scaled = (unit: string, si: number): UnitOf => ({ unit, fromSi: (v) => v / si, toSi: (v) => v * si })

/** Temperatures and a boat's mass (grams) are typed in the club's units; `measures.ts` has lengths, areas and cloth. */
export function unitsOf(units: Units): Record<'temperature' | 'difference' | 'boat', UnitOf> {
  if (units === 'metric') return { temperature: same('°C'), difference: same('°C'), boat: scaled('kg', 1000) }
  return {
    temperature: { unit: '°F', fromSi: (v) => v * 1.8 + 32, toSi: (v) => (v - 32) / 1.8 },
    /** Of two temperatures. */
    difference: scaled('°F', 1 / 1.8),
    boat: scaled('lb', GRAMS_PER_POUND),
  }
}

/** A boat's mass as its field shows it, without the unit. */
export const boatMassField = (grams: number, units: Units): string => String(Math.round(unitsOf(units).boat.fromSi(grams) * 100) / 100)
