import { dateFormat, usePage } from '../shared/index.ts'

/** Days and times of a document that is read years later: always with the year. */
export function useDays(): { day(iso: string): string; at(moment: Date): string; on(moment: Date | number): string } {
  const { club } = usePage()
  const [locale, timeZone] = [club?.locale ?? 'en-GB', club?.zone ?? 'UTC']
  const DAY = { day: 'numeric', month: 'short', year: 'numeric' } as const
  const plain = dateFormat(locale, { ...DAY, timeZone: 'UTC' })
  const local = dateFormat(locale, { ...DAY, timeZone })
  const full = dateFormat(locale, { ...DAY, hour: '2-digit', minute: '2-digit', hourCycle: 'h23', timeZone })
  return {
    day: (iso) => plain.format(new Date(`${iso}T12:00:00Z`)),
    at: (moment) => full.format(moment),
    on: (moment) => local.format(typeof moment === 'number' ? moment * 60_000 : moment),
  }
}
