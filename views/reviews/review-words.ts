/** Words of a week review. They stay in a signed one, so days are told by their date, never as "today" or a bare weekday. Pure. */
import { addDays, isoWeek } from '../../src/core/calendar/index.ts'
import type { ForecastBrief, MeantLine, NextPiece, UseLine } from '../../src/features/reviews/model.ts'
import { spanWords } from '../shared/forecast-words.ts'
import * as format from '../shared/format.ts'
import type { PageClub } from '../shared/page-context.ts'
import { dateFormat } from '../shared/times.ts'

type Club = Pick<PageClub, 'zone' | 'locale' | 'units' | 'currency'>
export type ReviewWords = {
  /** "Sat 6 June" of a local day; with its year where that is not the review's. */
  day(iso: string): string
  /** The same of an instant (epoch minutes). */
  dayAt(t: number): string
  /** "Sat 6 June 14:00" */
  at(t: number): string
  /** "week 24, from Mon 8 Jun" */
  week(t: number): string
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
  const isoLocal = dateFormat('en-CA', { year: 'numeric', month: '2-digit', day: '2-digit', timeZone: club.zone })
  const of = (iso: string) => local(Date.parse(`${iso}T12:00:00Z`))
  return {
    day: of,
    dayAt: (t) => day(t * 60_000),
    at: (t) => `${day(t * 60_000)} ${clock.format(t * 60_000)}`,
    week(t) {
      const local = isoLocal.format(t * 60_000)
      const { week, weekday } = isoWeek(local)
      return `week ${week}, from ${of(addDays(local, 1 - weekday))}`
    },
    temperature: (c) => format.temperature(c, { ...club }),
  }
}

/** Within so much a range has not moved: half a day. */
const STILL = 720
export const movedWords = (minutes: number | null): string =>
  minutes === null ? '' : Math.abs(minutes) < STILL ? 'as the week before' : `${spanWords(minutes)} ${minutes > 0 ? 'later' : 'sooner'} than the week before`

/** "even chance by Fri 12 June, four in five by Fri 3 July" */
export function rangeWords({ p50, p80 }: Pick<ForecastBrief, 'p50' | 'p80'>, w: ReviewWords): string {
  if (p50 === null) return 'later than can be foreseen'
  return `even chance by ${w.dayAt(p50)}, ${p80 === null ? 'four in five later than can be foreseen' : `four in five by ${w.dayAt(p80)}`}`
}

export const CAME_WORDS: Readonly<Record<MeantLine['came'], string>> = { finished: 'finished', worked: 'goes on', part: 'in part', none: 'not begun on' }

/** What was drawn beside the estimate, in words. */
export function useWords({ is, soFar, estimate, unit }: UseLine, club: PageClub | null): string {
  if (is === 'no-estimate' || estimate === null) return 'nothing estimated'
  const of = `${format.stockNeed(soFar, unit, club)} of ${format.stockNeed(estimate.likely, unit, club)}`
  if (is === 'going') return `${of} so far`
  return `${is === 'over' ? 'more than estimated' : is === 'under' ? 'less than estimated' : 'as estimated'}: ${of}`
}

/** "15 °C or more, humidity at most 70 %"; empty where it goes in any weather. */
export function weatherWords(limits: NextPiece['weather'], club: PageClub | null): string {
  if (limits === null) return ''
  const { minAir, maxAir, maxHumidity, dewPointMargin } = limits
  const air = minAir !== null && maxAir !== null ? `${format.temperature(minAir, club)} to ${format.temperature(maxAir, club)}`
    : minAir !== null ? `${format.temperature(minAir, club)} or more` : maxAir !== null ? `${format.temperature(maxAir, club)} or less` : ''
  return [
    air, maxHumidity === null ? '' : `humidity at most ${format.number(maxHumidity, club, 0)} %`,
    dewPointMargin === null ? '' : `${format.temperatureDifference(dewPointMargin, club)} above the dew point`,
  ].filter((t) => t !== '').join(', ')
}

const COVER: Readonly<Record<NextPiece['stock'][number]['cover'], string>> = { there: 'here', coming: 'comes in time', late: 'comes later than wanted', short: 'short, not on order' }
export const stockWords = ({ item, unit, milli, cover }: NextPiece['stock'][number], club: PageClub | null): string => `${format.stockNeed(milli, unit, club)} ${item}: ${COVER[cover]}`

