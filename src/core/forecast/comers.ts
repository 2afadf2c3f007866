/** Who comes in one run: the presence rows of a week drawn by the week's share of attendance. */
import type { Compiled } from './compile.ts'
import type { Stretches } from './presence.ts'
import { normal, uniform } from './sample.ts'

/** Orders of the rows of a week, one of which a run takes: see `draw`. */
const ORDERS = 16

export class Comers {
  protected readonly c: Compiled
  protected readonly s: Stretches
  /** Which rows come in this run; as far as `drawn`. */
  private readonly came: Uint8Array
  private readonly ranks: Uint16Array[]
  private readonly weekOf: Int32Array
  private drawn = -1
  private run = 0
  private level = 0
  private latent = 0
  private readonly weekKey: number
  private readonly turnKey: number
  /** Sum of the shares of the weeks drawn so far. */
  private shares = 0

  constructor(c: Compiled, seed: (name: string) => number) {
    this.c = c
    this.s = c.stretches
    const { rows } = this.s
    this.came = new Uint8Array(rows.week.length)
    this.weekOf = rows.week
    this.weekKey = seed('week')
    this.turnKey = seed('turn')
    this.ranks = Array.from({ length: rows.from.length - 1 }, (_, w) => ordersOf(rows.from[w + 1]! - rows.from[w]!, w))
  }

  /** A new run. `level`: the build's own share of attendance, a normal number with its mean taken off. */
  reset(run: number, level: number): void {
    this.run = run
    this.level = level
    this.drawn = -1
    this.shares = 0
  }

  /**
   * One week after another. Its share follows the week before; then just so many of its stretches come (drawn as by a wheel with equal steps: the
   * i-th in a random order comes when (i + a draw) / n is below the share). The same draw with a larger share: the same stretches and more.
   */
  private draw(week: number): void {
    const { attendance: a } = this.c
    const { rows } = this.s
    while (this.drawn < week) {
      const w = ++this.drawn
      const z = normal(uniform(this.weekKey ^ Math.imul(w + 1, 0x632be5ab), this.run))
      this.latent = w === 0 ? z : a.follows * this.latent + Math.sqrt(1 - a.follows * a.follows) * z
      const share = Math.min(1, Math.max(0, a.base + this.level + a.weekSd * this.latent))
      this.shares += share
      const from = rows.from[w]!
      const n = (rows.from[w + 1] ?? from) - from
      if (n === 0) continue
      const u = uniform(this.turnKey ^ Math.imul(w + 1, 0x632be5ab), this.run)
      const turn = Math.floor(u * ORDERS * n)
      const by = u * ORDERS * n - turn
      const order = (turn % ORDERS) * n
      const ranks = this.ranks[w]!
      const shift = Math.floor(turn / ORDERS)
      for (let i = 0; i < n; i++) {
        const at = ranks[order + i]! + shift
        this.came[from + i] = rows.sure[from + i] === 1 || ((at >= n ? at - n : at) + by) / n < share ? 1 : 0
      }
    }
  }

  protected comes(row: number): boolean {
    const { rows } = this.s
    if (this.weekOf[row]! > this.drawn) this.draw(this.weekOf[row]!)
    return row < rows.count ? this.came[row] === 1 : this.isSure(row)
  }

  private isSure(row: number): boolean {
    const { rows } = this.s
    if (rows.sure[row] === 1) return true
    const others = rows.with[row]
    if (!others) return true
    for (let i = 0; i < others.length; i++) if (this.came[others[i]!] === 1) return true
    return false
  }

  /** The mean share of the weeks up to t. */
  shareBy(t: number): number {
    const week = Math.min(this.s.rows.from.length - 2, Math.floor(Math.max(0, t) / 10080))
    if (week > this.drawn) this.draw(week)
    return this.drawn < 0 ? 0 : this.shares / (this.drawn + 1)
  }
}

/** Some random orders of n things one after another; the same for every seed, for a run turns and picks them anew. */
function ordersOf(n: number, week: number): Uint16Array {
  const out = new Uint16Array(n * ORDERS)
  for (let k = 0; k < ORDERS; k++) {
    for (let i = 0; i < n; i++) out[k * n + i] = i
    for (let i = n - 1; i > 0; i--) {
      const j = Math.floor(uniform(week * ORDERS + k + 1, i) * (i + 1))
      const swap = out[k * n + i]!
      out[k * n + i] = out[k * n + j]!
      out[k * n + j] = swap
    }
  }
  return out
}
