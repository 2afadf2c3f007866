/**
 * How much of a counted thing is left over time: a step function with whole values, kept in place.
 * `at[i]` is where step i begins; the first begins before everything.
 */
export const FOREVER = 0x3fffffff
const BEFORE = -0x3fffffff

export class Profile {
  at: Int32Array
  left: Int32Array
  size: number

  constructor(capacity: number) {
    this.at = new Int32Array(capacity)
    this.left = new Int32Array(capacity)
    this.at[0] = BEFORE
    this.size = 1
  }

  /** `steps` sorted by `from`; before the first nothing is there. */
  static of(steps: readonly { readonly from: number; readonly count: number }[]): Profile {
    const p = new Profile(Math.max(8, steps.length + 8))
    for (const s of steps) {
      if (s.from === p.at[p.size - 1]) p.left[p.size - 1] = s.count
      else if (s.count !== p.left[p.size - 1]) {
        p.at[p.size] = s.from
        p.left[p.size++] = s.count
      }
    }
    return p
  }

  clone(): Profile {
    const p = new Profile(Math.max(16, this.size + 16))
    p.copy(this)
    return p
  }

  copy(other: Profile): void {
    if (this.at.length < other.size) {
      this.at = new Int32Array(other.size * 2)
      this.left = new Int32Array(other.size * 2)
    }
    this.at.set(other.at.subarray(0, other.size))
    this.left.set(other.left.subarray(0, other.size))
    this.size = other.size
  }

  /** Index of the step that holds at t. */
  index(t: number): number {
    const at = this.at
    let lo = 0
    let hi = this.size - 1
    while (lo < hi) {
      const mid = (lo + hi + 1) >> 1
      if (at[mid]! <= t) lo = mid
      else hi = mid - 1
    }
    return lo
  }

  value(t: number): number { return this.left[this.index(t)]! }

  private split(t: number): number {
    const i = this.index(t)
    if (this.at[i] === t) return i
    if (this.size === this.at.length) {
      const at = new Int32Array(this.size * 2)
      const left = new Int32Array(this.size * 2)
      at.set(this.at)
      left.set(this.left)
      this.at = at
      this.left = left
    }
    this.at.copyWithin(i + 2, i + 1, this.size)
    this.left.copyWithin(i + 2, i + 1, this.size)
    this.at[i + 1] = t
    this.left[i + 1] = this.left[i]!
    this.size++
    return i + 1
  }

  private join(i: number): void {
    if (i <= 0 || i >= this.size || this.left[i] !== this.left[i - 1]) return
    this.at.copyWithin(i, i + 1, this.size)
    this.left.copyWithin(i, i + 1, this.size)
    this.size--
  }

  /** Takes `amount` over [from, to); a negative amount gives it back. */
  take(from: number, to: number, amount: number): void {
    if (to <= from || amount === 0) return
    const i = this.split(from)
    const j = to >= FOREVER ? this.size : this.split(to)
    for (let k = i; k < j; k++) this.left[k] = this.left[k]! - amount
    if (to < FOREVER) this.join(this.index(to))
    this.join(i)
  }

  /** Where less than `amount` is left in [from, to): the end of the last such stretch (maybe FOREVER), or -1 when there is none. */
  conflict(from: number, to: number, amount: number): number {
    if (to <= from || amount <= 0) return -1
    const { at, left, size } = this
    let bad = -1
    for (let i = this.index(from); i < size && at[i]! < to; i++) if (left[i]! < amount) bad = i
    if (bad < 0) return -1
    while (bad + 1 < size && left[bad + 1]! < amount) bad++
    return bad + 1 < size ? at[bad + 1]! : FOREVER
  }

  /** First instant from `from` on where less than `amount` is left, or FOREVER. */
  shortFrom(from: number, amount: number): number {
    const { at, left, size } = this
    let i = this.index(from)
    if (left[i]! < amount) return from
    for (i++; i < size; i++) if (left[i]! < amount) return at[i]!
    return FOREVER
  }

  /** The least left over [from, to). */
  least(from: number, to: number): number {
    let low = FOREVER
    for (let i = this.index(from); i < this.size && (this.at[i]! < to || i === 0); i++) low = Math.min(low, this.left[i]!)
    return low
  }
}
