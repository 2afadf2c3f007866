/**
 * Two real builders' hour logs, fed week by week: what would have been said at a third of the hours, and where the end fell. Printed, not asserted:
 * two builds prove nothing. Hours, days and milestones are read from the builders' own pages (one a kit pram of 3.5 m, by a first-timer, 2005-06; one a
 * kit double-ender of 4.6 m, alone, 2011).
 *
 * Estimate, either the builder's own (read) or the planning table's 200 h for an open sailing boat of about 4 m, give or take 40 %, scaled by length x
 * beam (a comparison of two builds supports it; beams not read, taken to go with the length), less its row of marking and cutting, which kits skip (18.5 of
 * 218.75 h). What share of the work a milestone is: as in the OTHER log, never in its own.
 */
import { learnAttendance } from '../../../src/core/forecast/attendance.ts'
import { compileForecast, quantile, simulate } from '../../../src/core/forecast/index.ts'
import { learnPace } from '../../../src/core/forecast/pace.ts'
import { noEvidence } from '../../../src/core/forecast/prior.ts'
import type { AttendanceEvidence, PaceEvidence, ThreePoints, Uncertainty } from '../../../src/core/forecast/types.ts'
import { plan } from '../../../src/core/schedule/plan.ts'
import { instant } from '../../../src/core/units/index.ts'
import { build, problem, shared, task } from '../../support/problem.ts'

interface HourLog {
  readonly name: string
  /** Days since the start, and hours by then. */
  readonly milestones: readonly { readonly day: number; readonly hours: number }[]
  readonly estimates: readonly { readonly whose: string; readonly hours: number }[]
  /** Hours by which a milestone was reached that the other log has too, and its share of the hours there. */
  readonly known: readonly { readonly what: string; readonly hours: number; readonly share: number }[]
}

const A_TOTAL = 99.5
const B_TOTAL = 165.5
const KIT = 1 - 18.5 / 218.75
const bySize = (length: number): number => 200 * (length / 4) ** 2 * KIT

/** "About 38 weeks" to 27 July: day 0 is 3 November. */
const LOGS: readonly HourLog[] = [
  {
    name: 'A, pram of 3.5 m',
    milestones: [[0, 0], [27, 10.5], [56, 25.5], [89, 41.75], [117, 58], [147, 70.25], [181, 81.25], [208, 83], [266, A_TOTAL]].map(([day, hours]) => ({ day: day!, hours: hours! })),
    estimates: [{ whose: 'the builder’s own', hours: 100 }, { whose: 'the table’s by size', hours: bySize(3.5) }],
    known: [{ what: 'stitched', hours: 25.5, share: 28 / B_TOTAL }, { what: 'seats in', hours: 70.25, share: 120 / B_TOTAL }],
  },
  {
    name: 'B, double-ender of 4.6 m',
    milestones: [[0, 0], [7, 23], [8, 28], [15, 48], [24, 70], [27, 77], [41, 120], [43, 125], [53, B_TOTAL]].map(([day, hours]) => ({ day: day!, hours: hours! })),
    estimates: [{ whose: 'the table’s by size', hours: bySize(4.6) }],
    known: [{ what: 'stitched', hours: 28, share: 25.5 / A_TOTAL }, { what: 'seats in', hours: 120, share: 70.25 / A_TOTAL }],
  },
]
const RUNS = 2000

/** Prints each log's forecast week by week, and at a third of its hours. */
export function hourLogs(): void {
  say('Real hour logs, week by week (printed, not asserted)')
  for (const log of LOGS) for (const estimate of log.estimates) tell(log, estimate)
}

function tell(log: HourLog, { whose, hours: estimate }: HourLog['estimates'][number]): void {
  const end = log.milestones.at(-1)!
  const third = dayOf(log, end.hours / 3)
  const at = forecast(log, estimate, third)
  say(`  ${log.name}, estimate ${whose} ${estimate.toFixed(0)} h: at a third of the hours (day ${third.toFixed(0)}, ${(end.hours / 3).toFixed(1)} h) 10 to 90 %`
    + ` ${at.hours.map((h) => h.toFixed(0)).join(' to ')} h; it took ${end.hours} h (${where(end.hours, at.hours)})`)
  say(`    end on day ${at.days.map((d) => d.toFixed(0)).join(' to ')}; it fell on day ${end.day} (${where(end.day, at.days)})`)
  const weeks = Array.from({ length: Math.floor(end.day / 7) }, (_, i) => (i + 1) * 7).filter((day) => day % (end.day > 100 ? 28 : 7) === 0)
  say(`    total by week: ${weeks.map((day) => `${day / 7}: ${forecast(log, estimate, day).hours.map((h) => h.toFixed(0)).join('-')}`).join(', ')} h`)
}

