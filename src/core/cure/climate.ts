import { civil, dayNumber } from '../calendar/dates.ts'
import type { ClimateSteps, Interval, OffsetTable } from '../calendar/types.ts'
import { union } from '../calendar/intervals.ts'
import { offsetAt } from '../calendar/zone.ts'
import { celsius, instant, MINUTES_PER_DAY, MINUTES_PER_HOUR, type Celsius, type Instant, type Minutes } from '../units/index.ts'
import { dewPoint } from './humidity.ts'

/** A place's temperature course as a club states it. */
export interface ClimateRule {
  /** Mean air temperature of the twelve months, January first. */
  readonly monthlyAir: readonly number[]
  /** Half of the day's swing, °C, warmest at 15:00 local, coldest at 03:00. */
  readonly halfSwing: number
  /** Mean dew point of the twelve months, January first, °C. */
  readonly monthlyDew: readonly number[]
  /** Air is not below `to` from `before` minutes before each session until its end; null: not heated. */
  readonly heating: { readonly to: Celsius; readonly before: Minutes } | null
}

/** What somebody read off the place's thermometer; humidity in %, null: not read. */
export interface Reading { readonly at: Instant; readonly air: number; readonly humidity: number | null }

export interface ClimateQuestion {
  readonly rule: ClimateRule
  /** Sessions at the place's site, for the heating. */
  readonly sessions: readonly Interval[]
  readonly readings: readonly Reading[]
  readonly zone: OffsetTable
  readonly from: Instant
  readonly until: Instant
}

/** A reading corrects the model by the difference found; the correction fades to nothing over this long, both ways. Our own rule. */
export const READING_FADES = 12 * MINUTES_PER_HOUR
/** A hygrometer that shows less is broken; 0 % would have no dew point. */
const DRIEST = 1
const WARMEST = 15 * MINUTES_PER_HOUR

/**
 * Hourly climate of a place over [from, until); instants are minutes since 1970-01-01T00:00Z.
 *
 * - Monthly means stand at mid-month and are joined by straight lines, so that no month starts with a jump.
 * - The day's course is a cosine of local time. A step takes the value at its middle; one that begins with a reading, at its start.
 * - Steps break at every full hour, and where the heating goes on or off, and at readings.
 * - A reading's difference to the model fades linearly over 12 hours before and after it; between two readings closer than that
 *   it goes in a straight line from one to the other. A reading taken while the heating holds the air up corrects only heated
 *   times, any other only what the air would be unheated: a warm session says nothing about the night after it.
 * - Dew point is never above the air temperature. Heating leaves it as it is.
 *
 * @returns at least one step
 * @throws RangeError for other than twelve months, until not after from, or a figure that is no temperature
 */
export function climateModel(question: ClimateQuestion): ClimateSteps {
  const { rule, zone, from, until } = question
  if (rule.monthlyAir.length !== 12 || rule.monthlyDew.length !== 12) throw new RangeError('a climate needs twelve monthly means')
  if (until <= from) throw new RangeError('until is not after from')
  const heated = rule.heating === null ? [] : heatedTimes(question.sessions, rule.heating.before)
  const correct = corrections(question, heated)
  const readAt = new Set(question.readings.map((r) => r.at as number))
  const starts = breakpoints(question, heated)
  const heat = cursor(heated)
  const plain = ruleOver(rule, zone)
  return starts.map((start, i) => {
    const t = readAt.has(start) ? start : (start + (starts[i + 1] ?? until)) / 2
    const { air, dew } = plain(t)
    let corrected = air + correct.air(t)
    const to = rule.heating?.to ?? -Infinity
    if (heat(t)) corrected = Math.max(corrected, to) + correct.heatedAir(t)
    const value = celsius(corrected)
    return { from: instant(start), value: { air: value, dewPoint: celsius(Math.min(dew + correct.dew(t), value)) } }
  })
}

/** Air (unheated) and dew point of the rule as a function of time, before readings; °C. */
export function ruleOver(rule: ClimateRule, zone: OffsetTable): (t: number) => { readonly air: number; readonly dew: number } {
  // The stretch between two mid-months, kept from one call to the next: most follow each other by the hour.
  let start = 0
  let end = 0
  let [before, after] = [0, 0]
  return (t) => {
    const local = t + offsetAt(zone, instant(Math.floor(t)))
    if (local < start || local >= end) {
      const { year, month } = civil(Math.floor(local / MINUTES_PER_DAY))
      const first = local < midMonth(year, month) ? month - 1 : month
      start = midMonth(year, first)
      end = midMonth(year, first + 1)
      before = (first + 11) % 12
      after = first % 12
    }
    const share = (local - start) / (end - start)
    const between = (means: readonly number[]): number => means[before]! + share * (means[after]! - means[before]!)
    const course = Math.cos((2 * Math.PI * (local - WARMEST)) / MINUTES_PER_DAY)
    return { air: between(rule.monthlyAir) + rule.halfSwing * course, dew: between(rule.monthlyDew) }
  }
}

