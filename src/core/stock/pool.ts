import { ok, refuse, type Result } from '../result.ts'
import { cents, milli, type Cents, type Milli } from '../units/index.ts'
import { mulDivHalfUp } from './exact.ts'
import { largestRemainder } from './shares.ts'

/**
 * What the stock of one item of one holder (the club or a member) cost. Cost is a matter of the pool, not of the lots in it: IAS 2.25
 * asks for one formula, first-in-first-out or weighted average (second-hand). Here the average is a moving (perpetual) one.
 */
export type CostRule = 'average' | 'fifo'

/** A quantity above 0 and what all of it cost, from 0. */
export type Layer = { readonly qty: Milli; readonly value: Cents }

/** Oldest layer first. Under 'average' at most one layer; under 'fifo' one for each receipt that is not used up. */
export type Pool = { readonly layers: readonly Layer[] }

export const EMPTY_POOL: Pool = { layers: [] }

/** A layer as it is kept in a row: q in thousandths of the item's unit, v in cents. */
export type LayerRow = { readonly q: number; readonly v: number }

export type TooMuch = { readonly kind: 'not-enough'; readonly left: Milli }
export type BelowZero = { readonly kind: 'below-zero'; readonly value: Cents }

export const poolQty = (pool: Pool): Milli => milli(pool.layers.reduce((sum, { qty }) => sum + qty, 0))
export const poolValue = (pool: Pool): Cents => cents(pool.layers.reduce((sum, { value }) => sum + value, 0))

export const poolToRows = (pool: Pool): LayerRow[] => pool.layers.map(({ qty, value }) => ({ q: qty, v: value }))

/** @throws RangeError for a row that is no layer: kept stock that is not whole, without quantity or below 0 is a fault, not a state. */
export const poolFromRows = (rows: readonly LayerRow[]): Pool => ({
  layers: rows.map(({ q, v }) => {
    if (q <= 0 || v < 0) throw new RangeError(`no layer of stock: ${q} thousandths at ${v} cents`)
    return { qty: milli(q), value: cents(v) }
  }),
})

/**
 * The pool as it stands under a rule. To first-in-first-out, what is there is one opening layer; to the average, layers merge. `book`
 * does this at each entry, so a change of rule needs nothing of its own: it acts from the next entry on.
 */
export function underRule(pool: Pool, rule: CostRule): Pool {
  if (rule === 'fifo' || pool.layers.length < 2) return pool
  return { layers: [{ qty: poolQty(pool), value: poolValue(pool) }] }
}

/** A layer joins as the newest. @throws RangeError unless qty is above 0 and value from 0. */
export function putIn(pool: Pool, rule: CostRule, qty: Milli, value: Cents): Pool {
  return underRule({ layers: [...pool.layers, layer(qty, value)] }, rule)
}

/** What had left joins again, at the cost it left at and as the oldest. @throws RangeError unless qty is above 0 and value from 0. */
export function putBack(pool: Pool, rule: CostRule, qty: Milli, value: Cents): Pool {
  return underRule({ layers: [layer(qty, value), ...pool.layers] }, rule)
}

/**
 * Takes the oldest first; of a layer, its value by quantity, rounded half up. The last of a layer takes its remaining cents, so the
 * last of the stock takes the last cent. @throws RangeError unless qty is above 0.
 */
export function takeOut(pool: Pool, rule: CostRule, qty: Milli): Result<{ readonly value: Cents; readonly pool: Pool }, TooMuch> {
  positive(qty)
  const left = poolQty(pool)
  if (qty > left) return refuse({ kind: 'not-enough', left })
  const { value, layers } = fromFront(underRule(pool, rule).layers, qty)
  return ok({ value, pool: { layers } })
}

/**
 * Undoes what was put in: it leaves at the value it came in at, as far as the pool has it. No value stays without stock and none falls
 * below 0: the last of the stock takes all that remains, and else at most all of the value leaves. Under 'fifo' it is the very layer
 * where that is still whole; else quantity from the end it was put at, and the rest of the pool bears the difference.
 *
 * @param end where it had been put: 'newest' (receipts, transfers, finds), 'oldest' (what was put back).
 * @throws RangeError unless qty is above 0 and value from 0.
 */
