/** What a guest is told, in words that need no workshop. */
import type { GuestBoard, GuestNext } from '../../src/features/reviews/guests/model.ts'
import { format, type PageClub, type TimeWords } from '../shared/index.ts'
import { shapeWords } from './progress-words.ts'

/** Noon of a day lies within it in every zone. */
const noon = (day: string): number => Date.parse(`${day}T12:00:00Z`) / 60_000

export function stateWords({ state, startedOn, pausedOn, inServiceOn }: GuestBoard['boat'], times: TimeWords): string {
  const since = `Under construction since ${times.date(noon(startedOn))}`
  if (state === 'launched') return inServiceOn === null ? 'She is launched' : `She is launched, and in use since ${times.date(noon(inServiceOn))}`
  if (state === 'paused') return `${since}; she rests${pausedOn === null ? '' : ` since ${times.date(noon(pausedOn))}`}, which is quite usual`
  return since
}

/** By hours, for a hull that looks like a boat is only a beginning. */
export function shareWords(work: NonNullable<GuestBoard['work']>, state: GuestBoard['boat']['state'], club: PageClub | null): string {
  const shape = state === 'launched' ? null : shapeWords(work, club)
  return `${format.percent(work.share, club)} of the work is done, counted in hours.${shape === null ? '' : ` ${shape}`}`
}

export function whenWords(state: GuestBoard['boat']['state'], launch: GuestBoard['launch'], times: TimeWords): string[] {
  if (state === 'paused') return ['Nobody can say while she rests.']
  if (launch === null) return ['Nobody has worked that out yet.']
  const { p50, p80, targetOn } = launch
  const wish = targetOn === null ? [] : [`Her builders would like it to be by ${times.date(noon(targetOn))}.`]
  if (p50 === null) return ['Too far off to say.', ...wish]
  const far = p80 === null ? 'how late it may get can’t be said yet' : `with four chances in five by ${times.date(p80)}`
  return [`As likely as not by ${times.date(p50)}; ${far}.`, 'It moves with the weather, with who can come and with what has to be done twice.', ...wish]
}

/** "Sat 6 Jun: fill coat on the hull", beyond what is entered "week of 8 Jun: …". */
export function nextWords({ name, day, monday }: GuestNext, times: TimeWords): string {
  return day === null ? `Week of ${times.date(noon(monday))}: ${name}` : `${times.day(noon(day))}: ${name}`
}
