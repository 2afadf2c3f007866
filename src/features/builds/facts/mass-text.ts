/** A boat's mass as people write it: "38.2", "38,2 kg", "84 lb", "38200 g". Pure. */
import { parseAmount } from '../../stores/public.ts'

export type MassUnits = 'metric' | 'imperial'
export const massUnit = (units: MassUnits): 'kg' | 'lb' => (units === 'metric' ? 'kg' : 'lb')
export const KG_PER_LB = 0.45359237

/** Whole grams; a bare number is in the club's unit. */
export function readMass(text: string, units: MassUnits): { ok: true; grams: number } | { ok: false; message: string } {
  const typed = text.trim()
  const unit = massUnit(units)
  if (typed === '') return { ok: false, message: `Say what the scales showed, in ${unit}` }
  const read = parseAmount(/[a-zµ]/i.test(typed) ? typed : `${typed} ${unit}`, 'g')
  if (!read.ok) return { ok: false, message: sentence(read.message.replaceAll(`“${typed} ${unit}”`, `“${typed}”`).replace(/ of g$/, ` of ${unit}`).replace(/weigh or measure it in g$/, `write it in ${unit}`).replace(/but this is kept in g/, 'but a mass is asked for')) }
  const grams = Math.round(read.milli / 1000)
  if (grams <= 0) return { ok: false, message: `“${typed}”: something that hangs on the scales weighs more than nothing` }
  return { ok: true, grams }
}

const sentence = (text: string): string => `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`

/** A mass as a form shows it, in the club's unit without the unit. */
export const massField = (grams: number, units: MassUnits): string => String(Math.round((grams / 1000 / (units === 'metric' ? 1 : KG_PER_LB)) * 100) / 100)
