/** A seeded source of numbers in [0, 1): the same seed gives the same row on every machine (a 32-bit mixing generator). */
export type Random = () => number

export function random(seed: number): Random {
  let a = (seed | 0) ^ 0x9e3779b9
  return () => {
    a = (a + 0x6d2b79f5) | 0
    let t = Math.imul(a ^ (a >>> 15), a | 1)
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/** A whole number in [0, n). */
export const below = (rand: Random, n: number): number => Math.floor(rand() * n)
