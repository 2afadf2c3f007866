/**
 * Simulated launches against closed forms and published networks.
 * Activities of networks are unattended tasks: as many as like go on at once. A unit of a network is 1000 minutes, so that whole minutes don't show.
 */
import { describe, expect, test } from 'vitest'
import { chanceBy, compileForecast, pertMean, pertSd, quantile, simulate } from '../../src/core/forecast/index.ts'
import type { Simulation, Uncertainty } from '../../src/core/forecast/types.ts'
import type { Problem } from '../../src/core/schedule/problem.ts'
import { instant } from '../../src/core/units/index.ts'
import { certain, withPoints } from '../support/forecast.ts'
import { after, hour, person, planned, problem, shared, task, unattended } from '../support/problem.ts'

const UNIT = 1000
const RUNS = 4000

const launched = (p: Problem, u: Uncertainty, runs = RUNS): Simulation => simulate(compileForecast(p, planned(p, 3), 'boat', u), { runs, seed: 1 })
const mean = (x: Float64Array): number => x.reduce((a, b) => a + b, 0) / x.length
const sd = (x: Float64Array): number => Math.sqrt(x.reduce((sum, v) => sum + (v - mean(x)) ** 2, 0) / (x.length - 1))

/** "A(5,5,7); C(5,5,5)A": name, three points or a duration, what it comes after. */
function network(text: string): { problem: Problem; points: Record<string, [number, number, number]> } {
  const rows = text.split(';').map((r) => /^\s*([A-Z])\(?([\d,]+)\)?(?:\(?([A-Z,]+)\)?)?\s*$/.exec(r)!)
  const points: Record<string, [number, number, number]> = {}
  for (const [, id, numbers] of rows) {
    const n = numbers!.split(',').map((x) => Number(x) * UNIT)
    points[id!] = n.length === 1 ? [n[0]!, n[0]!, n[0]!] : [n[0]!, n[1]!, n[2]!]
  }
  return {
    points,
    problem: problem({
      people: [], places: [], horizon: instant(1_000 * UNIT),
      tasks: rows.map(([, id]) => task(id!, { work: unattended(Math.round(points[id!]![1])), places: [] })),
      links: rows.flatMap(([, id, , before]) => (before?.split(',') ?? []).map((b) => after(b, id!))),
    }),
  }
}

describe('critical-path networks from teaching material (reference-values §6.1), nothing uncertain', () => {
  test('network 1 (course text, read) is launched at 41', () => {
    const { problem: p } = network('A2; B10(A); C13(A); D12(A); E12(B); F7(B); G10(D); H16(D); I6(F); J12(C,G); K5(I); L8(E,K); M5(H); N3(J,L,M)')
    // A2 + B10 + F7 + I6 + K5 + L8 + N3 = 41
    expect(launched(p, certain, 1).launches[0]).toBe(41 * UNIT)
  })

  test('network 2 (course transcript, read) is launched at 18', () => {
    const { problem: p } = network('A7; B3; C6(A); D3(B); F2(B); E3(D,F); G3(C); H2(G,E)')
    // A7 + C6 + G3 + H2 = 18
    expect(launched(p, certain, 1).launches[0]).toBe(18 * UNIT)
  })
})

const PERT = 'A(5,5,7); B(1,2,5); C(5,5,5)A; D(4,8,13)A; E(1,10,17)B,C; F(1,5,7)D; G(2,6,9)D; H(4,4,6)E,F; I(2,7,10)G,H; J(2,4,7)I; K(6,10,13)I; ' +
  'L(2,6,6)J; M(2,2,3)K; N(7,7,12)L,M'

describe('the textbook network with three points (reference-values §6.2: points read; mean, variance and chance derived)', () => {
  const { problem: p, points } = network(PERT)
  const path = [...'ACEHIKMN']

  test('along its critical path the launch has mean 50.8333 and deviation 3.3458, and P(≤ 55) is 0.8935', () => {
    const chain = problem({
      people: [], places: [], horizon: p.horizon,
      tasks: path.map((id) => task(id, { work: unattended(points[id]![1]), places: [] })), links: path.slice(1).map((id, i) => after(path[i]!, id)),
    })
    const s = launched(chain, withPoints(Object.fromEntries(path.map((id) => [id, points[id]!]))))
    // Standard errors of 4000 runs: mean 3.346/√4000 = 0.053, deviation 3.346/√8000 = 0.037; four of them.
    expect(Math.abs(mean(s.launches) / UNIT - 50.8333)).toBeLessThan(0.21)
    expect(Math.abs(sd(s.launches) / UNIT - 3.3458)).toBeLessThan(0.15)
    // √(0.8935 · 0.1065 / 4000) = 0.0049; four of them, and 0.01 for eight tasks that are not quite normal.
    expect(Math.abs(chanceBy(s, instant(55 * UNIT)) - 0.8935)).toBeLessThan(0.03)
  })

  test('with all its paths P(≤ 55) is close to that and not above: another path may be the longest', () => {
    const s = launched(p, withPoints(points))
    expect(mean(s.launches) / UNIT).toBeGreaterThan(50.8333)
    expect(mean(s.launches) / UNIT).toBeLessThan(50.8333 + 1)
    const chance = chanceBy(s, instant(55 * UNIT))
    expect(chance).toBeLessThan(0.8935 + 0.02)
    expect(chance).toBeGreaterThan(0.8935 - 0.06)
  })
})

