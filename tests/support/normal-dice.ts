/** Chance with normal and lognormal draws, for worlds that a test makes up. */
import { dice, type Dice } from './dice.ts'

export interface NormalDice extends Dice {
  /** Standard normal. */
  readonly normal: () => number
  /** Mean 1, standard deviation of the logarithm `sd`. */
  readonly lognormal: (sd: number) => number
}

/** G. E. P. Box, M. E. Muller, "A Note on the Generation of Random Normal Deviates", Ann. Math. Stat. 29 (1958) (from memory). */
export function normalDice(seed: number): NormalDice {
  const d = dice(seed)
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - d.roll())) * Math.cos(2 * Math.PI * d.roll())
  return { ...d, normal, lognormal: (sd) => Math.exp(sd * normal() - sd ** 2 / 2) }
}
