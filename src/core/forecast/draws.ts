/** What one run draws, apart from who comes: work, pace, the build's own attendance, months, faults. */
import type { CureTable } from '../cure/index.ts'
import type { Compiled } from './compile.ts'
import { at, betaQuantiles, keyOf, normal, shuffled, uniform, type Quantiles } from './sample.ts'
import { pertMean, pertSd } from './pert.ts'
import { CRAFTS } from './types.ts'
import { BLOCK, levelOf } from './weather.ts'

export class Draws {
  /** Of the run that is on: the build's own attendance (deviation from its mean) and the level of each four weeks. */
  level = 0
  readonly levels: Uint8Array
  /** What the run drew, as numbers to compare launches with: work of all tasks at usual pace, and the logarithm of the pace. */
  workSum = 0
  paceSum = 0
  private readonly c: Compiled
  private readonly seed: number
  private current = 0
  private readonly works: Float64Array
  private readonly factors = new Float64Array(CRAFTS.length + 1)
  private readonly pointKeys: Int32Array
  private readonly noiseKeys: Int32Array
  private readonly againKeys: Int32Array
  private readonly craftKeys: Int32Array
  private readonly monthKey: number
  /** One stratum a run for what moves everything: the common pace and the build's own attendance. */
  private readonly paceStrata: Int32Array
  private readonly levelStrata: Int32Array
  private readonly paceKey: number
  private readonly levelKey: number
  private readonly share: { readonly mean: number; readonly sd: number; readonly low: number; readonly high: number; readonly table: Quantiles }
  private readonly tables: (CureTable | undefined)[]

  constructor(c: Compiled, seed: number, runs: number) {
    this.c = c
    this.seed = seed
    const keys = (what: string): Int32Array => Int32Array.from(c.jobs, (j) => keyOf(seed, `${what} ${j.id}`))
    this.pointKeys = keys('work')
    this.noiseKeys = keys('noise')
    this.againKeys = keys('again')
    this.craftKeys = Int32Array.from(CRAFTS, (craft) => keyOf(seed, `craft ${craft}`))
    this.monthKey = keyOf(seed, 'month')
    this.paceKey = keyOf(seed, 'pace')
    this.levelKey = keyOf(seed, 'level')
    this.paceStrata = shuffled(this.paceKey, runs)
    this.levelStrata = shuffled(this.levelKey, runs)
    this.works = new Float64Array(c.jobs.length)
    this.levels = new Uint8Array(c.blocks)
    this.tables = new Array<CureTable | undefined>(c.levels.length * c.model.places.length * c.model.problem.products.length).fill(undefined)
    const { share } = c.uncertainty.rework
    const wide = share.high - share.low
    this.share = {
      mean: pertMean(share), sd: pertSd(share), low: share.low, high: share.high, table: betaQuantiles(wide > 0 ? (share.likely - share.low) / wide : 0.5),
    }
  }

  key(name: string): number { return keyOf(this.seed, name) }

  private stratum(strata: Int32Array, key: number, run: number): number { return (strata[run]! + uniform(key, run)) / strata.length }

  run(run: number): void {
    const { jobs, uncertainty: { pace, attendance }, levels } = this.c
    this.current = run
    const common = pace.common.mean + (pace.common.sd > 0 ? pace.common.sd * normal(this.stratum(this.paceStrata, this.paceKey, run)) : 0)
    this.factors[CRAFTS.length] = Math.exp(common)
    for (let k = 0; k < CRAFTS.length; k++) {
      const { mean, sd } = pace.crafts[CRAFTS[k]!]
      this.factors[k] = Math.exp(common + mean + (sd > 0 ? sd * normal(uniform(this.craftKeys[k]!, run)) : 0))
    }
    this.level = attendance.sd > 0 ? attendance.sd * normal(this.stratum(this.levelStrata, this.levelKey, run)) : 0
    if (levels.length > 1) for (let b = 0; b < this.levels.length; b++) this.levels[b] = levelOf(uniform(this.monthKey ^ Math.imul(b + 1, 0x632be5ab), run))
    this.workSum = 0
    this.paceSum = 0
    for (let k = 0; k < jobs.length; k++) {
      const j = jobs[k]!
      if (j.done) continue
      const { points } = j
      if (points === null) {
        this.works[k] = j.work
        continue
      }
      let work = points.mean
      if (points.sd > 0) {
        const x = points.mean + points.sd * at(points.table, uniform(this.pointKeys[k]!, run))
        work = x < points.low ? points.low : x > points.high ? points.high : x
      }
      if (j.kind === 'unattended') {
        this.works[k] = Math.round(work)
        continue
      }
      const own = pace.taskSd > 0 ? Math.exp(pace.taskSd * normal(uniform(this.noiseKeys[k]!, run))) : 1
      const factor = this.factors[j.craft < 0 ? CRAFTS.length : j.craft]!
      this.workSum += work * own
      this.paceSum += work * own * factor
      this.works[k] = Math.max(1, Math.round(work * own * factor * j.per))
    }
  }

  /** Work left of a task, in its own unit, whole minutes. */
  work(k: number): number { return this.works[k]! }

  /** What has to be done again of a task once it is finished; 0: nothing. */
  again(k: number): number {
    const j = this.c.jobs[k]!
    if (j.rework === 0 || !(uniform(this.againKeys[k]!, this.current) < j.rework)) return 0
    const { mean, sd, low, high, table } = this.share
    const share = Math.min(high, Math.max(low, mean + sd * at(table, uniform(this.againKeys[k]! ^ 0x5bd1e995, this.current))))
    return Math.max(1, Math.round(share * this.works[k]!))
  }

  /** The cure of a product in a place at the level of the four weeks of t. */
  table(product: number, place: number, t: number): CureTable {
    const { levels, warmer, weather, model } = this.c
    const level = this.levels[Math.min(this.levels.length - 1, Math.max(0, Math.floor(t / BLOCK)))]!
    const i = (level * model.places.length + place) * model.problem.products.length + product
    return this.tables[i] ??= weather.table(product, place, levels[level]!, warmer)
  }

  levelBy(block: number): number {
    let sum = 0
    const n = Math.min(this.levels.length, block + 1)
    for (let b = 0; b < n; b++) sum += this.levels[b]! - 2
    return this.c.levels.length > 1 ? sum / n : 0
  }
}
