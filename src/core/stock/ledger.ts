import { ok, refuse, type Result } from '../result.ts'
import { cents, milli, type Cents, type Milli } from '../units/index.ts'
import { mulDivHalfUp } from './exact.ts'
import {
  atAverage, correct, poolQty, poolValue, putBack, putIn, takeBack, takeOut, underRule,
  type BelowZero, type CostRule, type Layer, type Pool, type TooMuch,
} from './pool.ts'

export const ENTRY_KINDS = ['receipt', 'draw', 'return', 'transfer', 'write_off', 'stocktake', 'price_correction', 'reversal'] as const
export type EntryKind = (typeof ENTRY_KINDS)[number]

/**
 * What of an entry that took stock out is still out: the sums of quantity and value over the entry, its returns, the reversals of
 * those and the price corrections charged to it, with the sign turned. After a reversal of the entry nothing is: 0 and 0.
 */
export type Out = { readonly qty: Milli; readonly value: Cents; readonly reversed?: boolean }

/** An entry as booked, quantities and values signed as the pool sees them, with what must be known to reverse it. */
export type Booked = {
  readonly kind: EntryKind
  readonly qty: Milli
  readonly value: Cents
  readonly reversed: boolean
  /** Draw, write-off: what is still out (all of it where not given). Return, charged price correction: what is out of the entry it is of. */
  readonly out?: Out
  /** Receipt: a price correction of its lot still stands. */
  readonly corrected?: boolean
}

/**
 * What is asked to be booked. Quantities and values are amounts from 0; `book` gives them their sign.
 * - `return`: of a draw, whole or part.
 * - `transfer`: one entry out of one holder's pool, then one in at the other's, with the value that left.
 * - `stocktake`: what was counted in the lot; the difference is booked. A find is valued at the pool's average; in an empty pool at
 *   `whenEmpty` (what is known of the price), else at 0.
 * - `price_correction`: without `out` it changes what the stock cost, with it what a draw is charged.
 */
export type Draft =
  | { readonly kind: 'receipt'; readonly qty: Milli; readonly value: Cents }
  | { readonly kind: 'draw' | 'write_off'; readonly qty: Milli }
  | { readonly kind: 'return'; readonly qty: Milli; readonly out: Out }
  | { readonly kind: 'transfer'; readonly way: 'out'; readonly qty: Milli }
  | { readonly kind: 'transfer'; readonly way: 'in'; readonly qty: Milli; readonly value: Cents }
  | { readonly kind: 'stocktake'; readonly counted: Milli; readonly whenEmpty?: Layer | null }
  | { readonly kind: 'price_correction'; readonly delta: Cents; readonly out?: Out }
  | { readonly kind: 'reversal'; readonly of: Booked }

export type LedgerRefusal =
  /** The lot (a price correction: the pool) holds less than that. */
  | TooMuch
  /** A return of more than is still out. */
  | { readonly kind: 'above-draw'; readonly returnable: Milli }
  | { readonly kind: 'already-reversed' }
  /** The draw of a return or of a charged correction was reversed meanwhile. */
  | { readonly kind: 'draw-reversed' }
  /** A correction can't be charged to, or taken off, a draw of which nothing is out: its cost is in the stock. */
  | { readonly kind: 'all-returned' }
  /** A receipt, find or transfer can't be undone: of what came in, some has gone out again. */
  | { readonly kind: 'still-drawn'; readonly left: Milli; readonly drawn: Milli }
  /** A receipt whose price was corrected: the correction is reversed first. */
  | { readonly kind: 'corrected' }
  /** A reversal is not reversed: what it undid is booked anew. */
  | { readonly kind: 'is-reversal' }
  /** A price correction below what there is to correct. */
  | BelowZero
  /** A pool would hold more than `MOST_QTY` or be worth more than `MOST_VALUE`: a slip of the pen. */
  | { readonly kind: 'too-large'; readonly of: 'qty' | 'value' }
  /** Nothing would change: no quantity, the count agrees, a correction by 0, a draw of which all came back. */
  | { readonly kind: 'nothing' }