export function takeBack(pool: Pool, rule: CostRule, qty: Milli, value: Cents, end: 'newest' | 'oldest' = 'newest'):
  Result<{ readonly value: Cents; readonly pool: Pool }, TooMuch> {
  layer(qty, value)
  const left = poolQty(pool)
  if (qty > left) return refuse({ kind: 'not-enough', left })
  const layers = underRule(pool, rule).layers
  const same = (one: Layer): boolean => one.qty === qty && one.value === value
  const at = end === 'newest' ? layers.findLastIndex(same) : layers.findIndex(same)
  if (at >= 0) return ok({ value, pool: { layers: layers.toSpliced(at, 1) } })

  const taken = end === 'oldest' ? fromFront(layers, qty) : fromBack(layers, qty)
  const rest: Pool = { layers: taken.layers }
  if (taken.layers.length === 0) return ok({ value: taken.value, pool: EMPTY_POOL })
  const more = Math.min(value - taken.value, poolValue(rest))
  const corrected = correct(rest, cents(-more))
  if (!corrected.ok) throw new Error('a pool bears what it has')
  return ok({ value: cents(taken.value + more), pool: corrected.value })
}

/**
 * Changes what the stock in the pool cost, quantities unchanged. Several layers change in proportion to their value (to their quantity
 * where none has a value), by largest remainder, so that none falls below 0.
 */
export function correct(pool: Pool, delta: Cents): Result<Pool, BelowZero | TooMuch> {
  if (delta === 0) return ok(pool)
  if (pool.layers.length === 0) return refuse({ kind: 'not-enough', left: milli(0) })
  const value = poolValue(pool)
  if (value + delta < 0) return refuse({ kind: 'below-zero', value })
  const shares = largestRemainder(delta, pool.layers.map((one) => (value === 0 ? one.qty : one.value)))
  return ok({ layers: pool.layers.map((one, i) => ({ qty: one.qty, value: cents(one.value + shares[i]!) })) })
}

/** What a quantity costs at the pool's average, rounded half up; of an empty pool, at the given cost, else 0. */
export function atAverage(pool: Pool, qty: Milli, whenEmpty: Layer | null = null): Cents {
  const all = poolQty(pool)
  if (all > 0) return cents(mulDivHalfUp(poolValue(pool), qty, all))
  return whenEmpty === null ? cents(0) : cents(mulDivHalfUp(whenEmpty.value, qty, whenEmpty.qty))
}

type Taken = { readonly value: Cents; readonly layers: Layer[] }

function fromFront(layers: readonly Layer[], qty: Milli): Taken {
  let need: number = qty
  let value = 0
  let at = 0
  for (; at < layers.length && layers[at]!.qty <= need; at++) {
    need -= layers[at]!.qty
    value += layers[at]!.value
  }
  if (need === 0) return { value: cents(value), layers: layers.slice(at) }
  const [part, rest] = cut(layers[at]!, need)
  return { value: cents(value + part.value), layers: [rest, ...layers.slice(at + 1)] }
}

function fromBack(layers: readonly Layer[], qty: Milli): Taken {
  const { value, layers: left } = fromFront(layers.toReversed(), qty)
  return { value, layers: left.reverse() }
}

/** Part of a layer and what is left of it, 0 < qty < its quantity. */
function cut(whole: Layer, qty: number): [Layer, Layer] {
  const value = mulDivHalfUp(whole.value, qty, whole.qty)
  return [{ qty: milli(qty), value: cents(value) }, { qty: milli(whole.qty - qty), value: cents(whole.value - value) }]
}

function layer(qty: Milli, value: Cents): Layer {
  positive(qty)
  if (!Number.isSafeInteger(value) || value < 0) throw new RangeError(`a value of stock is whole cents from 0, got ${value}`)
  return { qty, value }
}

function positive(qty: Milli): void {
  if (!Number.isSafeInteger(qty) || qty <= 0) throw new RangeError(`a quantity of stock is whole thousandths above 0, got ${qty}`)
}
