/** The same club told in another way: from another origin of time, or with every array in another order. */
import type { Plan } from '../../src/core/schedule/answer.ts'
import type { Problem } from '../../src/core/schedule/problem.ts'
import type { Dice } from './dice.ts'

/** Names of the fields that hold instants; everything else in a problem or plan is a length, a count or a text. */
const INSTANTS = new Set([
  'now', 'horizon', 'start', 'end', 'from', 'until', 'lastDust', 'launchTarget', 'release', 'startedAt', 'finished',
  'at', 'wanted', 'covered', 'shortArrives', 'launch', 'lowerBound', 'opens', 'closes',
])

/** Every instant `by` minutes later in number; the wall clock stays, so offsets go the other way. */
export function shiftedBy(by: number, problem: Problem): Problem {
  const shifted = moveInstants(problem, by) as Problem
  // Stages of products are lengths although some share a name with an instant.
  return { ...shifted, products: problem.products, zone: shifted.zone.map((z) => ({ ...z, offset: z.offset - by })) }
}

export const shiftPlan = (by: number, plan: Plan): Plan => moveInstants(plan, by) as Plan

function moveInstants(value: unknown, by: number): unknown {
  if (Array.isArray(value)) return value.map((v) => moveInstants(v, by))
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(Object.entries(value).map(([k, v]) => [k, typeof v === 'number' && INSTANTS.has(k) ? v + by : moveInstants(v, by)]))
}

/** Every array whose order means nothing in another order, at all depths. Steps over time are sorted by contract and stay. */
export function permuted(d: Dice, problem: Problem): Problem {
  const walk = (value: unknown, key: string): unknown => {
    if (Array.isArray(value)) {
      const inner = value.map((v) => walk(v, ''))
      return key === 'zone' || key === 'climate' ? inner : d.shuffled(inner)
    }
    if (typeof value !== 'object' || value === null) return value
    return Object.fromEntries(Object.entries(value).map(([k, v]) => [k, walk(v, k)]))
  }
  return walk(problem, '') as Problem
}