/** Most that a pool holds, in thousandths: a thousand tonnes by the gram. */
export const MOST_QTY = 1_000_000_000_000
/** Most that a pool is worth, in cents. */
export const MOST_VALUE = 1_000_000_000

/** The entry's signed quantity (of lot and pool) and value (of the pool; of a charged correction, of the charge), and what stands then. */
export type Booking = { readonly qty: Milli; readonly value: Cents; readonly pool: Pool; readonly lotQty: Milli }

type Outcome = Result<Booking, LedgerRefusal>

/**
 * Books a draft on the ledger of one item of one holder. A pool's value is the sum of its entries' values but charged corrections; a
 * build's charge is the sum of the values of its entries with the sign turned.
 *
 * Returns go back at the value still out by quantity, rounded half up; the one that completes the draw, and the reversal of the draw,
 * take all of it: what left comes back to the cent.
 *
 * @param pool of the item and holder, as it stands in booking order.
 * @param lotQty what the holder has in the lot the entry is about.
 * @param rule in force at the entry.
 * @throws Error where the pool holds less than the lot: the two were not read together.
 */
export function book(pool: Pool, lotQty: Milli, draft: Draft, rule: CostRule): Outcome {
  const all = poolQty(pool)
  if (all < lotQty) throw new Error(`the pool holds ${all}, its lot ${lotQty}`)
  const at = { pool: underRule(pool, rule), lotQty, rule }
  switch (draft.kind) {
    case 'receipt':
      return draft.qty <= 0 ? NOTHING : into(at, draft.qty, draft.value)
    case 'draw':
    case 'write_off':
      return draft.qty <= 0 ? NOTHING : outOf(at, draft.qty)
    case 'return':
      return giveBack(at, draft.qty, draft.out)
    case 'transfer':
      if (draft.qty <= 0) return NOTHING
      return draft.way === 'out' ? outOf(at, draft.qty) : into(at, draft.qty, draft.value)
    case 'stocktake': {
      const found = draft.counted - lotQty
      if (draft.counted < 0 || found === 0) return NOTHING
      return found < 0 ? outOf(at, milli(-found)) : find(at, milli(found), draft.whenEmpty ?? null)
    }
    case 'price_correction':
      return reprice(at, draft.delta, draft.out)
    case 'reversal':
      return undo(at, draft.of)
  }
}

export type Move = { readonly out: Booking; readonly in: Booking }
type Side = { readonly pool: Pool; readonly lotQty: Milli }

/** Both entries of a transfer of a lot between two holders, booked in the order out, in: what leaves one arrives at the other to the cent. */
export function transfer(from: Side, to: Side, qty: Milli, rule: CostRule): Result<Move, LedgerRefusal> {
  const out = book(from.pool, from.lotQty, { kind: 'transfer', way: 'out', qty }, rule)
  if (!out.ok) return out
  const arrived = book(to.pool, to.lotQty, { kind: 'transfer', way: 'in', qty, value: cents(-out.value.value) }, rule)
  return arrived.ok ? ok({ out: out.value, in: arrived.value }) : arrived
}

/**
 * Reverses both entries of a transfer, booked in the order: reversal of the entry in, then of the entry out. It goes back at the value
 * it came at, as far as the receiving pool still has it.
 *
 * @param moved the entry in, as booked.
 */
export function reverseTransfer(from: Side, to: Side, moved: Booked, rule: CostRule): Result<Move, LedgerRefusal> {
  const left = book(to.pool, to.lotQty, { kind: 'reversal', of: moved }, rule)
  if (!left.ok) return left
  const entryOut: Booked = { kind: 'transfer', qty: milli(-moved.qty), value: left.value.value, reversed: false }
  const back = book(from.pool, from.lotQty, { kind: 'reversal', of: entryOut }, rule)
  return back.ok ? ok({ in: left.value, out: back.value }) : back
}

type At = { readonly pool: Pool; readonly lotQty: Milli; readonly rule: CostRule }

const NOTHING = refuse<LedgerRefusal>({ kind: 'nothing' })

