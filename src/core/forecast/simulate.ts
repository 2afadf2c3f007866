/** Many launches of one build. */
import { instant, type Instant } from '../units/index.ts'
import type { Compiled } from './compile.ts'
import { Draws } from './draws.ts'
import { byCause, newWay, Parts, rankCorrelation, walkBack } from './drivers.ts'
import { Run } from './run.ts'
import { CAUSES, type Driver, type Simulation } from './types.ts'

const SOURCES = ['work', 'pace', 'attendance', 'temperature', 'rework'] as const
type Source = (typeof SOURCES)[number]

/** How many launches, and the luck they have: the same seed and number give the same answer, and what-ifs meet the same luck. */
export interface Runs { readonly runs: number; readonly seed: number }

/**
 * Launches by Monte Carlo simulation. Deterministic; the common pace and the build's own attendance are stratified over the runs.
 * `bySource`: squared rank correlation of the launch with what was drawn of each source, brought to a sum of 1.
 * @throws RangeError unless there is at least one run
 */
export function simulate(compiled: Compiled, { runs, seed }: Runs): Simulation {
  const { launches, parts, phases, work, sources } = launched(compiled, { runs, seed })
  const origin = compiled.origin
  // Runs without a launch have no way; their sources still say what keeps her from it, so they rank last.
  const ranked = launches.map((t) => (t === Infinity ? Number.MAX_VALUE : t))
  const found = SOURCES.map((s) => rankCorrelation(sources[s], ranked))
  const all = found.reduce((a, b) => a + b, 0)
  return {
    runs, launches: launches.map((t) => t + origin).sort(),
    byPhase: new Map(phases.drivers().map((d, i): [string, Driver] => [compiled.phases[i]!, d])), byCause: byCause(parts),
    bySource: Object.fromEntries(SOURCES.map((s, i) => [s, all === 0 ? 0 : found[i]! / all])) as Record<Source, number>, meanWork: work,
  }
}

function launched(c: Compiled, { runs, seed }: Runs) {
  if (!(Number.isInteger(runs) && runs >= 1)) throw new RangeError(`a whole number of runs, at least 1, got ${runs}`)
  const draws = new Draws(c, seed, runs)
  const run = new Run(c, draws)
  const launches = new Float64Array(runs)
  const parts = new Parts(CAUSES.length)
  const phases = new Parts(c.phases.length)
  const way = newWay(c.phases.length)
  const sources = Object.fromEntries(SOURCES.map((s) => [s, new Float64Array(runs)])) as Record<Source, Float64Array>
  let work = 0
  for (let i = 0; i < runs; i++) {
    const t = run.go(i)
    launches[i] = t
    work += run.worked / runs
    const by = t === Infinity ? c.horizon : t
    sources.work[i] = draws.workSum
    sources.pace[i] = draws.workSum > 0 ? draws.paceSum / draws.workSum : 0
    sources.attendance[i] = -run.crowd.shareBy(by)
    sources.temperature[i] = -run.levelBy(by)
    sources.rework[i] = run.reworked
    if (t === Infinity) continue
    walkBack(c, run, t, way)
    parts.add(way.cause, t)
    phases.add(way.phase, t)
  }
  return { launches, parts, phases, work, sources }
}

/** Launches alone, in order of the runs; minutes from now. */
export function launchesOf(c: Compiled, { runs, seed }: Runs): Float64Array {
  const run = new Run(c, new Draws(c, seed, runs))
  return Float64Array.from({ length: runs }, (_, i) => run.go(i, false))
}

/** The launch by which `share` of the runs have launched; null: not so many do within what was foreseen. @throws RangeError unless 0 < share <= 1 */
export function quantile(simulation: Simulation, share: number): Instant | null {
  if (!(share > 0 && share <= 1)) throw new RangeError(`a share above 0 and at most 1, got ${share}`)
  const t = simulation.launches[Math.max(0, Math.ceil(share * simulation.runs - 1e-9) - 1)]!
  return t === Infinity ? null : instant(t)
}

/** Share of the runs that have launched by then. */
export function chanceBy(simulation: Simulation, at: Instant): number {
  let n = 0
  while (n < simulation.runs && simulation.launches[n]! <= at) n++
  return n / simulation.runs
}
