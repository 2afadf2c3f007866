import { usePage, useTimes } from '../shared/index.ts'
import { dayWords } from './words.ts'

/** The local day of an instant, always with its date: logs are read long afterwards. */
export function DayOf({ at }: { at: number }) {
  const locale = usePage().club?.locale ?? 'en-GB'
  return <time class="time" dateTime={new Date(at * 60_000).toISOString()}>{dayWords(useTimes().localDate(at), locale)}</time>
}
