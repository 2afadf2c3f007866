/** Sentences of a drafted review. They stay in a signed one, so days are told by their date, never as "today" or a bare weekday. Pure. */
import * as format from '../../../../../views/shared/format.ts'
import type { PageClub } from '../../../../../views/shared/page-context.ts'
import { dateFormat, hours, list, plural } from '../../../../../views/shared/times.ts'
import type { DoneLine, ForecastBrief, MeantLine, ReviewFacts } from '../../model.ts'

type Club = Pick<PageClub, 'zone' | 'locale' | 'units' | 'currency'>
export type ReviewWords = {
  /** "Sat 6 June" of a local day; with its year where that is not the review's. */
  day(iso: string): string
  /** The same of an instant (epoch minutes). */
  dayAt(t: number): string
  /** "Sat 6 June 14:00" */
  at(t: number): string
  temperature(celsius: number): string
}

/** @param year of the review, 'YYYY' */
export function reviewWords(club: Club, year: string): ReviewWords {
  const parts = { weekday: 'short', day: 'numeric', month: 'short' } as const
  const plain = (text: string) => text.replaceAll(',', '')
  const dated = (zone: string) => {
    const [near, far, its] = [dateFormat(club.locale, { ...parts, timeZone: zone }), dateFormat(club.locale, { ...parts, year: 'numeric', timeZone: zone }), dateFormat('en-GB', { year: 'numeric', timeZone: zone })]
    return (ms: number) => plain((its.format(ms) === year ? near : far).format(ms))
  }
  const [local, day] = [dated('UTC'), dated(club.zone)]
  const clock = dateFormat(club.locale, { hour: '2-digit', minute: '2-digit', hourCycle: 'h23', timeZone: club.zone })
  return {
    day: (iso) => local(Date.parse(`${iso}T12:00:00Z`)),
    dayAt: (t) => day(t * 60_000),
    at: (t) => `${day(t * 60_000)} ${clock.format(t * 60_000)}`,
    temperature: (c) => format.temperature(c, { ...club }),
  }
}

const DAY = 1440
/** "3 days", "2 weeks": a stretch of the calendar, roughly. */
export function roughly(minutes: number): string {
  const days = Math.max(1, Math.round(Math.abs(minutes) / DAY))
  return days < 14 ? plural(days, 'day') : plural(Math.round(days / 7), 'week')
}

/** Within so much a range has not moved. */
export const STILL = DAY / 2

export const movedWords = (minutes: number | null): string =>
  minutes === null ? '' : Math.abs(minutes) < STILL ? 'as a week before' : `${roughly(minutes)} ${minutes > 0 ? 'later' : 'sooner'} than a week before`

/** "even chance by Fri 12 June, four in five by Fri 3 July" */
export function rangeWords({ p50, p80 }: Pick<ForecastBrief, 'p50' | 'p80'>, w: ReviewWords): string {
  if (p50 === null) return 'later than can be foreseen'
  return `even chance by ${w.dayAt(p50)}, ${p80 === null ? 'four in five later than can be foreseen' : `four in five by ${w.dayAt(p80)}`}`
}

type Drafted = Pick<ReviewFacts, 'isQuiet' | 'pause' | 'hasMeant'> & { meant: readonly MeantLine[]; done: readonly DoneLine[]; slips: number; range: string | null; moved: string }

/** What the week was, in one or two sentences. */
export function headlineOf(f: Drafted, w: ReviewWords): string {
  const launch = f.range === null ? '' : ` Launch: ${f.range}${f.moved === '' ? '' : ` (${f.moved})`}.`
  if (f.pause && f.done.length === 0) return `She rests since ${w.day(f.pause.from)}.${launch}`
  if (f.isQuiet) return `A quiet week: nothing was logged.${launch}`
  const [worked, meant] = [f.done.reduce((n, d) => n + d.workedMin, 0), f.meant.reduce((n, m) => n + m.meantMin, 0)]
  const first = `${hours(worked)} worked${f.hasMeant ? ` of ${hours(meant)} meant` : ''}`
  return `${[first, finishedWords(f.done), slipWords(f)].filter((t) => t !== '').join('; ')}.${launch}`
}

function finishedWords(done: readonly DoneLine[]): string {
  const finished = done.filter((d) => d.isFinished).map((d) => d.name)
  if (finished.length === 0) return done.length > 0 ? `${list(done.slice(0, 2).map((d) => d.name))} moved on` : ''
  const [shown, rest] = [finished.slice(0, 3), finished.length - 3]
  return `finished: ${list(rest > 0 ? [...shown, `${rest} more`] : shown)}`
}

function slipWords({ meant, slips }: Drafted): string {
  if (meant.length === 0) return ''
  return slips === 0 ? 'all that was meant came off' : `${slips} of ${plural(meant.length, 'thing')} meant ${slips === 1 ? 'goes' : 'go'} on`
}