/** Middle of a month in local minutes; month 0 is last December, 13 next January. */
function midMonth(year: number, month: number): number {
  const first = (m: number): number => (m > 12 ? dayNumber(year + 1, m - 12, 1) : m < 1 ? dayNumber(year - 1, m + 12, 1) : dayNumber(year, m, 1))
  return ((first(month) + first(month + 1)) / 2) * MINUTES_PER_DAY
}

const heatedTimes = (sessions: readonly Interval[], before: number): Interval[] =>
  union(sessions.filter((s) => s.start < s.end).map((s) => ({ start: instant(s.start - before), end: s.end })))

function breakpoints({ zone, from, until, readings }: ClimateQuestion, heated: readonly Interval[]): number[] {
  const at = new Set<number>([from])
  // Full hours of local time; zones off by half an hour have theirs at half past.
  const past = (((from + offsetAt(zone, from)) % MINUTES_PER_HOUR) + MINUTES_PER_HOUR) % MINUTES_PER_HOUR
  for (let t = from - past + MINUTES_PER_HOUR; t < until; t += MINUTES_PER_HOUR) at.add(t)
  for (const t of [...heated.flatMap((h) => [h.start, h.end]), ...readings.map((r) => r.at)]) if (t > from && t < until) at.add(t)
  return [...at].sort((a, b) => a - b)
}

/** The three corrections as functions of time, °C. Asked with times that never go back. */
function corrections({ rule, zone, readings }: ClimateQuestion, heated: readonly Interval[]) {
  const to = rule.heating?.to ?? -Infinity
  const inHeat = cursor(heated)
  const free: Difference[] = []
  const warm: Reading[] = []
  const dew: Difference[] = []
  const model = ruleOver(rule, zone)
  for (const reading of latestPerInstant(readings)) {
    const { air, dew: modelDew } = model(reading.at)
    const isHeated = inHeat(reading.at)
    if (isHeated) warm.push(reading)
    // Where the air is warmer than the heating asks for, the heating tells nothing of it.
    if (!isHeated || air >= to) free.push({ at: reading.at, by: reading.air - air })
    if (reading.humidity !== null) dew.push({ at: reading.at, by: dewPoint(reading.air, Math.max(DRIEST, reading.humidity)) - modelDew })
  }
  const unheated = fading(free)
  const differences = warm.map((r) => ({ at: r.at, by: r.air - Math.max(model(r.at).air + unheated(r.at), to) }))
  return { air: fading(free), heatedAir: fading(differences), dew: fading(dew) }
}

/** Sorted by time; of two readings at the same minute the later in the list counts. */
function latestPerInstant(readings: readonly Reading[]): Reading[] {
  return [...new Map(readings.map((r) => [r.at as number, r])).values()].sort((a, b) => a.at - b.at)
}

interface Difference { readonly at: number; readonly by: number }

/** Correction at a time from sorted differences: see climateModel. Asked with times that never go back. */
function fading(differences: readonly Difference[]): (t: number) => number {
  let next = 0
  return (t) => {
    while (next < differences.length && differences[next]!.at <= t) next++
    const before = differences[next - 1]
    const after = differences[next]
    if (before !== undefined && after !== undefined && after.at - before.at < READING_FADES) {
      return before.by + ((after.by - before.by) * (t - before.at)) / (after.at - before.at)
    }
    const weight = (d: Difference | undefined): number => (d === undefined ? 0 : d.by * Math.max(0, 1 - Math.abs(t - d.at) / READING_FADES))
    return weight(before) + weight(after)
  }
}

/** Whether a time is in one of the sorted intervals. Asked with times that never go back. */
function cursor(intervals: readonly Interval[]): (t: number) => boolean {
  let i = 0
  return (t) => {
    while (i < intervals.length && intervals[i]!.end <= t) i++
    return i < intervals.length && intervals[i]!.start <= t
  }
}
