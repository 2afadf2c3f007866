import { usePage } from './page-context.ts'
import { timeWords, type TimeWords } from './times.ts'

/** An instant: a Date, or core's minutes since 1970-01-01T00:00Z. */
export type Moment = Date | number

const MINUTE = 60_000
const minutes = (at: Moment): number => (typeof at === 'number' ? at : Math.floor(at.getTime() / MINUTE))
const iso = (at: Moment): string => new Date(minutes(at) * MINUTE).toISOString()

/** Words for times in the club's zone, as of this page. */
export function useTimes(): TimeWords {
  const { club, now } = usePage()
  return timeWords(club, now)
}

export type WhenProps = {
  at: Moment
  /** full: day and time (the usual); day; time; week: its ISO week. */
  as?: 'full' | 'day' | 'time' | 'week'
}

/** "Sat 14:00" close by, else "Sat 28 Nov 14:00". */
export function When({ at, as = 'full' }: WhenProps) {
  const times = useTimes()
  const t = minutes(at)
  const text = as === 'day' ? times.day(t) : as === 'time' ? times.time(t) : as === 'week' ? times.week(t) : times.dayTime(t)
  return <time class="time" dateTime={iso(at)}>{text}</time>
}

/** "Sat 14:00–16:30", or over midnight "Sat 22:00 – Sun 01:30". */
export function Span({ from, to, day = true }: { from: Moment; to: Moment; day?: boolean }) {
  const times = useTimes()
  const [a, b] = [minutes(from), minutes(to)]
  const isOneDay = times.localDate(a) === times.localDate(b)
  const end = isOneDay ? <>–{times.time(b)}</> : <> – {times.dayTime(b)}</>
  return (
    <span class="time">
      <time dateTime={iso(from)}>{day ? times.dayTime(a) : times.time(a)}</time>
      <time dateTime={iso(to)}>{end}</time>
    </span>
  )
}
