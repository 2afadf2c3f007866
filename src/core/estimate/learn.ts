/** What weighings say about a rule: a factor that leaves 1 only as far as the evidence carries it. */

/** One finished task: what was used over what the rule says without any factor, as a natural logarithm. */
export interface Weighing {
  readonly logRatio: number
  /** 1: the task is about this rule alone; less where its material serves several rules: their shares of the amount. */
  readonly weight: number
}

/** not yet: nothing was weighed. */
export type Sure = 'not yet' | 'a first hint' | 'fairly sure' | 'sure'

export interface LearnedFactor {
  readonly factor: number
  /** 80 % interval of the factor. */
  readonly low: number
  readonly high: number
  /** Standard deviation of the weighings' log ratios; 0 for fewer than two. */
  readonly spread: number
  /** Weighings that count, and their weights together. */
  readonly count: number
  readonly weight: number
  /** What the weighings alone say: their weighted geometric mean; 1 for none. */
  readonly mean: number
  readonly sure: Sure
  /** Ratios beyond `SLIP` that were left out. */
  readonly leftOut: number
}

/** The prior: as if four weighings had agreed with the rule, with a spread of 25 %, itself known no better than from four weighings. */
export const PRIOR = { mean: 0, kappa: 4, alpha: 2, beta: 2 * 0.25 ** 2 } as const

/** More than four times the rule, or less than a quarter of it, is a slip in the booking. */
export const SLIP = 4
export const isSlip = (logRatio: number): boolean => !(Math.abs(logRatio) <= Math.log(SLIP))

/** Half the width of the interval, as a logarithm, and the count from which the words are used. */
const SURE = { count: 12, halfWidth: 0.06 } as const
const FAIRLY = { count: 4, halfWidth: 0.15 } as const

export interface Posterior {
  readonly mean: number
  readonly kappa: number
  readonly alpha: number
  readonly beta: number
}

/**
 * Normal log ratios with unknown mean and variance under the conjugate prior: K. P. Murphy, "Conjugate Bayesian analysis of the Gaussian
 * distribution" (2007), eqs 85-89 (from memory): with n, x̄ and S the weights together, the weighted mean and the weighted sum of squares
 * about it, κn = κ0 + n, μn = (κ0 μ0 + n x̄) / κn, αn = α0 + n/2, βn = β0 + S/2 + κ0 n (x̄ - μ0)² / (2 κn).
 */
export function posterior(weighings: readonly Weighing[]): Posterior {
  const n = total(weighings)
  if (n === 0) return PRIOR
  const mean = meanOf(weighings, n)
  const kappa = PRIOR.kappa + n
  return {
    mean: (PRIOR.kappa * PRIOR.mean + n * mean) / kappa,
    kappa,
    alpha: PRIOR.alpha + n / 2,
    beta: PRIOR.beta + squares(weighings, mean) / 2 + (PRIOR.kappa * n * (mean - PRIOR.mean) ** 2) / (2 * kappa),
  }
}

/** 80 % interval of the mean: Student's t with 2 αn degrees of freedom about μn, scale √(βn / (αn κn)). Murphy 2007, the marginal of the mean. */
export function interval80({ mean, kappa, alpha, beta }: Posterior): { low: number; high: number; halfWidth: number } {
  const halfWidth = studentT90(2 * alpha) * Math.sqrt(beta / (alpha * kappa))
  return { low: mean - halfWidth, high: mean + halfWidth, halfWidth }
}

/**
 * 90 % point of Student's t with `freedom` degrees of freedom, which need not be whole: the expansion about the normal distribution of
 * Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 26.7.5. From 4 degrees of freedom on good to 0.0001.
 * @throws RangeError below 4, where the expansion is not good enough (the prior alone has 4).
 */
export function studentT90(freedom: number): number {
  if (!(freedom >= 4)) throw new RangeError(`fewer than 4 degrees of freedom: ${freedom}`)
  const x = 1.2815515655446004
  const g1 = (x ** 3 + x) / 4
  const g2 = (5 * x ** 5 + 16 * x ** 3 + 3 * x) / 96
  const g3 = (3 * x ** 7 + 19 * x ** 5 + 17 * x ** 3 - 15 * x) / 384
  const g4 = (79 * x ** 9 + 776 * x ** 7 + 1482 * x ** 5 - 1920 * x ** 3 - 945 * x) / 92_160
  return x + (g1 + (g2 + (g3 + g4 / freedom) / freedom) / freedom) / freedom
}

/** The factor that a rule gets from its weighings: exactly 1 for none, their geometric mean in the limit of very many. */
export function learn(weighings: readonly Weighing[]): LearnedFactor {
  const heeded = weighings.filter(({ logRatio, weight }) => !isSlip(logRatio) && weight > 0)
  const leftOut = weighings.filter(({ logRatio }) => isSlip(logRatio)).length
  const after = posterior(heeded)
  const { low, high, halfWidth } = interval80(after)
  const [count, weight] = [heeded.length, total(heeded)]
  const mean = count === 0 ? 0 : meanOf(heeded, weight)
  return {
    factor: Math.exp(after.mean), low: Math.exp(low), high: Math.exp(high), count, weight, mean: Math.exp(mean), leftOut,
    spread: count < 2 ? 0 : Math.sqrt(((squares(heeded, mean) / weight) * count) / (count - 1)),
    sure: howSure(count, halfWidth),
  }
}

function howSure(count: number, halfWidth: number): Sure {
  if (count === 0) return 'not yet'
  if (count >= SURE.count && halfWidth <= SURE.halfWidth) return 'sure'
  return count >= FAIRLY.count && halfWidth <= FAIRLY.halfWidth ? 'fairly sure' : 'a first hint'
}

const total = (weighings: readonly Weighing[]): number => weighings.reduce((n, { weight }) => n + weight, 0)
const meanOf = (weighings: readonly Weighing[], n: number): number => weighings.reduce((sum, { logRatio, weight }) => sum + weight * logRatio, 0) / n
const squares = (weighings: readonly Weighing[], mean: number): number => weighings.reduce((sum, { logRatio, weight }) => sum + weight * (logRatio - mean) ** 2, 0)
