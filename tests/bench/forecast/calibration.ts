/**
 * Do the dates hold? One forecast each of 2,000 made-up builds, a third of the work done, and what then really came (`support/dinghy-world.ts` says
 * by which laws: none of them the forecast's). The true launch is the same forward pass run once with the world's true work, people, weather and
 * rework and nothing uncertain: what is tested is what the forecast holds uncertain and what it learns, not how it hands out work.
 * A date holds when she is launched by then. Where a build's truth never launches within what is foreseen, no date holds.
 */
import { compileForecast, quantile, simulate, chanceBy } from '../../../src/core/forecast/index.ts'
import { learnAttendance } from '../../../src/core/forecast/attendance.ts'
import { learnPace } from '../../../src/core/forecast/pace.ts'
import { learnRework } from '../../../src/core/forecast/rework.ts'
import { CRAFTS, type Craft, type Pace, type Uncertainty } from '../../../src/core/forecast/types.ts'
import { plan } from '../../../src/core/schedule/plan.ts'
import { dinghyWorld } from '../../support/dinghy-world.ts'
import { hourLogs } from './hour-logs.ts'

/** 50 % dates in 50 ± 4 % of the builds, 80 % dates in 80 ± 3 %. */
const WITHIN = { half: 0.04, fourInFive: 0.03 } as const
const RUNS = 250
const SCHEDULES = 2
const WEEK = 7 * 1440
/** Which tasks have to be done again is the one thing that the pass itself throws, by the world's chances: with other luck than any launch of the forecast. */
const OTHER_LUCK = 1_000_003
/** Air of a coming month about its climate, °C (common practice, no source). */
const TEMPERATURE_SD = 2

export interface Outcome {
  /** Share of the simulated launches before the true one: even from 0 to 1 if the forecast is right. */
  readonly pit: number
  readonly byHalf: boolean
  readonly byFourInFive: boolean
  /** Weeks that people were told of before, her own finished tasks. */
  readonly weeks: number
  readonly tasks: number
  /** Whether other builds of the club were known. */
  readonly club: boolean
  /** Weeks from now to the 50 % date, from there to the 80 % date, between the 10 and the 90 % date, and to the true launch. */
  readonly half: number
  readonly toFourInFive: number
  readonly width: number
  readonly truth: number
}

const still: { certain: Pick<Uncertainty, 'pace' | 'attendance' | 'temperatureSd'> } = (() => {
  const none = { mean: 0, sd: 0 }
  const pace: Pace = { common: none, crafts: Object.fromEntries(CRAFTS.map((c) => [c, none])) as Record<Craft, typeof none>, taskSd: 0, factors: [] }
  return {
    certain: { pace, attendance: { mean: 1, sd: 0, weekSd: 0, follows: 0, weeks: 0 }, temperatureSd: 0 },
  }
})()

/** One build: planned as the service does, forecast from what was logged, and what came. */
export function outcome(seed: number): Outcome {
  const world = dinghyWorld(seed)
  const planned = plan(world.problem, { seed, maxSchedules: SCHEDULES })
  if (!planned.ok) throw new Error(`seed ${seed}: ${JSON.stringify(planned.refusal)}`)
  const { left, craft, phase, buildId } = world
  const uncertainty: Uncertainty = {
    left, craft, phase, pace: learnPace(world.pace, buildId), attendance: learnAttendance(world.attendance), rework: learnRework(world.finished), temperatureSd: TEMPERATURE_SD,
  }
  const simulation = simulate(compileForecast(world.problem, planned.value, buildId, uncertainty), { runs: RUNS, seed })
  const certain: Uncertainty = { left: world.truth.left, craft, phase, ...still.certain, rework: world.truth.rework }
  const truth = simulate(compileForecast(world.truth.problem, planned.value, buildId, certain), { runs: 1, seed: seed + OTHER_LUCK }).launches[0]!

  const at = (share: number): number => quantile(simulation, share) ?? Infinity
  const inWeeks = (instant: number): number => (Math.min(instant, world.problem.horizon) - world.problem.now) / WEEK
  return {
    pit: (chanceBy(simulation, (truth - 1) as never) + chanceBy(simulation, truth as never)) / 2,
    byHalf: truth <= at(0.5), byFourInFive: truth <= at(0.8), weeks: world.attendance.length, tasks: world.pace.filter((e) => e.buildId === buildId).length,
    club: world.pace.some((e) => e.buildId !== buildId), half: inWeeks(at(0.5)), toFourInFive: inWeeks(at(0.8)) - inWeeks(at(0.5)),
    width: inWeeks(at(0.9)) - inWeeks(at(0.1)), truth: inWeeks(truth),
  }
}

