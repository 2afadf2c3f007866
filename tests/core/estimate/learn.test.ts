import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { interval80, learn, posterior, PRIOR, SLIP, studentT90, type Weighing } from '../../../src/core/estimate/learn.ts'
import { dice } from '../../support/dice.ts'

const whole = (...logRatios: number[]): Weighing[] => logRatios.map((logRatio) => ({ logRatio, weight: 1 }))
const many = (n: number, logRatio: number) => whole(...Array<number>(n).fill(logRatio))
const ratio = fc.double({ min: -1.3, max: 1.3, noNaN: true })
const weighing = fc.record({ logRatio: ratio, weight: fc.double({ min: 0.05, max: 1, noNaN: true }) })

describe('the 90 % point of Student’s t', () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, column 0.90 (second-hand, to three decimals as the table prints it).
  test.each([[4, 1.533], [5, 1.476], [6, 1.44], [7, 1.415], [8, 1.397], [10, 1.372], [20, 1.325], [30, 1.31], [40, 1.303], [60, 1.296]])('with %d degrees of freedom is %d, as tables print it', (freedom, t) => {
    expect(Math.abs(studentT90(freedom) - t)).toBeLessThan(0.0006)
  })

  // Values of a general-purpose library: SciPy 1.17, scipy.stats.t.ppf(0.9, freedom).
  test.each([[4, 1.533206], [4.5, 1.500885], [5.25, 1.465396], [12.6, 1.352468], [120, 1.288646]])('with %d, which need not be whole, is %d', (freedom, t) => {
    expect(Math.abs(studentT90(freedom) - t)).toBeLessThan(0.0001)
  })

  test('falls towards the normal distribution’s 1.28155 and is refused below 4', () => {
    expect(studentT90(1e9)).toBeCloseTo(1.281552, 6)
    for (let v = 4; v < 80; v += 0.5) expect(studentT90(v + 0.5)).toBeLessThan(studentT90(v))
    expect(() => studentT90(3.9)).toThrow(RangeError)
    expect(() => studentT90(Number.NaN)).toThrow(RangeError)
  })
})

