/** A boat's mass as people write it: "38.2", "38,2 kg", "84 lb", "38200 g". Pure. */
import { unitsOf, type Units } from '../../../../views/shared/format.ts'
import { parseAmount } from '../../stores/public.ts'

/** Whole grams; a bare number is in the club's unit. */
export function readMass(text: string, units: Units): { ok: true; grams: number } | { ok: false; message: string } {
  const typed = text.trim()
  const { unit } = unitsOf(units).boat
  if (typed === '') return { ok: false, message: `Say what the scales showed, in ${unit}` }
  const read = parseAmount(/[a-zµ]/i.test(typed) ? typed : `${typed} ${unit}`, 'g')
  if (!read.ok) return { ok: false, message: asTyped(read.message, typed, unit) }
  const grams = Math.round(read.milli / 1000)
  if (grams <= 0) return { ok: false, message: `“${typed}”: something that hangs on the scales weighs more than nothing` }
  return { ok: true, grams }
}

/** What the stores say of grams, in the words of what was typed. */
function asTyped(message: string, typed: string, unit: string): string {
  return sentence(message
    .replaceAll(`“${typed} ${unit}”`, `“${typed}”`)
    .replace(/ of g$/, ` of ${unit}`)
    .replace(/weigh or measure it in g$/, `write it in ${unit}`)
    .replace(/but this is kept in g/, 'but a mass is asked for'))
}

const sentence = (text: string): string => `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`
