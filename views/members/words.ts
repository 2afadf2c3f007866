import type { PageRole } from '../shared/page-context.ts'

export const ROLES: readonly { role: PageRole; name: string; hint: string }[] = [
  { role: 'officer', name: 'Officer', hint: 'May do everything, members and set-up too' },
  { role: 'keyholder', name: 'Keyholder', hint: 'Opens the workshop; others’ hours count while a keyholder is there' },
  { role: 'storekeeper', name: 'Storekeeper', hint: 'Keeps products and stock' },
  { role: 'builder', name: 'Builder', hint: 'Works on the builds whose team they are in, starts builds' },
  { role: 'helper', name: 'Helper', hint: 'Lends a hand where asked' },
]

export const roleNames = (roles: readonly PageRole[]): string =>
  ROLES.filter(({ role }) => roles.includes(role)).map(({ name }) => name).join(', ') || 'none'

export const WEEKDAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'] as const

/** A calendar date in the club's words, "28 Nov 2026": no zone moves it. */
export const dateText = (date: string, locale = 'en-GB'): string =>
  new Intl.DateTimeFormat(locale, { timeZone: 'UTC', day: 'numeric', month: 'short', year: 'numeric' }).format(new Date(`${date}T00:00:00Z`))

/** A supervised holder works beside somebody with the full check; one past its refresh date counts for nothing. */
export function heldWords(held: { name: string; level: 'full' | 'supervised'; refreshOn: string | null }, today: string): string {
  const over = held.refreshOn !== null && held.refreshOn < today
  return `${held.name}${held.level === 'supervised' ? ' (supervised)' : ''}${over ? ' – to be refreshed' : ''}`
}
