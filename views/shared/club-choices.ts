import type { Option } from './fields.tsx'

/** What a club chooses of itself: at set-up, and on the page of its settings. */

/** How dates and numbers are written; the pages' words are English. */
export const LOCALES = [
  ['en-GB', 'United Kingdom'], ['en-IE', 'Ireland'], ['en-US', 'United States'], ['en-CA', 'Canada'], ['en-AU', 'Australia'], ['en-NZ', 'New Zealand'], ['en-ZA', 'South Africa'],
] as const

const sample = (locale: string): string =>
  new Intl.DateTimeFormat(locale, { timeZone: 'UTC', weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' }).format(new Date('2026-11-28T00:00:00Z'))

export const localeOptions = (): Option[] => LOCALES.map(([value, place]) => ({ value, label: `${place} (${sample(value)})` }))

export const UNIT_OPTIONS: readonly Option[] = [{ value: 'metric', label: 'Metric: m, kg, °C' }, { value: 'imperial', label: 'Imperial: ft, lb, °F' }]

/** The zone that is stored stands in the list even where the platform lists it under another name, as it does UTC. */
export function zoneOptions(stored?: string): Option[] {
  const listed = Intl.supportedValuesOf('timeZone')
  const zones = stored === undefined || listed.includes(stored) ? listed : [stored, ...listed]
  return zones.map((zone) => ({ value: zone, label: zone.replaceAll('_', ' '), group: zone.split('/')[0] ?? '' }))
}

export function currencyOptions(): Option[] {
  const names = new Intl.DisplayNames('en', { type: 'currency' })
  const first = ['EUR', 'GBP', 'USD', 'CAD', 'AUD', 'NZD']
  const option = (code: string, group: string) => ({ value: code, label: `${code} – ${names.of(code) ?? code}`, group })
  return [...first.map((c) => option(c, 'Often')), ...Intl.supportedValuesOf('currency').filter((c) => !first.includes(c)).map((c) => option(c, 'All'))]
}
