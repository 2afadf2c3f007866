/** Seeded chance for generators of test cases. A generator of its own, apart from the one the search draws from. */
export interface Dice {
  /** In [0, 1). */
  readonly roll: () => number
  /** A whole number from a to b inclusive. */
  readonly between: (a: number, b: number) => number
  readonly chance: (p: number) => boolean
  readonly pick: <T>(list: readonly T[]) => T
  readonly shuffled: <T>(list: readonly T[]) => T[]
}

/** xorshift32 (Marsaglia 2003, from memory), the seed spread first. */
export function dice(seed: number): Dice {
  let s = Math.imul(seed + 1, 0x85ebca6b) | 0 || 1
  const roll = (): number => {
    s ^= s << 13
    s ^= s >>> 17
    s ^= s << 5
    return (s >>> 0) / 4294967296
  }
  for (let i = 0; i < 8; i++) roll()
  const between = (a: number, b: number): number => a + Math.floor(roll() * (b - a + 1))
  return {
    roll, between,
    chance: (p) => roll() < p,
    pick: <T>(list: readonly T[]): T => list[between(0, list.length - 1)]!,
    shuffled: <T>(list: readonly T[]): T[] => {
      const out = [...list]
      for (let i = out.length - 1; i > 0; i--) {
        const j = between(0, i)
        const swap = out[i]!
        out[i] = out[j]!
        out[j] = swap
      }
      return out
    },
  }
}