/** Normal quantiles to four places, as tables have them. */
const Z = { 0.1: -1.2816, 0.5: 0, 0.8: 0.8416, 0.9: 1.2816 } as const

describe('a chain of 30 tasks of one person who is always there', () => {
  const n = 30
  const points = (i: number): [number, number, number] => [300 + 20 * i, 500 + 25 * i, 1100 + 40 * i]
  const id = (i: number): string => `t${String(i).padStart(2, '0')}`
  const p = problem({
    horizon: hour(24 * 200), people: [person('ann', [0, 24 * 200])],
    tasks: Array.from({ length: n }, (_, i) => task(id(i), { work: shared(points(i)[1]), smallest: null })),
    links: Array.from({ length: n - 1 }, (_, i) => after(id(i), id(i + 1))),
  })
  const rows = Object.fromEntries(Array.from({ length: n }, (_, i) => [id(i), points(i)]))
  const three = Object.values(rows).map(([low, likely, high]) => ({ low, likely, high }))
  // Sums of means and of variances, not of deviations (Malcolm, Roseboom, Clark & Fazar 1959).
  const sum = three.reduce((a, x) => a + pertMean(x), 0)
  const spread = Math.sqrt(three.reduce((a, x) => a + pertSd(x) ** 2, 0))
  const s = launched(p, withPoints(rows))

  test('is launched at the sum of the means, with the square root of the sum of the variances', () => {
    // Four standard errors of 4000 runs: 4 / √4000 of a deviation for the mean, 4 / √8000 for the deviation.
    expect(Math.abs(mean(s.launches) - sum) / spread).toBeLessThan(4 / Math.sqrt(RUNS))
    expect(Math.abs(sd(s.launches) / spread - 1)).toBeLessThan(4 / Math.sqrt(2 * RUNS))
  })

  test('has the quantiles of the normal approximation', () => {
    for (const [share, z] of Object.entries(Z)) {
      const q = Number(share)
      // Standard error of a quantile √(q(1-q)/n) / φ(z), four of them; and 0.03 deviations for what 30 skewed tasks are off a normal (skewness 0.05).
      const error = Math.sqrt((q * (1 - q)) / RUNS) / (Math.exp(-(z ** 2) / 2) / Math.sqrt(2 * Math.PI))
      expect(Math.abs((quantile(s, q)! - sum) / spread - z), share).toBeLessThan(4 * error + 0.03)
    }
  })
})

/** Chance that a beta of the 1959 mean and deviation is at most x, by plain numerical integration of its density. */
function betaCdf([a, m, b]: readonly [number, number, number], steps = 20_000): (x: number) => number {
  const share = ((a + 4 * m + b) / 6 - a) / (b - a)
  const [alpha, beta] = [share * (36 * share * (1 - share) - 1), (1 - share) * (36 * share * (1 - share) - 1)]
  const table = new Float64Array(steps + 1)
  for (let i = 0; i < steps; i++) {
    const x = (i + 0.5) / steps
    table[i + 1] = table[i]! + x ** (alpha - 1) * (1 - x) ** (beta - 1)
  }
  return (x) => {
    const at = Math.min(steps, Math.max(0, ((x - a) / (b - a)) * steps))
    const i = Math.min(steps - 1, Math.floor(at))
    return (table[i]! + (at - i) * (table[i + 1]! - table[i]!)) / table[steps]!
  }
}

describe('two branches side by side', () => {
  const points = { a: [8000, 10_000, 15_000], b: [7000, 11_000, 13_000] } as const
  const p = problem({
    people: [], places: [], horizon: instant(100_000),
    tasks: [task('a', { work: unattended(10_000), places: [] }), task('b', { work: unattended(11_000), places: [] })],
  })
  const s = launched(p, withPoints(points))
  const [first, second] = [betaCdf(points.a), betaCdf(points.b)]
  const both = (x: number): number => first(x) * second(x)

  test('are launched at the mean of the later one, by the integral of 1 - F·G', () => {
    // E max = ∫ from 0 of (1 - F(x) G(x)) dx; both lie in [7000, 15000].
    let expected = 7000
    for (let x = 7000; x < 15_000; x += 2) expected += 2 * (1 - both(x + 1))
    expect(expected).toBeGreaterThan((10_500 + 10_666) / 2)
    // The later one's deviation is about 900: four standard errors 4 · 900 / √4000 = 57.
    expect(Math.abs(mean(s.launches) - expected)).toBeLessThan(57)
  })

  test('have the quantiles of the product of their distributions', () => {
    for (const share of [0.1, 0.5, 0.8, 0.9]) expect(Math.abs(both(quantile(s, share)!) - share), String(share)).toBeLessThan(4 * Math.sqrt((share * (1 - share)) / RUNS))
  })
})