describe('a learnt factor', () => {
  test('is exactly 1 where nothing was weighed, and says so', () => {
    expect(learn([])).toMatchObject({ factor: 1, count: 0, weight: 0, mean: 1, spread: 0, sure: 'not yet', leftOut: 0 })
    expect(posterior([])).toEqual(PRIOR)
  })

  test('of three weighings is what a calculation by hand gives', () => {
    // 0.1, 0.2, 0.3: n = 3, mean 0.2, S = 0.02. kappa 4 + 3 = 7, mu = 3 · 0.2 / 7 = 0.0857143; alpha 2 + 1.5 = 3.5;
    // beta = 0.125 + 0.01 + 4 · 3 · 0.04 / 14 = 0.1692857.
    const after = posterior(whole(0.1, 0.2, 0.3))
    expect(after.kappa).toBe(7)
    expect(after.mean).toBeCloseTo(0.0857143, 7)
    expect(after.alpha).toBe(3.5)
    expect(after.beta).toBeCloseTo(0.1692857, 7)
    // Scale √(0.1692857 / (3.5 · 7)) = 0.0831241; t with 7 degrees 1.41492: half the width is 0.117614.
    expect(interval80(after).halfWidth).toBeCloseTo(0.117614, 5)
    const learnt = learn(whole(0.1, 0.2, 0.3))
    expect(learnt.factor).toBeCloseTo(Math.exp(0.0857143), 6)
    expect(learnt.low).toBeCloseTo(Math.exp(-0.0319), 4)
    expect(learnt.high).toBeCloseTo(Math.exp(0.203328), 4)
    expect(learnt.mean).toBeCloseTo(Math.exp(0.2), 9)
    // √(0.02 / 2)
    expect(learnt.spread).toBeCloseTo(0.1, 9)
  })

  test('has the interval that integrating the prior and the weighings over a fine grid gives', () => {
    // By Bayes alone, without any closed form: prior × likelihood over mean and variance, summed over the variance.
    const x = [0.1, 0.2, 0.3]
    const [step, means] = [0.002, Array.from({ length: 801 }, (_, i) => -0.7 + i * 0.002)]
    const marginal = means.map((mu) => {
      let sum = 0
      // Variances from e^-10 to e^4, evenly in the logarithm: dv = v dlog(v).
      for (let log = -10; log <= 4; log += 0.04) {
        const v = Math.exp(log)
        const ofVariance = v ** -(PRIOR.alpha + 1) * Math.exp(-PRIOR.beta / v)
        const ofMean = Math.sqrt(PRIOR.kappa / v) * Math.exp((-PRIOR.kappa * (mu - PRIOR.mean) ** 2) / (2 * v))
        const likelihood = v ** (-x.length / 2) * Math.exp(-x.reduce((n, one) => n + (one - mu) ** 2, 0) / (2 * v))
        sum += ofVariance * ofMean * likelihood * v
      }
      return sum
    })
    const all = marginal.reduce((a, b) => a + b, 0)
    expect(means.reduce((n, mu, i) => n + mu * marginal[i]!, 0) / all).toBeCloseTo(posterior(whole(...x)).mean, 4)
    const { low, high } = interval80(posterior(whole(...x)))
    const below = (end: number) => means.reduce((n, mu, i) => n + marginal[i]! * Math.max(0, Math.min(1, (end - mu) / step + 0.5)), 0) / all
    expect(below(low)).toBeCloseTo(0.1, 3)
    expect(below(high)).toBeCloseTo(0.9, 3)
  })

  test('of very many is their mean, and its interval closes', () => {
    const learnt = learn(many(40_000, Math.log(1.18)))
    expect(learnt.factor).toBeCloseTo(1.18, 4)
    expect(learnt.high / learnt.low).toBeLessThan(1.001)
    expect(learnt.sure).toBe('sure')
  })

  test('moves from 1 towards what was weighed with every weighing that says the same, and never beyond', () => {
    fc.assert(fc.property(ratio, fc.integer({ min: 1, max: 60 }), (r, n) => {
      const [before, after] = [learn(many(n, r)), learn(many(n + 1, r))]
      expect(Math.abs(Math.log(after.factor))).toBeGreaterThanOrEqual(Math.abs(Math.log(before.factor)) - 1e-12)
      expect(Math.abs(Math.log(after.factor))).toBeLessThanOrEqual(Math.abs(r) + 1e-12)
      // As if four more had said 1: n / (4 + n) of the way.
      expect(Math.log(after.factor)).toBeCloseTo((r * (n + 1)) / (n + 5), 9)
    }))
  })

  test('lies in its own interval, between 1 and the weighings’ mean, whatever they are', () => {
    fc.assert(fc.property(fc.array(weighing, { maxLength: 40 }), (all) => {
      const l = learn(all)
      expect(l.low).toBeLessThan(l.factor)
      expect(l.high).toBeGreaterThan(l.factor)
      expect(l.factor).toBeGreaterThanOrEqual(Math.min(1, l.mean) - 1e-9)
      expect(l.factor).toBeLessThanOrEqual(Math.max(1, l.mean) + 1e-9)
    }))
  })

  test('turns over with its weighings: half as much is the inverse of twice as much', () => {
    fc.assert(fc.property(fc.array(weighing, { maxLength: 20 }), (all) => {
      const [up, down] = [learn(all), learn(all.map((w) => ({ ...w, logRatio: -w.logRatio })))]
      expect(up.factor * down.factor).toBeCloseTo(1, 9)
      expect(up.low * down.high).toBeCloseTo(1, 9)
    }))
  })

  test('takes two halves of a weighing as one', () => {
    fc.assert(fc.property(fc.array(weighing, { minLength: 1, maxLength: 12 }), (all) => {
      const halves = all.flatMap((w) => [{ ...w, weight: w.weight / 2 }, { ...w, weight: w.weight / 2 }])
      const [a, b] = [posterior(all), posterior(halves)]
      for (const k of ['mean', 'kappa', 'alpha', 'beta'] as const) expect(a[k]).toBeCloseTo(b[k], 9)
    }))
  })

  test('leaves a slip of the booking out and tells of it', () => {
    const [with_, without] = [learn(whole(0.1, 0.15, Math.log(12), Math.log(0.2))), learn(whole(0.1, 0.15))]
    expect(with_).toEqual({ ...without, leftOut: 2 })
    // Just inside counts.
    expect(learn(whole(Math.log(SLIP), -Math.log(SLIP))).count).toBe(2)
    expect(learn(whole(Number.NaN, Infinity))).toMatchObject({ count: 0, leftOut: 2, factor: 1 })
  })

  test('is the surer, the more weighings agree', () => {
    expect(learn(many(1, 0.05)).sure).toBe('a first hint')
    expect(learn(many(3, 0.05)).sure).toBe('a first hint')
    expect(learn(whole(0.05, 0.12, 0.0, 0.08, 0.1, 0.02)).sure).toBe('fairly sure')
    expect(learn(whole(...Array.from({ length: 20 }, (_, i) => 0.06 + (i % 2 ? 0.05 : -0.05)))).sure).toBe('sure')
    // Twenty that contradict each other make nobody sure.
    expect(learn(whole(...Array.from({ length: 20 }, (_, i) => (i % 2 ? 0.9 : -0.9)))).sure).toBe('a first hint')
  })
})

describe('the 80 % interval', () => {
  // Worlds drawn from the prior itself: then the interval is right if it holds the truth in 80 % of them, however many were weighed.
  // Four thousand worlds: one standard error is √(0.8 · 0.2 / 4000) = 0.6 %.
  test.each([[1, 11], [3, 12], [8, 13], [25, 14]])('of %d weighings holds the truth in 80 %% of 4,000 worlds', (n, seed) => {
    const { roll } = dice(seed)
    const normal = () => Math.sqrt(-2 * Math.log(1 - roll())) * Math.cos(2 * Math.PI * roll())
    let held = 0
    for (let world = 0; world < 4000; world++) {
      // One over the variance is gamma with shape 2: the sum of two exponentials over beta.
      const sd = Math.sqrt(PRIOR.beta / -Math.log((1 - roll()) * (1 - roll())))
      const truth = (sd / Math.sqrt(PRIOR.kappa)) * normal()
      const { low, high } = interval80(posterior(whole(...Array.from({ length: n }, () => truth + sd * normal()))))
      if (low <= truth && truth <= high) held++
    }
    expect(held / 4000).toBeGreaterThan(0.78)
    expect(held / 4000).toBeLessThan(0.82)
  })
})
