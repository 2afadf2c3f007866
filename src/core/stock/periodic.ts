import { ok, refuse, type Result } from '../result.ts'
import { cents, milli, type Cents, type Milli } from '../units/index.ts'
import { mulDivHalfUp } from './exact.ts'
import { EMPTY_POOL, poolQty, poolValue, putIn, takeOut, type Layer, type TooMuch } from './pool.ts'

/** A period valued as a whole: IAS 2.25 to 2.27 (second-hand). What was issued and what is left add up to what there was. */
export type PeriodValue = {
  /** Cents for one unit, not rounded; of what is left under first-in-first-out. null: nothing to average. */
  readonly unitCost: number | null
  readonly issued: Cents
  readonly closingQty: Milli
  readonly closing: Cents
}

/**
 * Weighted average of all there was in the period (opening stock counts as a receipt), whenever it came or went. What is left is
 * valued at the average **not rounded**: rounding the unit cost first is off by whole units of money.
 */
export function periodicAverage(receipts: readonly Layer[], issuedQty: Milli): Result<PeriodValue, TooMuch> {
  const qty = receipts.reduce((sum, one) => sum + one.qty, 0)
  const value = receipts.reduce((sum, one) => sum + one.value, 0)
  if (issuedQty > qty) return refuse({ kind: 'not-enough', left: milli(qty) })
  const closing = qty === 0 ? 0 : mulDivHalfUp(value, qty - issuedQty, qty)
  return ok({
    unitCost: qty === 0 ? null : (value * 1000) / qty,
    issued: cents(value - closing),
    closingQty: milli(qty - issuedQty),
    closing: cents(closing),
  })
}

/** First-in-first-out over a period: receipts in order, opening stock first. What is left is of the latest receipts. */
export function periodicFifo(receipts: readonly Layer[], issuedQty: Milli): Result<PeriodValue, TooMuch> {
  const all = receipts.reduce((pool, one) => putIn(pool, 'fifo', one.qty, one.value), EMPTY_POOL)
  const taken = issuedQty === 0 ? ok({ value: cents(0), pool: all }) : takeOut(all, 'fifo', issuedQty)
  if (!taken.ok) return taken
  const closingQty = poolQty(taken.value.pool)
  const closing = poolValue(taken.value.pool)
  return ok({ unitCost: closingQty === 0 ? null : (closing * 1000) / closingQty, issued: taken.value.value, closingQty, closing })
}