export function outcomes(from: number, to: number): Outcome[] {
  return Array.from({ length: to - from + 1 }, (_, i) => outcome(from + i))
}

export const held = (rows: readonly Outcome[]): { half: number; fourInFive: number } =>
  ({ half: mean(rows.map((r) => Number(r.byHalf))), fourInFive: mean(rows.map((r) => Number(r.byFourInFive))) })

export const isCalibrated = (rows: readonly Outcome[]): boolean => {
  const { half, fourInFive } = held(rows)
  return Math.abs(half - 0.5) <= WITHIN.half && Math.abs(fourInFive - 0.8) <= WITHIN.fourInFive
}

/** Prints how far the dates hold over seeds `from` to `to`. True: within what was asked. */
export async function calibrate({ from = 1, to = 2000 }: { readonly from?: number; readonly to?: number } = {}): Promise<boolean> {
  const begin = performance.now()
  const rows = outcomes(from, to)
  say(`Calibration: ${rows.length} made-up builds, seeds ${from} to ${to}, one forecast each of ${RUNS} launches at a third of the work (${((performance.now() - begin) / 1000).toFixed(0)} s)`)
  line('all', rows)
  line('thin: up to 4 weeks known', rows.filter((r) => r.weeks <= 4))
  line('5 to 8 weeks', rows.filter((r) => r.weeks > 4 && r.weeks <= 8))
  line('thick: more than 8 weeks', rows.filter((r) => r.weeks > 8))
  line('first build of the club', rows.filter((r) => !r.club))
  line('the club knows others', rows.filter((r) => r.club))
  const tenths = Array.from({ length: 10 }, (_, i) => rows.filter((r) => Math.min(9, Math.floor(r.pit * 10)) === i).length)
  say(`  true launch by tenths of its forecast (each ${(rows.length / 10).toFixed(0)} if right): ${tenths.join(' ')}`)
  const isRight = isCalibrated(rows)
  say(`  asked: 50 ± ${WITHIN.half * 100} % and 80 ± ${WITHIN.fourInFive * 100} %: ${isRight ? 'reached' : 'MISSED'}`)
  hourLogs()
  return isRight
}

function line(name: string, rows: readonly Outcome[]): void {
  if (rows.length === 0) return
  const { half, fourInFive } = held(rows)
  const weeks = (of: (r: Outcome) => number): string => mean(rows.map(of)).toFixed(1)
  say(`  ${name.padEnd(26)} ${String(rows.length).padStart(5)} builds  50 % dates hold in ${percent(half)}, 80 % dates in ${percent(fourInFive)};`
    + ` mean weeks to 50 % ${weeks((r) => r.half)}, to the launch ${weeks((r) => r.truth)}; 50 to 80 % ${weeks((r) => r.toFourInFive)}, 10 to 90 % ${weeks((r) => r.width)}`)
}

const mean = (values: readonly number[]): number => values.reduce((sum, x) => sum + x, 0) / values.length
const percent = (share: number): string => `${(share * 100).toFixed(1)} %`
const say = (text: string): void => void process.stdout.write(`${text}\n`)

// On its own, for other seeds: node --import tsx tests/bench/forecast/calibration.ts 5001 7000
if (process.argv[1]?.endsWith('calibration.ts')) {
  const [from, to] = process.argv.slice(2).map(Number)
  process.exitCode = (await calibrate({ ...(from ? { from } : {}), ...(to ? { to } : {}) })) ? 0 : 1
}