const where = (x: number, [low, high]: readonly [number, number]): string => (x < low ? 'below it' : x > high ? 'above it' : 'within')

/** 10 and 90 % of the hours in all, and of the last day, as known on a day. */
function forecast(log: HourLog, estimate: number, day: number): { hours: readonly [number, number]; days: readonly [number, number] } {
  const worked = hoursBy(log, day)
  const passed = log.known.filter((k) => k.hours <= worked)
  const share = passed.at(-1)?.share ?? 0
  const since = worked - (passed.at(-1)?.hours ?? 0)
  const pace = passed.map((k, i): PaceEvidence => {
    const part = (k.share - (passed[i - 1]?.share ?? 0)) * estimate
    return { buildId: 'boat', craft: 'wood', estimated: part, worked: k.hours - (passed[i - 1]?.hours ?? 0), sd: (part * 0.8) / 6 }
  })
  // 40 % either way; what was worked since the last milestone is off it.
  const rest = (1 - share) * estimate
  const left = points(rest, since)
  // Nobody said what was meant: the hours a week up to the first milestone are taken as the plan, and the weeks since as what came.
  const first = log.milestones[1]!
  const perWeek = (first.hours / first.day) * 7
  const weeks: AttendanceEvidence[] = []
  for (let d = Math.ceil(first.day / 7) * 7; d + 7 <= day; d += 7) weeks.push({ planned: perWeek, came: hoursBy(log, d + 7) - hoursBy(log, d) })
  const uncertainty = { pace: learnPace(pace, 'boat'), attendance: learnAttendance(weeks) }
  const whole = launches(left, null, { ...uncertainty, attendance: { mean: 1, sd: 0, weekSd: 0, follows: 0, weeks: 0 } })
  const dated = launches(left, perWeek, uncertainty)
  return { hours: [worked + whole[0] / 60, worked + whole[1] / 60], days: [day + dated[0] / 1440, day + dated[1] / 1440] }
}

const points = (rest: number, since: number): ThreePoints => {
  const [low, likely, high] = [0.6, 1, 1.4].map((x) => Math.max(rest / 10, rest * x - since) * 60) as [number, number, number]
  return { low, likely, high }
}

/** 10 and 90 % of the launch of one task, worked at so many hours each week, or (null) without a break. */
function launches(left: ThreePoints, perWeek: number | null, of: Pick<Uncertainty, 'pace' | 'attendance'>): readonly [number, number] {
  const weeks = 200
  const presence = perWeek === null ? [{ start: 0, end: weeks * 10_080 }]
    : Array.from({ length: weeks * 2 }, (_, i) => ({ start: i * 5040, end: i * 5040 + Math.round(perWeek * 30) }))
  const p = problem({
    horizon: instant(weeks * 10_080), builds: [build('boat', { launchTaskId: 'rest' })],
    people: [{
      id: 'builder', helpsAnyone: true, competences: [],
      presence: presence.map((x) => ({ start: instant(x.start), end: instant(x.end), siteId: 'site', sessionId: null, projected: false })),
    }],
    tasks: [task('rest', { work: shared(Math.round(left.likely)), smallest: 1 as never })],
  })
  const planned = plan(p, { seed: 1, maxSchedules: 1 })
  if (!planned.ok) throw new Error(JSON.stringify(planned.refusal))
  const rework = { ...noEvidence.rework, chance: { wood: 0, resin: 0, sanding: 0, finish: 0, handling: 0 } }
  const uncertainty: Uncertainty = { left: new Map([['rest', left]]), craft: new Map([['rest', 'wood']]), phase: new Map([['rest', 'all']]), ...of, rework, temperatureSd: 0 }
  const simulation = simulate(compileForecast(p, planned.value, 'boat', uncertainty), { runs: RUNS, seed: 1 })
  return [quantile(simulation, 0.1) ?? Infinity, quantile(simulation, 0.9) ?? Infinity]
}

/** Straight between the milestones. */
function hoursBy({ milestones }: HourLog, day: number): number {
  const next = milestones.findIndex((m) => m.day >= day)
  if (next <= 0) return next === 0 ? milestones[0]!.hours : milestones.at(-1)!.hours
  const [a, b] = [milestones[next - 1]!, milestones[next]!]
  return a.hours + ((day - a.day) / (b.day - a.day)) * (b.hours - a.hours)
}

function dayOf({ milestones }: HourLog, hours: number): number {
  const next = milestones.findIndex((m) => m.hours >= hours)
  const [a, b] = [milestones[next - 1]!, milestones[next]!]
  return a.day + ((hours - a.hours) / (b.hours - a.hours)) * (b.day - a.day)
}

const say = (text: string): void => void process.stdout.write(`${text}\n`)

if (process.argv[1]?.endsWith('hour-logs.ts')) hourLogs()
