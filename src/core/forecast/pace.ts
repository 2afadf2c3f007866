/**
 * How much longer work takes than was estimated. The logarithm of a task's ratio, worked over estimated, is taken as a sum:
 *
 *   of the club + of the kind of work + of the build + of that kind of work on that build + of the task (and what its three points allow for)
 *
 * each normal about 0 with the deviation in `PACE_PRIOR`: a linear normal hierarchy (A. Gelman, J. Hill, Data Analysis Using Regression and
 * Multilevel Models (2007), ch. 12-13, from memory), whose answer for given deviations is exact and closed. So other builds say what a new one
 * may be like, with the weight that builds differing among themselves leaves them; her own tasks say the rest; and a thin record stays near 1.
 */
import { inverse, matrix, measured, plus, times, type Matrix, type Normals } from './gauss.ts'
import { CRAFTS, type Craft, type LogNormal, type Pace, type PaceEvidence, type PaceFactor } from './types.ts'

/**
 * Deviations of logarithms, before anything is known (common practice, no source): clubs multiply their estimates by up to 2, designers' figures
 * are 2 to 3 times too low at worst, and two like tenders of the same hands took 1 : 0.58. Together 0.37 for one kind of work on one build: four
 * of five within 0.62 to 1.6 of the estimate. `task`: of a single task beside its own three points, known no better than from `taskCount` tasks.
 */
export const PACE_PRIOR = { club: 0.2, craft: 0.12, build: 0.25, buildCraft: 0.15, task: 0.3, taskCount: 8 } as const
/** What evidence can make of a single task's deviation. */
const TASK_SD = { least: 0.1, most: 0.7 } as const
/** A ratio beyond it, or below its inverse, counts as this: a slip in the booking, or another task than was estimated. */
export const MOST_RATIO = 5
/** 90 % point of the normal distribution. */
const Z90 = 1.2815515655446004

interface Ratio { readonly log: number; readonly own: number }
/** Ratios of one kind of work on one build. */
type Cells = ReadonlyMap<string, ReadonlyMap<Craft, readonly Ratio[]>>

/**
 * What is known of the pace of `buildId`. Evidence of other builds of the club counts as far as builds are alike; an estimate or work of 0 or
 * less says nothing and is left out. `factors` count her own tasks only. The order of the evidence changes nothing.
 */
export function learnPace(evidence: readonly PaceEvidence[], buildId: string): Pace {
  const cells = inCells(evidence)
  const taskSd = taskSdOf(cells)
  const own = informationOf(cells.get(buildId) ?? new Map(), taskSd)
  const before = clubOf(cells, buildId, taskSd)
  const { mean, cov } = measured({ mean: before.mean, cov: plus(before.cov, BUILD) }, diagonal(own.precision), own.sum)
  const factors = CRAFTS.map((craft, c) => factorOf(craft, mean[c]!, Math.sqrt(cov[c]![c]!), cells.get(buildId)?.get(craft) ?? []))
  return { ...apart(mean, cov), taskSd, factors }
}

const n = CRAFTS.length
const diagonal = (values: readonly number[]): Matrix => matrix(n, (i, j) => (i === j ? values[i]! : 0))
const level = (common: number, each: number): Matrix => matrix(n, (i, j) => common ** 2 + (i === j ? each ** 2 : 0))
const CLUB = level(PACE_PRIOR.club, PACE_PRIOR.craft)
const BUILD = level(PACE_PRIOR.build, PACE_PRIOR.buildCraft)

function inCells(evidence: readonly PaceEvidence[]): Cells {
  const most = Math.log(MOST_RATIO)
  const cells = new Map<string, Map<Craft, Ratio[]>>()
  for (const { buildId, craft, estimated, worked, sd } of evidence) {
    if (!(estimated > 0 && worked > 0)) continue
    // The logarithm of a work whose mean is the estimate lies half its own variance below the logarithm of the mean.
    const own = Math.log1p((Math.max(0, sd) / estimated) ** 2)
    const log = Math.max(-most, Math.min(most, Math.log(worked / estimated))) + own / 2
    const build = cells.get(buildId) ?? new Map<Craft, Ratio[]>()
    const ratios = build.get(craft) ?? []
    ratios.push({ log, own })
    cells.set(buildId, build.set(craft, ratios))
  }
  // Sums of floats hang on their order.
  for (const build of cells.values()) for (const ratios of build.values()) ratios.sort((a, b) => a.log - b.log || a.own - b.own)
  return new Map([...cells].sort(([a], [b]) => (a < b ? -1 : 1)))
}

