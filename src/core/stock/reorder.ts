import { inverseNormal } from './normal.ts'

export type ReorderQuestion = {
  /** Mean use a day, and its standard deviation from day to day, in the item's unit (or thousandths: the answer is in the same). */
  readonly perDay: number
  readonly sdPerDay: number
  readonly leadDays: number
  readonly sdLeadDays?: number
} & (
  | { /** Standard deviations of safety. */ readonly z: number }
  | { /** Wanted chance of not running out while an order is under way, between 0 and 1. */ readonly serviceLevel: number }
)

export type ReorderPoint = {
  /** Order when what is on hand and on order comes down to this. */
  readonly point: number
  readonly safety: number
  readonly leadDemand: number
  readonly z: number
}

/**
 * Reorder point d·L + z·√(L·σd² + d²·σL²) of an item whose use nothing plans; W. J. Stevenson, Operations Management, 14th ed. (with a
 * lead time that does not vary: d·L + z·σd·√L). Days must be alike and independent of each other.
 * @throws RangeError for negative use, spread or lead time, or a service level outside 0 to 1.
 */
export function reorderPoint(question: ReorderQuestion): ReorderPoint {
  const { perDay, sdPerDay, leadDays, sdLeadDays = 0 } = question
  for (const n of [perDay, sdPerDay, leadDays, sdLeadDays]) if (!(n >= 0 && n < Infinity)) throw new RangeError(`use and lead time from 0, got ${n}`)
  const z = 'z' in question ? question.z : inverseNormal(question.serviceLevel)
  const leadDemand = perDay * leadDays
  const safety = z * Math.sqrt(leadDays * sdPerDay ** 2 + perDay ** 2 * sdLeadDays ** 2)
  return { point: leadDemand + safety, safety, leadDemand, z }
}

/** `day` counts whole days from any origin; a return is a negative quantity. */
export type DatedUse = { readonly day: number; readonly qty: number }

/**
 * Mean and standard deviation (of a sample: n − 1) of use a day over the days from..to, both counted, days without use as 0. What lies
 * outside is left out. Of one day there is no deviation: 0.
 * @throws RangeError when to is before from, or they are not whole days.
 */
export function usePerDay(draws: readonly DatedUse[], { from, to }: { readonly from: number; readonly to: number }):
  { readonly mean: number; readonly sd: number; readonly days: number } {
  const days = to - from + 1
  if (!Number.isSafeInteger(days) || days < 1) throw new RangeError(`no days from ${from} to ${to}`)
  const byDay = new Map<number, number>()
  for (const { day, qty } of draws) if (day >= from && day <= to) byDay.set(day, (byDay.get(day) ?? 0) + qty)
  const used = [...byDay.values()]
  const mean = used.reduce((sum, qty) => sum + qty, 0) / days
  const squares = used.reduce((sum, qty) => sum + (qty - mean) ** 2, 0) + (days - used.length) * mean ** 2
  return { mean, sd: days === 1 ? 0 : Math.sqrt(squares / (days - 1)), days }
}
