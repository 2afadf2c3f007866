/**
 * What a launch was made of: the way back from it, piece by piece, to now. Every elapsed minute falls to a cause and a phase, so that the parts of
 * a run add up to its launch; then the launch's variance is just the sum of the parts' covariances with it, and a part's share is its own over all
 * (what goes against the launch counts as none, and the rest is brought to 1). Runs that never launch are left out.
 */
import type { Compiled } from './compile.ts'
import { CURE, DELIVERY, PEOPLE, WORK } from './found.ts'
import type { Run } from './run.ts'
import { CAUSES, type Cause, type Driver } from './types.ts'

/** Elapsed minutes of one run by phase and by cause, and where most of a cause was. */
export interface Way {
  readonly phase: Float64Array
  readonly cause: Float64Array
  /** Per cause: the longest single stretch, its task and what it was about. */
  readonly longest: Float64Array
  readonly job: Int32Array
  readonly what: Int32Array
}
export const newWay = (phases: number): Way => ({
  phase: new Float64Array(phases), cause: new Float64Array(CAUSES.length), longest: new Float64Array(CAUSES.length),
  job: new Int32Array(CAUSES.length), what: new Int32Array(CAUSES.length),
})

/** The way back from the launch of the run that was just made. */
export function walkBack(c: Compiled, run: Run, launch: number, way: Way): void {
  way.phase.fill(0)
  way.cause.fill(0)
  way.longest.fill(0)
  way.job.fill(-1)
  way.what.fill(-1)
  const { trace: t } = run
  let i = -1
  for (let k = t.size - 1; k >= 0 && i < 0; k--) {
    if (t.end[k] === launch && (c.launchJob! < 0 || t.job[k] === c.launchJob)) i = k
  }
  let until = launch
  const fall = (cause: number, job: number, from: number, what: number): void => {
    const start = Math.max(0, from)
    if (start >= until) return
    const minutes = until - start
    way.cause[cause]! += minutes
    way.phase[c.jobs[job]!.phase]! += minutes
    if (minutes > way.longest[cause]!) {
      way.longest[cause] = minutes
      way.job[cause] = job
      way.what[cause] = what
    }
    until = start
  }
  while (i >= 0 && until > 0) {
    const job = t.job[i]!
    fall(c.jobs[job]!.kind === 'unattended' ? DELIVERY : WORK, job, t.start[i]!, -1)
    for (let cause = 0; cause < CAUSES.length; cause++) {
      const wait = t.wait[i * 9 + cause]!
      if (wait > 0) fall(cause, job, Math.max(t.ready[i]!, until - wait), t.what[i]!)
    }
    fall(PEOPLE, job, t.ready[i]!, -1)
    const after = t.after[i]!
    const why = t.why[i]!
    // A cure belongs to the coat.
    fall(why === WORK ? PEOPLE : why, why === CURE && after >= 0 ? t.job[after]! : job, after < 0 ? 0 : t.end[after]!, -1)
    i = after
  }
}

/** Sums of one part over the runs. */
export class Parts {
  private readonly sum: Float64Array
  private readonly product: Float64Array
  private total = 0
  private square = 0
  private n = 0

  constructor(size: number) {
    this.sum = new Float64Array(size)
    this.product = new Float64Array(size)
  }

  /** `centre`: anything near the launches, so that squares stay exact. */
  add(parts: Float64Array, launch: number): void {
    this.n++
    this.total += launch
    this.square += launch * launch
    for (let i = 0; i < parts.length; i++) {
      this.sum[i]! += parts[i]!
      this.product[i]! += parts[i]! * launch
    }
  }

  drivers(): Driver[] {
    const { n } = this
    const mean = this.total / n
    const variance = this.square / n - mean * mean
    const covariance = Array.from(this.sum, (s, i) => Math.max(0, this.product[i]! / n - (s / n) * mean))
    const all = covariance.reduce((a, b) => a + b, 0)
    return covariance.map((x, i) => ({ minutes: n === 0 ? 0 : this.sum[i]! / n, spread: n === 0 || variance <= 1e-6 * mean || all === 0 ? 0 : x / all }))
  }
}

export function byCause(parts: Parts): Record<Cause, Driver> {
  const rows = parts.drivers()
  return Object.fromEntries(CAUSES.map((cause, i) => [cause, rows[i]!])) as Record<Cause, Driver>
}

/** Squared correlation of the ranks of two rows (ties by order): a share of variance that no single run can carry. */
export function rankCorrelation(x: Float64Array, launches: Float64Array): number {
  if (isLevel(x) || isLevel(launches)) return 0
  const [a, b] = [ranks(x), ranks(launches)]
  const n = x.length
  const middle = (n - 1) / 2
  let [sum, left, right] = [0, 0, 0]
  for (let i = 0; i < n; i++) {
    sum += (a[i]! - middle) * (b[i]! - middle)
    left += (a[i]! - middle) ** 2
    right += (b[i]! - middle) ** 2
  }
  return (sum / Math.sqrt(left * right)) ** 2
}

const isLevel = (x: Float64Array): boolean => x.every((v) => v === x[0])

/** Mean ranks of equal values. */
function ranks(x: Float64Array): Float64Array {
  const order = Int32Array.from(x, (_, i) => i).sort((i, j) => x[i]! - x[j]! || i - j)
  const out = new Float64Array(x.length)
  for (let i = 0; i < order.length;) {
    let j = i
    while (j < order.length && x[order[j]!] === x[order[i]!]) j++
    for (let k = i; k < j; k++) out[order[k]!] = (i + j - 1) / 2
    i = j
  }
  return out
}