/** What single tasks of a kind on a build differ by, beyond what their three points allow for; the prior as if from `taskCount` tasks. */
function taskSdOf(cells: Cells): number {
  let [squares, freedom] = [PACE_PRIOR.taskCount * PACE_PRIOR.task ** 2, PACE_PRIOR.taskCount as number]
  for (const build of cells.values()) {
    for (const craft of CRAFTS) {
      const ratios = build.get(craft) ?? []
      if (ratios.length < 2) continue
      const mean = meanOf(ratios.map((r) => r.log))
      const allowed = meanOf(ratios.map((r) => r.own))
      squares += ratios.reduce((sum, r) => sum + (r.log - mean) ** 2, 0) - (ratios.length - 1) * allowed
      freedom += ratios.length - 1
    }
  }
  return Math.min(TASK_SD.most, Math.max(TASK_SD.least, Math.sqrt(Math.max(0, squares) / freedom)))
}

function informationOf(build: ReadonlyMap<Craft, readonly Ratio[]>, taskSd: number): { precision: number[]; sum: number[] } {
  const weights = CRAFTS.map((craft) => (build.get(craft) ?? []).map(({ log, own }) => ({ log, weight: 1 / (taskSd ** 2 + own) })))
  return {
    precision: weights.map((ratios) => ratios.reduce((sum, r) => sum + r.weight, 0)),
    sum: weights.map((ratios) => ratios.reduce((sum, r) => sum + r.weight * r.log, 0)),
  }
}

/** What the other builds say of club and kinds of work: each is the club's pace, seen through what makes her differ and through her tasks. */
function clubOf(cells: Cells, buildId: string, taskSd: number): Normals {
  let known: Normals = { mean: CRAFTS.map(() => 0), cov: CLUB }
  const differ = inverse(BUILD)
  for (const [id, build] of cells) {
    if (id === buildId) continue
    const { precision, sum } = informationOf(build, taskSd)
    // Her own pace taken out: differ - differ (differ + precision)^-1 differ, and the same of the sums.
    const shrunk = inverse(plus(differ, diagonal(precision)))
    const through = matrix(n, (i, j) => differ[i]!.reduce((total, x, k) => total + x * shrunk[k]![j]!, 0))
    const lost = matrix(n, (i, j) => through[i]!.reduce((total, x, k) => total + x * differ[k]![j]!, 0))
    known = measured(known, matrix(n, (i, j) => differ[i]![j]! - lost[i]![j]!), times(through, sum))
  }
  return known
}

/**
 * One factor for all work and one for each kind on top, as if drawn apart: each kind's factor keeps its own mean and deviation, and the common
 * one has what kinds share on average.
 */
function apart(mean: readonly number[], cov: Matrix): { common: LogNormal; crafts: Readonly<Record<Craft, LogNormal>> } {
  const pairs = cov.flatMap((row, i) => row.filter((_, j) => j < i))
  const shared = Math.max(0, Math.min(meanOf(pairs), ...cov.map((row, i) => row[i]!)))
  const middle = meanOf(mean)
  return {
    common: { mean: middle, sd: Math.sqrt(shared) },
    crafts: Object.fromEntries(CRAFTS.map((craft, i) => [craft, { mean: mean[i]! - middle, sd: Math.sqrt(cov[i]![i]! - shared) }])) as Record<Craft, LogNormal>,
  }
}

function factorOf(craft: Craft, mean: number, sd: number, ratios: readonly Ratio[]): PaceFactor {
  const logs = ratios.map((r) => r.log)
  const middle = logs.length > 0 ? meanOf(logs) : 0
  const spread = logs.length < 2 ? 0 : Math.sqrt(logs.reduce((sum, x) => sum + (x - middle) ** 2, 0) / (logs.length - 1))
  return { craft, factor: Math.exp(mean), low: Math.exp(mean - Z90 * sd), high: Math.exp(mean + Z90 * sd), count: ratios.length, spread }
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, x) => sum + x, 0) / values.length
