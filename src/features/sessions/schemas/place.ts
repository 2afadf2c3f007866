import { z } from 'zod'
import { unitsOf, type Units } from '../../../../views/shared/format.ts'
import { checkbox, date, endTime, id, maybeId, maybeMeasure, maybeTime, measure, shortText, time, wholeNumber } from '../../../platform/form-fields.ts'

export const MONTHS = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'] as const
const HOURS = { unit: 'hours', fromSi: (v: number) => v / 60, toSi: (v: number) => v * 60 }

export const monthFields = (kind: 'air' | 'dew') => MONTHS.map((_, i) => `${kind}${i + 1}`)
const twelve = <S extends z.ZodType>(kind: 'air' | 'dew', of: (month: string) => S) =>
  Object.fromEntries(monthFields(kind).map((name, i) => [name, of(MONTHS[i]!)])) as Record<string, S>

/** Temperatures arrive in the club's units. */
export function PlaceForm(units: Units) {
  const { temperature, difference } = unitsOf(units)
  return z
    .object({
      name: shortText('Name'),
      siteId: id,
      bays: wholeNumber('Bays', 0, 50),
      ...twelve('air', (month) => measure(`Air in ${month}`, temperature, -40, 45)),
      ...twelve('dew', (month) => measure(`Dew point in ${month}`, temperature, -40, 35)),
      halfSwing: measure('Swing of the day', difference, 0, 25),
      heatTo: maybeMeasure('Heated to', temperature, -10, 40),
      heatBefore: measure('Heating on before', HOURS, 0, 168),
      settle: measure('Dust settles in', HOURS, 0, 168),
      isRetired: checkbox,
    })
    .transform((typed) => {
      const months = (kind: 'air' | 'dew') => monthFields(kind).map((name) => (typed as unknown as Record<string, number>)[name]!)
      return {
        name: typed.name, siteId: typed.siteId, bays: typed.bays, monthlyAir: months('air'), monthlyDew: months('dew'), halfSwing: typed.halfSwing,
        heatTo: typed.heatTo, heatBeforeMin: Math.round(typed.heatBefore), settleMin: Math.round(typed.settle), isActive: !typed.isRetired,
      }
    })
    .superRefine((place, c) => {
      place.monthlyDew.forEach((dew, i) => {
        if (dew > place.monthlyAir[i]! + place.halfSwing) {
          c.addIssue({ code: 'custom', path: [`dew${i + 1}`], message: `Dew point in ${MONTHS[i]}: above the warmest air of the day, which can’t be; lower it or raise the air` })
        }
      })
    })
}
export type PlaceInput = z.output<ReturnType<typeof PlaceForm>>

const rounded = (n: number) => String(Math.round(n * 100) / 100)

export type PlaceFigures = { name: string; siteId: string; bays: number; monthlyAir: readonly number[]; monthlyDew: readonly number[]; halfSwing: number; heatTo: number | null; heatBeforeMin: number; settleMin: number; isActive: boolean }

/** A place as its form shows it, in the club's units. */
export function placeFields(place: PlaceFigures, units: Units): Record<string, string> {
  const { temperature } = unitsOf(units)
  const months = (kind: 'air' | 'dew', values: readonly number[]) => values.map((v, i) => [`${kind}${i + 1}`, rounded(temperature.fromSi(v))] as const)
  return {
    name: place.name, siteId: place.siteId, bays: String(place.bays),
    ...Object.fromEntries([...months('air', place.monthlyAir), ...months('dew', place.monthlyDew)]),
    halfSwing: rounded(units === 'metric' ? place.halfSwing : place.halfSwing * 1.8),
    heatTo: place.heatTo === null ? '' : rounded(temperature.fromSi(place.heatTo)),
    heatBefore: rounded(place.heatBeforeMin / 60), settle: rounded(place.settleMin / 60), isRetired: place.isActive ? '' : 'on',
  }
}

/** Two taps: a temperature, save. Another figure may be typed instead, and the time, when it was not just now. */
export function ReadingForm(units: Units) {
  const { temperature } = unitsOf(units)
  return z
    .object({
      air: maybeMeasure('Air', temperature, -40, 60),
      otherAir: maybeMeasure('Air', temperature, -40, 60),
      humidity: maybeMeasure('Humidity', { unit: '%', fromSi: (v) => v, toSi: (v) => v }, 1, 100),
      otherHumidity: maybeMeasure('Humidity', { unit: '%', fromSi: (v) => v, toSi: (v) => v }, 1, 100),
      at: maybeTime('Read at'),
    })
    .transform((typed, c) => {
      const air = typed.otherAir ?? typed.air
      if (air !== null) return { air, humidity: typed.otherHumidity ?? typed.humidity, at: typed.at }
      c.addIssue({ code: 'custom', path: ['air'], message: 'Air: tap a figure or type one' })
      return z.NEVER
    })
}

export const ClosureForm = z
  .object({ fromDate: date('From'), fromTime: time('From'), toDate: date('To'), toTime: endTime('To'), why: shortText('Why', 200) })
  .superRefine((typed, c) => {
    if (`${typed.fromDate} ${typed.fromTime}` >= `${typed.toDate} ${typed.toTime}`) {
      c.addIssue({ code: 'custom', path: ['toDate'], message: 'To: it ends before it begins; choose a later end' })
    }
  })

export const SiteForm = z
  .object({ name: shortText('Name'), kind: z.enum(['club', 'home'], { error: 'Choose one' }), memberId: maybeId })
  .superRefine((typed, c) => {
    if (typed.kind === 'home' && !typed.memberId) c.addIssue({ code: 'custom', path: ['memberId'], message: 'Whose home: choose the member' })
  })