/** Adding 0 turns a negative zero into 0. */
const booking = (at: At, qty: number, value: number, pool: Pool): Outcome =>
  ok({ qty: milli(qty + 0), value: cents(value + 0), pool, lotQty: milli(at.lotQty + qty) })

const tooLarge = ({ pool }: At, qty: number, value: number): LedgerRefusal | null => {
  if (poolQty(pool) + qty > MOST_QTY) return { kind: 'too-large', of: 'qty' }
  return poolValue(pool) + value > MOST_VALUE ? { kind: 'too-large', of: 'value' } : null
}

function into(at: At, qty: Milli, value: Cents): Outcome {
  const refusal = tooLarge(at, qty, value)
  return refusal === null ? booking(at, qty, value, putIn(at.pool, at.rule, qty, value)) : refuse(refusal)
}

function find(at: At, qty: Milli, whenEmpty: Layer | null): Outcome {
  const cost = poolQty(at.pool) > 0 ? { qty: poolQty(at.pool), value: poolValue(at.pool) } : whenEmpty
  // A rough figure first: the exact one may be beyond counting.
  const refusal = tooLarge(at, qty, cost === null ? 0 : (cost.value / cost.qty) * qty - 1)
  return refusal === null ? into(at, qty, atAverage(at.pool, qty, whenEmpty)) : refuse(refusal)
}

function outOf(at: At, qty: Milli): Outcome {
  if (qty > at.lotQty) return refuse({ kind: 'not-enough', left: at.lotQty })
  const taken = takeOut(at.pool, at.rule, qty)
  return taken.ok ? booking(at, -qty, -taken.value.value, taken.value.pool) : taken
}

function giveBack(at: At, qty: Milli, out: Out): Outcome {
  if (qty <= 0) return NOTHING
  const returnable = out.reversed === true ? milli(0) : out.qty
  if (qty > returnable) return refuse({ kind: 'above-draw', returnable })
  const value = cents(mulDivHalfUp(out.value, qty, out.qty))
  return booking(at, qty, value, putBack(at.pool, at.rule, qty, value))
}

function reprice(at: At, delta: Cents, out: Out | undefined): Outcome {
  if (delta === 0) return NOTHING
  if (out === undefined) {
    const refusal = tooLarge(at, 0, delta)
    if (refusal !== null) return refuse(refusal)
    const corrected = correct(at.pool, delta)
    return corrected.ok ? booking(at, 0, delta, corrected.value) : corrected
  }
  if (out.reversed === true) return refuse({ kind: 'draw-reversed' })
  if (out.qty <= 0) return refuse({ kind: 'all-returned' })
  if (out.value + delta < 0) return refuse({ kind: 'below-zero', value: out.value })
  return booking(at, 0, -delta, at.pool)
}

function undo(at: At, of: Booked): Outcome {
  if (of.kind === 'reversal') return refuse({ kind: 'is-reversal' })
  if (of.reversed) return refuse({ kind: 'already-reversed' })
  if (of.kind === 'price_correction') return reprice(at, of.out === undefined ? cents(-of.value) : of.value, of.out)
  if (of.kind === 'return' && of.out?.reversed === true) return refuse({ kind: 'draw-reversed' })
  if (of.kind === 'receipt' && of.corrected === true) return refuse({ kind: 'corrected' })
  if (of.qty > 0) return undoIn(at, of)

  const out = of.out ?? { qty: milli(-of.qty), value: cents(-of.value) }
  if (out.qty <= 0) return NOTHING
  return booking(at, out.qty, out.value, putBack(at.pool, at.rule, out.qty, out.value))
}

function undoIn(at: At, of: Booked): Outcome {
  if (of.qty > at.lotQty) {
    return of.kind === 'return' ?
      refuse({ kind: 'not-enough', left: at.lotQty })
    : refuse({ kind: 'still-drawn', left: at.lotQty, drawn: milli(of.qty - at.lotQty) })
  }
  const taken = takeBack(at.pool, at.rule, of.qty, of.value, of.kind === 'return' ? 'oldest' : 'newest')
  return taken.ok ? booking(at, -of.qty, -taken.value.value, taken.value.pool) : taken
}
