/** What a forecast says, in words; shared by planning's pages, the week review and the club sheet. Nobody is blamed: it is told what moved. */
import type { Attendance, Cause, Craft, PaceFactor } from '../../src/core/forecast/types.ts'
import { plural, sentence, type TimeWords } from './times.ts'

/** Why the launch of even chance moved since the week before; the parts add up to it. */
export type StepPart = {
  readonly cause: string
  /** Elapsed minutes; negative: sooner. */
  readonly minutes: number
  /** In words, where there is something to add: what was added, hours worked beside hours reckoned with. */
  readonly detail: string
}
export type Step = { readonly minutes: number; readonly parts: readonly StepPart[] }
/** What the last forecast of a week said; instants, null: not within what was foreseen. */
export type FanWeek = { readonly monday: string; readonly p50: number | null; readonly p80: number | null; readonly step: Step | null }

/** Kinds of work, as people say them. */
export const CRAFT_WORDS: Readonly<Record<Craft, string>> = {
  wood: 'making and fitting', resin: 'glue and glass', sanding: 'sanding and fairing', finish: 'paint and varnish', handling: 'lifting and turning',
}

/** What keeps work waiting on the way to the launch. */
export const CAUSE_WORDS: Readonly<Record<Cause, string>> = {
  work: 'the work itself', people: 'waiting until somebody is there', cure: 'films that cure', cold: 'too cold or damp', tool: 'a tool or a bay that is taken', delivery: 'something to be delivered',
  competence: 'somebody checked for it to be there', place: 'a place that is shut or dusty', date: 'a day that was set',
}

/** Uncertain things, as shares of the spread. */
export const SOURCE_WORDS: Readonly<Record<'work' | 'pace' | 'attendance' | 'temperature' | 'rework', string>> = {
  work: 'how long single tasks take', pace: 'the pace of the hands', attendance: 'how often the hours meant really come', temperature: 'the weather of the months', rework: 'work that has to be done again',
}

export type RangeOf = { readonly p50: number | null; readonly p80: number | null }
export type ForecastWords = RangeOf & { readonly targetOn: string | null; readonly targetChance: number | null; readonly step: Step | null }

const DAY = 1440
const WEEK = 7 * DAY
/** Noon of a local date lies within it in every zone. */
const noon = (date: string): number => Date.parse(`${date}T12:00:00Z`) / 60_000

/** Far dates without the weekday, which would promise more than is known. */
const dateOf = (times: TimeWords, t: number): string => (t - times.now > 12 * WEEK ? times.date(t) : times.day(t))

/** "even chance by 12 Jun, four in five by 3 Jul" */
export function rangeWords(times: TimeWords, { p50, p80 }: RangeOf): string {
  if (p50 === null) return 'no even chance within two years'
  const half = `even chance by ${dateOf(times, p50)}`
  return p80 === null ? `${half}, four in five not within two years` : `${half}, four in five by ${dateOf(times, p80)}`
}

/** "4 in 10"; at the ends in words, for nothing is certain. */
export function chanceWords(chance: number): string {
  if (chance < 0.05) return 'hardly any chance'
  if (chance > 0.95) return 'more than nine chances in ten'
  return `${Math.round(chance * 10)} chances in 10`.replace(/^1 chances/, '1 chance').replace(/^0 chances in 10$/, 'hardly any chance').replace(/^10 chances in 10$/, 'more than nine chances in ten')
}

/** "5 days", "a week", "3 weeks", "half a day". */
export function spanWords(minutes: number): string {
  const days = Math.round(Math.abs(minutes) / DAY)
  if (days === 0) return 'less than a day'
  if (days % 7 === 0) return days === 7 ? 'a week' : `${days / 7} weeks`
  if (days > 21) return `${Math.round(days / 7)} weeks`
  return plural(days, 'day')
}

const STEP_WORDS: Readonly<Record<string, readonly [later: string, sooner: string]>> = {
  'took-longer': ['work took longer than thought', 'work went quicker than thought'],
  'fewer-hands': ['fewer hours came than reckoned with', 'more hours came than reckoned with'],
  rework: ['something has to be mended', 'less has to be done again'],
  added: ['work was added', 'work was taken off'],
  plan: ['sessions, deliveries, windows and other builds', 'sessions, deliveries, windows and other builds'],
}

/** What a part of a step is called, by whether it brought the launch later or sooner. */
export function partWords({ cause, minutes, detail }: StepPart): string {
  const [later, sooner] = STEP_WORDS[cause] ?? [cause, cause]
  const isNamed = cause === 'plan' || ((cause === 'rework' || cause === 'added') && minutes > 0)
  const names = isNamed && detail !== '' ? `: ${detail}` : ''
  return `${minutes >= 0 ? later : sooner}${names}`
}

/** A move of less than this is not worth a word. */
const TOLD = DAY / 2
export const toldParts = (step: Step): StepPart[] => step.parts.filter((p) => Math.abs(p.minutes) >= TOLD).sort((a, b) => Math.abs(b.minutes) - Math.abs(a.minutes))

/** "a week later than last week: fewer hours came than reckoned with (5 days later)" */
export function stepWords(step: Step, since = 'the week before'): string {
  const parts = toldParts(step)
  const because = parts.length === 0 ? '' : `: ${parts.map((p) => `${partWords(p)} (${spanWords(p.minutes)} ${p.minutes > 0 ? 'later' : 'sooner'})`).join(', ')}`
  if (Math.abs(step.minutes) < TOLD) return `no different from ${since}${parts.length === 0 ? '' : `, for it evens out${because}`}`
  return `${spanWords(step.minutes)} ${step.minutes > 0 ? 'later' : 'sooner'} than ${since}${because}`
}

export const targetWords = (times: TimeWords, { targetOn, targetChance }: Pick<ForecastWords, 'targetOn' | 'targetChance'>): string =>
  targetOn === null || targetChance === null ? '' : `her target, ${times.day(noon(targetOn))}, has ${chanceWords(targetChance)}`

/** The range, the chance of her target, and why it moved, in two or three sentences. */
export function forecastSentence(times: TimeWords, forecast: ForecastWords): string {
  const target = targetWords(times, forecast)
  const range = sentence(`${rangeWords(times, forecast)}${target === '' ? '' : `; ${target}`}`)
  return forecast.step === null ? range : `${range} ${sentence(`that is ${stepWords(forecast.step)}`)}`
}

/** "takes 1.2 times as long as estimated, from 9 tasks, fairly sure" */
export function paceWords(pace: PaceFactor): string {
  const by = Math.round(pace.factor * 10) / 10
  const as = by === 1 ? 'takes as long as estimated' : `takes ${by.toFixed(1)} times as long as estimated`
  return `${as}, ${pace.count === 0 ? 'no task of hers finished yet' : `from ${plural(pace.count, 'task')}`}, ${sureWords(pace)}`
}

/** By how far the factor may be off, four times in five. */
export function sureWords({ low, high }: Pick<PaceFactor, 'low' | 'high'>): string {
  const ratio = high / low
  return ratio < 1.35 ? 'quite sure' : ratio < 1.8 ? 'fairly sure' : 'not sure yet'
}

/** "of hours meant, 78 % come, from 9 weeks" */
export function attendanceWords({ mean, weeks }: Attendance): string {
  const share = `of hours meant, ${Math.round(mean * 100)} % come`
  return weeks === 0 ? `${share} is taken, until past weeks can tell` : `${share}, from ${plural(weeks, 'week')}`
}
