/** What people typed on an option sheet, read as options; messages go to the field. Pure. */
import { measureKind, shownIn } from '../../../../views/shared/measures.ts'
import { readMeasurement } from '../../builds/public.ts'
import { MOST_OPTIONS, type Lever, type SheetOption } from './model.ts'
import { sameValues } from './presets.ts'

type Units = 'metric' | 'imperial'
type Fields = Record<string, string>

const nameField = (n: number): string => `o${n}.name`
const valueField = (n: number, key: string): string => `o${n}.${key}`

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

const MOST_NAME = 60

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
  // As it was shown, to its last digit: it stays what it is.
  if (text === '' || text === shownIn(lever.now, measureKind(lever), units)) return lever.now
  const { choices, leastIfAny, ...asked } = lever
  const read = readMeasurement({ ...asked, ...(choices.length > 0 ? { choices } : {}), ...(leastIfAny === null ? {} : { leastIfAny }) }, text, lever.now, units)
  return read.ok ? read.value : read.refusal
}

const textOf = (value: unknown): string => (typeof value === 'string' ? value.trim() : Array.isArray(value) ? String(value[0] ?? '').trim() : '')
