/** What people typed on an option sheet, read as options; messages go to the field. Pure. */
import { unitsOf } from '../../../../views/shared/format.ts'
import { MOST_OPTIONS, type Lever, type SheetOption } from './model.ts'
import { sameValues } from './presets.ts'

type Units = 'metric' | 'imperial'
type Fields = Record<string, string>

export const nameField = (n: number): string => `o${n}.name`
export const valueField = (n: number, key: string): string => `o${n}.${key}`

/** 1 oz/yd² = 28.3495 g ÷ 0.836127 m² (both exact by the yard and pound of 1959, rounded here). */
const OZ_YD2 = 33.906
const MM_PER_INCH = 25.4
type UnitOf = { readonly unit: string; toSi(v: number): number; fromSi(v: number): number }

/** Lengths and areas are typed in the club's units; millimetres and g/m² are the trade's own everywhere. */
export function unitOf(lever: Pick<Lever, 'unit'>, units: Units): UnitOf {
  if (lever.unit === 'm') return unitsOf(units).length
  if (lever.unit === 'm2') return unitsOf(units).area
  const plain = lever.unit === 'g/m2' ? 'g/m²' : lever.unit === 'count' || lever.unit === 'choice' ? '' : lever.unit === 'deg' ? '°' : lever.unit
  return { unit: plain, toSi: (v) => v, fromSi: (v) => v }
}

/** A value as its field shows it. */
export const shownValue = (lever: Pick<Lever, 'unit'>, value: number, units: Units): string => String(Math.round(unitOf(lever, units).fromSi(value) * 1000) / 1000)

export type Read = { readonly options: readonly Pick<SheetOption, 'name' | 'values'>[]; readonly fields: Fields; /** Where each stood on the form. */ readonly places: readonly number[] }

/** An option is given once it has a name or a figure; a figure that stays empty is as she is. */
export function readOptions(raw: Readonly<Record<string, unknown>>, vary: readonly Lever[], units: Units): Read {
  const fields: Fields = {}
  const options: Pick<SheetOption, 'name' | 'values'>[] = []
  const places: number[] = []
  for (let n = 0; n < MOST_OPTIONS; n++) {
    const name = textOf(raw[nameField(n)])
    const typed = vary.map((lever) => ({ lever, text: textOf(raw[valueField(n, lever.key)]) }))
    if (name === '' && typed.every((t) => t.text === '')) continue
    if (name === '') fields[nameField(n)] = 'Give this option a name'
    else if (name.length > MOST_NAME) fields[nameField(n)] = `At most ${MOST_NAME} letters`
    const values: Record<string, number> = {}
    for (const { lever, text } of typed) {
      const read = readValue(lever, text, units)
      if (typeof read === 'string') fields[valueField(n, lever.key)] = read
      else values[lever.key] = read
    }
    options.push({ name, values })
    places.push(n)
  }
  if (Object.keys(fields).length === 0) addUnlike(options, places, fields)
  return { options, fields, places }
}

export const MOST_NAME = 60

function addUnlike(options: Read['options'], places: readonly number[], fields: Fields): void {
  if (options.length < 2) {
    const free = [0, 1].find((n) => !places.includes(n)) ?? 1
    fields[nameField(free)] = options.length === 0 ? 'Name at least two options: a sheet compares two to four' : 'Name a second option: a sheet compares two to four'
    return
  }
  for (const [at, option] of options.entries()) {
    const field = nameField(places[at] ?? at)
    const twin = options.slice(0, at).find((o) => sameValues(o.values, option.values))
    if (twin) fields[field] = `“${option.name}” is the same as “${twin.name}”: change a figure, or leave it out`
    else if (options.slice(0, at).some((o) => o.name.toLowerCase() === option.name.toLowerCase())) fields[field] = `Two options are called “${option.name}”: give this one another name`
  }
}

/** The value in SI, or what is wrong with it. */
export function readValue(lever: Lever, text: string, units: Units): number | string {
  if (text === '') return lever.now
  const of = unitOf(lever, units)
  const typed = Number(text.replace(',', '.'))
  if (!Number.isFinite(typed)) return `${lever.label}: “${text}” is not a number`
  if (lever.choices.length > 0) return lever.choices.some((c) => c.value === typed) ? typed : `${lever.label}: choose one of the list`
  // As it was shown, to its last digit: it stays what it is.
  if (text === shownValue(lever, lever.now, units)) return lever.now
  const value = Math.round(of.toSi(typed) * 10_000) / 10_000
  if (lever.unit === 'count' && !Number.isInteger(value)) return `${lever.label}: a whole number, not ${text}`
  const least = leastOf(lever)
  if (lever.unit === 'g/m2' && value > 0 && value < least) return cloth(lever, value, least)
  if ((value === 0 && lever.min === 0) || (value >= least && value <= lever.max)) return value
  return outOfBounds(lever, value, text, of)
}

const leastOf = (lever: Lever): number => lever.leastIfAny ?? lever.min

function cloth(lever: Lever, value: number, least: number): string {
  const grams = Math.round(value * OZ_YD2)
  const none = lever.min === 0 ? ', or 0 for no cloth' : ''
  return grams >= least && grams <= lever.max
    ? `${lever.label}: ${value} g/m² is too thin for a cloth. Are these oz/yd²? Then type ${grams}${none}`
    : `${lever.label}: ${value} g/m² is too thin for a cloth: at least ${least} g/m²${none}`
}

function outOfBounds(lever: Lever, value: number, text: string, of: UnitOf): string {
  const shown = (v: number) => Math.round(of.fromSi(v) * 1000) / 1000
  const bounds = `${lever.label}: between ${shown(lever.min)} and ${shown(lever.max)}${of.unit === '' ? '' : ` ${of.unit}`} here, not ${text}`
  if (lever.unit !== 'mm') return bounds
  const asInches = value * MM_PER_INCH
  if (value > 0 && value < lever.min && asInches >= lever.min && asInches <= lever.max) {
    return `${lever.label}: ${text} looks like inches. Type millimetres: ${text} in is about ${Math.round(asInches * 10) / 10} mm`
  }
  return value > lever.max ? `${bounds}. Type millimetres` : bounds
}

const textOf = (value: unknown): string => (typeof value === 'string' ? value.trim() : Array.isArray(value) ? String(value[0] ?? '').trim() : '')
