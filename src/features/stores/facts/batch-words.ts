/** Batches in words. Pure. */
import type { Ratio } from '../../../core/stock/index.ts'
import type { Refusal } from '../../../platform/write.ts'

export type PartName = 'resin' | 'hardener'

/** '100:44 by mass'. */
export const ratioText = ({ a, b, by }: Ratio): string => `${round(a)}:${round(b)} by ${by}`
const round = (n: number) => Math.round(n * 100) / 100

/** "18 % too little hardener for 100:44 by mass". */
export const offWords = (off: number, ratio: Ratio): string => `${Math.round(Math.abs(off) * 1000) / 10} % too ${off < 0 ? 'little' : 'much'} hardener for ${ratioText(ratio)}`

/** A draw's refusal at the fields of a batch. */
export function batchRefusal({ status, message, fields = {}, current }: Refusal, part: PartName, name: string): Refusal {
  const at: Record<string, string> = { amount: part, lotId: `${part}Lot`, weighed: `${part}Left` }
  const named = Object.fromEntries(Object.entries(fields).map(([field, text]) => [at[field] ?? part, text]))
  return { status, message: `Nothing was booked, neither resin nor hardener. ${name}: ${message}`, fields: named, ...(current === undefined ? {} : { current }) }
}
