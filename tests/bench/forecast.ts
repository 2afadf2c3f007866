/**
 * `npm run bench:forecast` (-- part …): what the forecast and the week review have to reach; ends with 1 where a figure is missed.
 * - engine: 2,000 simulated launches of a build with 150 tasks, at most 2 s on one core (median of 5 after one for warmth)
 * - calibration: forecasts of synthetic builds made by other laws than the simulation's hold as often as they say
 * - pages: the week review and the club sheet at the server
 */
import { performance } from 'node:perf_hooks'
import { compileForecast, quantile, simulate } from '../../src/core/forecast/index.ts'
import { plan } from '../../src/core/schedule/index.ts'
import { randomClub } from '../support/clubs.ts'
import { uncertain } from '../support/forecast.ts'
import { median } from './club.ts'

const TASKS = 150
const RUNS = 2000
const MOST_MS = 2000
/** Clubs whose build of 150 tasks can be planned whole; by seed. */
const SEEDS = [7, 12, 16]

const PARTS: Record<string, () => Promise<boolean>> = {
  engine: async () => engine(),
  calibration: async () => (await part<{ calibrate: () => Promise<boolean> }>('./forecast/calibration.ts')).calibrate(),
  pages: async () => (await part<{ pages: () => Promise<boolean> }>('./forecast/pages.ts')).pages(),
}

const asked = process.argv.slice(2)
const unknown = asked.find((a) => !(a in PARTS))
if (unknown !== undefined) {
  process.stderr.write(`no such part: ${unknown}; parts are ${Object.keys(PARTS).join(', ')}\n`)
  process.exit(2)
}
let isReached = true
for (const name of asked.length > 0 ? asked : Object.keys(PARTS)) isReached = (await PARTS[name]!()) && isReached
process.exitCode = isReached ? 0 : 1

/** By name, so that a part can be run without what the others need. */
async function part<M>(file: string): Promise<M> { return await import(file) as M }

function engine(): boolean {
  const worst = Math.max(...SEEDS.map(launches))
  say(`engine: ${RUNS} launches of a build with ${TASKS} tasks, slowest of ${SEEDS.length}: ${worst.toFixed(0)} ms of one core, at most ${MOST_MS}${worst <= MOST_MS ? '' : '  MISSED'}`)
  return worst <= MOST_MS
}

/** Median of 5 by the processor's time: one thread works, and others on the machine shouldn't count. */
function launches(seed: number): number {
  const problem = randomClub(seed, { builds: [1, 1], tasksPerBuild: [TASKS, TASKS], people: [8, 10], unplannable: 0, facts: false })
  const planned = plan(problem, { seed, maxSchedules: 3 })
  if (!planned.ok || planned.value.builds[0]!.launch === null) throw new Error(`club ${seed} can't be planned`)
  const begin = performance.now()
  const compiled = compileForecast(problem, planned.value, planned.value.builds[0]!.buildId, uncertain(problem))
  const ready = performance.now() - begin
  const [work, wall]: number[][] = [[], []]
  let found = ''
  for (let i = 0; i < 6; i++) {
    const [cpu, from] = [process.cpuUsage(), performance.now()]
    const s = simulate(compiled, { runs: RUNS, seed: 1 })
    const used = process.cpuUsage(cpu)
    if (i > 0) {
      work!.push((used.user + used.system) / 1000)
      wall!.push(performance.now() - from)
    }
    const weeks = (share: number): string => {
      const t = quantile(s, share)
      return t === null ? 'never' : ((t - problem.now) / 10_080).toFixed(1)
    }
    found = `launch in ${weeks(0.1)} / ${weeks(0.5)} / ${weeks(0.8)} / ${weeks(0.9)} weeks (10, 50, 80, 90 %), planned in ${((planned.value.builds[0]!.launch! - problem.now) / 10_080).toFixed(1)}`
  }
  say(`  club ${seed}: ${planned.value.pieces.length} pieces, made ready in ${ready.toFixed(0)} ms, ${median(work!).toFixed(0)} ms of a core (${median(wall!).toFixed(0)} ms by the clock); ${found}`)
  return median(work!)
}

function say(text: string): void { process.stdout.write(`${text}\n`) }
