/**
 * Three-point work: (a + 4m + b) / 6 and (b - a) / 6, Malcolm, Roseboom, Clark and Fazar, Oper. Res. 7 (1959) (formula second-hand, citation from
 * memory), and a textbook's network of fourteen tasks (read), its longest path found by the same plan() that plans a club.
 */
import { describe, expect, test } from 'vitest'
import { pertMean, pertSd } from '../../src/core/forecast/pert.ts'
import type { ThreePoints } from '../../src/core/forecast/types.ts'
import { inverseNormal } from '../../src/core/stock/normal.ts'
import { after, planned, problem, task, unattended } from '../support/problem.ts'

const text = 'A(5,5,7); B(1,2,5); C(5,5,5)A; D(4,8,13)A; E(1,10,17)B,C; F(1,5,7)D; G(2,6,9)D; H(4,4,6)E,F; I(2,7,10)G,H; J(2,4,7)I; K(6,10,13)I; L(2,6,6)J; M(2,2,3)K; N(7,7,12)L,M'
const rows = text.split(';').map((row) => {
  const [, id, low, likely, high, before] = /^\s*([A-Z])\((\d+),(\d+),(\d+)\)([A-Z,]*)$/.exec(row)!
  return { id: id!, points: { low: Number(low), likely: Number(likely), high: Number(high) }, before: before === '' ? [] : before!.split(',') }
})
const of = (id: string): ThreePoints => rows.find((r) => r.id === id)!.points

// Sixths of the textbook's unit, so that every mean is a whole number of the planner's minutes.
const plan = planned(problem({
  people: [], places: [],
  tasks: rows.map(({ id, points }) => task(id, { work: unattended(6 * pertMean(points)), places: [] })),
  links: rows.flatMap(({ id, before }) => before.map((b) => after(b, id))),
}))
const slack = (id: string): number => plan.pieces.find((x) => x.taskId === id)!.float! / 6

describe('the textbook’s network of three-point tasks', () => {
  test('has the means and deviations that are printed: D 8.17 and 1.50, E 9.67 and 2.67', () => {
    // D (4 + 32 + 13) / 6 = 49/6; E (1 + 40 + 17) / 6 = 58/6
    expect(pertMean(of('D')).toFixed(2)).toBe('8.17')
    expect(pertSd(of('D')).toFixed(2)).toBe('1.50')
    expect(pertMean(of('E')).toFixed(2)).toBe('9.67')
    expect(pertSd(of('E')).toFixed(2)).toBe('2.67')
  })

  test('has the slack that is printed: B 8, D and F 1.83', () => {
    expect(slack('B')).toBe(8)
    expect(slack('D').toFixed(2)).toBe('1.83')
    expect(slack('F').toFixed(2)).toBe('1.83')
  })

  // Derived, no published answer.
  test('takes 50.8333 along A-C-E-H-I-K-M-N', () => {
    expect(plan.builds[0]!.launch! / 6).toBeCloseTo(50.8333, 4)
    expect(plan.builds[0]!.chain.map((id) => id.split('/')[0]).join('-')).toBe('A-C-E-H-I-K-M-N')
  })

  test('has a variance of 11.19444 along it: variances are summed, not deviations', () => {
    const sds = ['A', 'C', 'E', 'H', 'I', 'K', 'M', 'N'].map((id) => pertSd(of(id)))
    const variance = sds.reduce((sum, sd) => sum + sd ** 2, 0)
    expect(variance).toBeCloseTo(11.19444, 5)
    expect(Math.sqrt(variance)).toBeCloseTo(3.34581, 5)
    // The trap: deviations added, 6.83, are twice as wide.
    expect(sds.reduce((sum, sd) => sum + sd, 0)).toBeCloseTo(41 / 6, 10)
    // P(<= 55) = 0.8935 by the normal approximation.
    expect(50.8333 + Math.sqrt(variance) * inverseNormal(0.8935)).toBeCloseTo(55, 2)
  })
})

test('a second question (question read, answers derived): mean 21 and variance 4 give 0.3085 by 20, 0.8413 by 23, and 95 % by 24.29', () => {
  const at = (p: number): number => 21 + Math.sqrt(4) * inverseNormal(p)
  expect(at(0.3085)).toBeCloseTo(20, 3)
  expect(at(0.8413)).toBeCloseTo(23, 3)
  expect(at(0.95).toFixed(2)).toBe('24.29')
})
