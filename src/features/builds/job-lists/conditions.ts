/** Conditions on measurements: which of two ways of doing a thing a boat has. Pure. */
import type { Quantity } from './types.ts'

/** Both ends may be given: at least the one and below the other. */
export interface Condition { readonly measurement: string; readonly atLeast?: number; readonly below?: number }
export type Measurements = Readonly<Record<string, number>>

export function need(m: Measurements, key: string): number {
  const value = m[key]
  if (value === undefined) throw new Error(`job list uses a measurement it does not define: ${key}`)
  return value
}

const list = (c: Condition | readonly Condition[]): readonly Condition[] => ('measurement' in c ? [c] : c)

/** True when all hold; nothing asked: true. */
export const applies = (asked: Condition | readonly Condition[] | undefined, m: Measurements): boolean =>
  asked === undefined || list(asked).every((c) => need(m, c.measurement) >= (c.atLeast ?? -Infinity) && need(m, c.measurement) < (c.below ?? Infinity))

export function quantityOf(q: Quantity, m: Measurements): number {
  return (q.plus ?? 0) + q.times * q.of.reduce((product, key) => product * need(m, key), 1)
}
