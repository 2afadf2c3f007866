/** Draws of a simulated launch: addressed by what is drawn and by the run, so that two questions about one build meet the same luck. */

/** A 32-bit mix in which every bit of the key moves every bit of the answer (the finish of a public-domain 32-bit hash, constants from memory). */
export function mix(key: number): number {
  let h = key | 0
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b)
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35)
  return h ^ (h >>> 16)
}

/** The key of a thing by its name: whatever else is there, its draws stay. */
export function keyOf(seed: number, name: string): number {
  let h = mix(seed ^ 0x9e3779b9)
  for (let i = 0; i < name.length; i++) h = Math.imul(h ^ name.charCodeAt(i), 0x01000193)
  return mix(h)
}

/** A number in (0, 1) for a key and a run (or week, or row). */
export function uniform(key: number, run: number): number {
  return ((mix(mix(key ^ Math.imul(run + 1, 0x9e3779b1)) + run) >>> 0) + 0.5) / 4294967296
}

/**
 * Quantiles of a distribution at equal steps of probability, straight between them; brought to mean 0 and deviation 1, which holds exactly for
 * what is drawn from it.
 */
export type Quantiles = Float64Array

/** The quantile at u in [0, 1]. */
export function at(table: Quantiles, u: number): number {
  const x = u * (table.length - 1)
  const i = Math.min(table.length - 2, Math.floor(x))
  return table[i]! + (x - i) * (table[i + 1]! - table[i]!)
}

/**
 * Quantiles of a density that need not be scaled, given at the middles of `values.length - 1` cells with their bounds `values`.
 * @param size steps of probability
 */
function quantilesOf(bounds: Float64Array, mass: Float64Array, size: number): Quantiles {
  const cells = mass.length
  let total = 0
  for (let i = 0; i < cells; i++) total += mass[i]!
  const table = new Float64Array(size + 1)
  table[size] = bounds[cells]!
  let sum = 0
  let cell = 0
  for (let i = 0; i < size; i++) {
    const want = (total * i) / size
    while (cell < cells - 1 && sum + mass[cell]! < want) sum += mass[cell++]!
    const share = mass[cell]! > 0 ? Math.min(1, Math.max(0, (want - sum) / mass[cell]!)) : 0
    table[i] = bounds[cell]! + share * (bounds[cell + 1]! - bounds[cell]!)
  }
  let mean = 0
  for (let i = 0; i < size; i++) mean += (table[i]! + table[i + 1]!) / 2 / size
  let variance = 0
  for (let i = 0; i < size; i++) {
    const [a, b] = [table[i]! - mean, table[i + 1]! - mean]
    variance += (a * a + a * b + b * b) / 3 / size
  }
  const sd = Math.sqrt(variance)
  return table.map((x) => (x - mean) / sd)
}

const REACH = 4.75

/** Quantiles of the standard normal distribution, cut at 4.75 deviations. */
export const NORMAL: Quantiles = (() => {
  const cells = 9500
  const bounds = Float64Array.from({ length: cells + 1 }, (_, i) => -REACH + (2 * REACH * i) / cells)
  const mass = Float64Array.from({ length: cells }, (_, i) => Math.exp(-(((bounds[i]! + bounds[i + 1]!) / 2) ** 2) / 2))
  return quantilesOf(bounds, mass, 4096)
})()

export const normal = (u: number): number => at(NORMAL, u)

/**
 * A task's work between its three points is a beta distribution with just the mean (a + 4m + b) / 6 and the deviation (b - a) / 6 of the 1959
 * formulas (Malcolm, Roseboom, Clark & Fazar): with p = (mean - a) / (b - a), from 1/6 to 5/6, its exponents add up to 36 p (1 - p) - 1.
 * Its peak is then at m where m is at an end or in the middle, and near it elsewhere. One shape for each step of p; mean and deviation are exact.
 */
const SHAPES = 48
const shapes: (Quantiles | undefined)[] = []

/** Quantiles of the work in deviations about its mean; likely at `share` of the way from low to high. */
export function betaQuantiles(share: number): Quantiles {
  const step = Math.round(Math.min(1, Math.max(0, share)) * SHAPES)
  return shapes[step] ??= betaShape(1 / 6 + (step / SHAPES) * (2 / 3))
}

function betaShape(p: number): Quantiles {
  const both = 36 * p * (1 - p) - 1
  const [alpha, beta] = [p * both, (1 - p) * both]
  // x = sin² a: a density that is endless at an end becomes tame.
  const cells = 2000
  const angle = (i: number): number => (Math.PI / 2) * (i / cells)
  const bounds = Float64Array.from({ length: cells + 1 }, (_, i) => Math.sin(angle(i)) ** 2)
  const mass = Float64Array.from({ length: cells }, (_, i) => Math.sin(angle(i + 0.5)) ** (2 * alpha - 1) * Math.cos(angle(i + 0.5)) ** (2 * beta - 1))
  return quantilesOf(bounds, mass, 512)
}

/** Mean of a normal number that is cut off to [0, 1]. */
function cutMean(mean: number, sd: number): number {
  if (sd === 0) return Math.min(1, Math.max(0, mean))
  let sum = 0
  for (let i = 0; i < 400; i++) sum += Math.min(1, Math.max(0, mean + sd * normal((i + 0.5) / 400)))
  return sum / 400
}

/** Where a normal number with this deviation must be centred so that its mean, cut off to [0, 1], is the one given (as near as 4 deviations go). */
export function centred(mean: number, sd: number): number {
  let [low, high] = [mean - 4 * sd, mean + 4 * sd]
  for (let i = 0; i < 40 && sd > 0; i++) {
    const middle = (low + high) / 2
    if (cutMean(middle, sd) < mean) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** The numbers 0 to n - 1 in a seeded order: strata of a draw over all runs, each used once. */
export function shuffled(key: number, n: number): Int32Array {
  const out = Int32Array.from({ length: n }, (_, i) => i)
  for (let i = n - 1; i > 0; i--) {
    const j = Math.floor(uniform(key, i) * (i + 1))
    const swap = out[i]!
    out[i] = out[j]!
    out[j] = swap
  }
  return out
}
