import { cents, milli, type Cents, type Milli } from '../units/index.ts'
import { book, type Booked, type Draft, type EntryKind, type Out } from './ledger.ts'
import { correct, EMPTY_POOL, poolQty, poolValue, type Pool } from './pool.ts'
import { compareStored, rowKey, type Disagreement, type EntryRow, type Replayed, type Stored, type StoredBalance } from './replay-rows.ts'

/** What is remembered of an entry, to be able to reverse it or take returns of it. */
type Known = {
  readonly kind: EntryKind
  readonly lotId: string
  readonly holder: string | null
  readonly qty: Milli
  readonly value: Cents
  readonly ofEntryId: string | null
  readonly moveId: string | null
  reversed: boolean
  outQty: number
  outValue: number
}

const isOfDraw = ({ kind, ofEntryId }: Pick<Known, 'kind' | 'ofEntryId'>): boolean =>
  kind === 'return' || (kind === 'price_correction' && ofEntryId !== null)

/** The first entry of a move, and how many that make a pair with it there are. */
type Leg = { readonly lotId: string; readonly qty: number; readonly value: number; pairs: number }

/**
 * Replays a ledger from nothing, row by row in booking order: `add` each entry, then `end` with what the tables say now. Each row is
 * booked anew and held against what it says. What a row says stands from then on, so that one wrong row is one disagreement and not
 * one at every row after it; a row that could not have been booked is left out.
 */
export function replayer(): { add(entry: EntryRow): void; end(stored?: Stored): Replayed } {
  const balances = new Map<string, StoredBalance>()
  const pools = new Map<string, { readonly itemId: string; readonly holder: string | null; readonly pool: Pool }>()
  const charges = new Map<string, number>()
  const itemOfLot = new Map<string, string>()
  const known = new Map<string, Known>()
  const moves = new Map<string, Leg>()
  /** Corrections of stock that stand, by lot and holder. */
  const corrections = new Map<string, number>()
  const disagreements: Disagreement[] = []
  let entries = 0
  let lastSeq = -Infinity

  const add = (entry: EntryRow): void => {
    entries += 1
    const { id, seq } = entry
    const fault = (kind: 'twice' | 'wrong-sign'): void => void disagreements.push({ kind, id, seq })
    if (seq <= lastSeq) disagreements.push({ kind: 'out-of-order', id, seq, after: lastSeq })
    lastSeq = Math.max(lastSeq, seq)
    if (known.has(id)) return fault('twice')
    const item = itemOfLot.get(entry.lotId) ?? entry.itemId
    itemOfLot.set(entry.lotId, item)
    if (item !== entry.itemId) return void disagreements.push({ kind: 'lot-of-another-item', id, seq, lotId: entry.lotId })

    const lotKey = rowKey(entry.lotId, entry.holder)
    const poolKey = rowKey(entry.itemId, entry.holder)
    const lotQty = balances.get(lotKey)?.qty ?? milli(0)
    const pool = pools.get(poolKey)?.pool ?? EMPTY_POOL
    const draft = draftOf(entry, lotQty)
    if (typeof draft === 'string') {
      if (draft === 'wrong-sign') fault(draft)
      else disagreements.push({ kind: draft, id, seq, of: entry.reversesId ?? entry.ofEntryId })
      return
    }
    const booked = book(pool, lotQty, draft, entry.rule)
    if (!booked.ok) return void disagreements.push({ kind: 'refused', id, seq, itemId: entry.itemId, refusal: booked.refusal })

    const { qty, value } = booked.value
    let after = booked.value.pool
    if (qty !== entry.qty) return void disagreements.push({ kind: 'quantity', id, seq, booked: entry.qty, replayed: qty })
    // Nothing says what a find in an empty pool is worth: what it was booked at stands.
    const isFree = entry.kind === 'stocktake' && entry.qty > 0 && poolQty(pool) === 0 && entry.value >= 0
    if (value !== entry.value) {
      if (!isFree) disagreements.push({ kind: 'value', id, seq, booked: entry.value, replayed: value })
      const asBooked = correct(after, cents(isCharge(entry) ? 0 : entry.value - value))
      if (asBooked.ok) after = asBooked.value
    }
    balances.set(lotKey, { lotId: entry.lotId, holder: entry.holder, qty: booked.value.lotQty })
    pools.set(poolKey, { itemId: entry.itemId, holder: entry.holder, pool: after })
    if (entry.buildId !== null) charges.set(entry.buildId, (charges.get(entry.buildId) ?? 0) - entry.value)
    remember(entry, lotKey)
  }

  /** A correction of what a draw is charged, or the reversal of one: the pool has no part in it. */
  const isCharge = (entry: EntryRow): boolean => {
    const one = entry.kind === 'reversal' ? known.get(entry.reversesId ?? '') : entry
    return one?.kind === 'price_correction' && one.ofEntryId !== null
  }

  /** Rows that are wrong may have brought back more than left. */
  const outOf = (draw: Known): Out => ({ qty: milli(Math.max(0, draw.outQty)), value: cents(Math.max(0, draw.outValue)), reversed: draw.reversed })

  /** The draw a row is of: known, of the same lot and holder. */
  const drawOf = (entry: Pick<Known, 'ofEntryId' | 'lotId' | 'holder'>): Known | undefined => {
    const draw = known.get(entry.ofEntryId ?? '')
    const isDraw = draw?.kind === 'draw' || draw?.kind === 'write_off'
    return isDraw && draw.lotId === entry.lotId && draw.holder === entry.holder ? draw : undefined
  }

  const draftOf = (entry: EntryRow, lotQty: Milli): Draft | 'wrong-entry' | 'wrong-sign' => {
    const { kind, qty, value } = entry
    const amount = milli(Math.abs(qty))
    // What comes brings its value, what goes takes it along.
    if (qty !== 0 && Math.sign(qty) === -Math.sign(value)) return 'wrong-sign'
    switch (kind) {
      case 'receipt':
        return qty > 0 ? { kind, qty, value } : 'wrong-sign'
      case 'draw':
      case 'write_off':
        return qty < 0 ? { kind, qty: amount } : 'wrong-sign'
      case 'return': {
        const draw = drawOf(entry)
        if (draw === undefined || draw.kind !== 'draw') return 'wrong-entry'
        return qty > 0 ? { kind, qty, out: outOf(draw) } : 'wrong-sign'
      }
      case 'transfer':
        if (entry.moveId === null) return 'wrong-entry'
        if (qty === 0) return 'wrong-sign'
        return qty < 0 ? { kind, way: 'out', qty: amount } : { kind, way: 'in', qty, value }
      case 'stocktake':
        return { kind, counted: milli(lotQty + qty) }
      case 'price_correction': {
        if (entry.ofEntryId === null) return { kind, delta: value }
        const draw = drawOf(entry)
        return draw === undefined ? 'wrong-entry' : { kind, delta: cents(-value), out: outOf(draw) }
      }
      case 'reversal': {
        const reversed = known.get(entry.reversesId ?? '')
        if (reversed === undefined || reversed.lotId !== entry.lotId || reversed.holder !== entry.holder) return 'wrong-entry'
        return { kind, of: bookedOf(reversed, entry) }
      }
    }
  }

  const bookedOf = (one: Known, by: EntryRow): Booked => {
    const booked: Booked = { kind: one.kind, qty: one.qty, value: one.value, reversed: one.reversed }
    if (one.kind === 'draw' || one.kind === 'write_off') return { ...booked, out: outOf(one) }
    if (isOfDraw(one)) return { ...booked, out: outOf(drawOf(one)!) }
    if (one.kind === 'receipt') return { ...booked, corrected: (corrections.get(rowKey(one.lotId, one.holder)) ?? 0) !== 0 }
    // What went out goes back at what the receiver could give up: the reversal of the entry in comes first and says so.
    if (one.kind === 'transfer' && one.qty < 0) return { ...booked, value: cents(-(moves.get(by.moveId ?? '')?.value ?? -one.value)) }
    return booked
  }

  const remember = (entry: EntryRow, lotKey: string): void => {
    const { kind, qty, value } = entry
    known.set(entry.id, {
      kind, lotId: entry.lotId, holder: entry.holder, qty, value, ofEntryId: entry.ofEntryId, moveId: entry.moveId,
      reversed: false, outQty: -qty, outValue: -value,
    })
    if (isOfDraw(entry)) takeFrom(known.get(entry.ofEntryId!)!, qty, value)
    if (kind === 'price_correction' && entry.ofEntryId === null) corrections.set(lotKey, (corrections.get(lotKey) ?? 0) + value)
    if (kind === 'reversal') {
      const reversed = known.get(entry.reversesId!)!
      reversed.reversed = true
      if (reversed.kind === 'draw' || reversed.kind === 'write_off') takeFrom(reversed, qty, value)
      else if (isOfDraw(reversed)) takeFrom(known.get(reversed.ofEntryId!)!, qty, value)
      else if (reversed.kind === 'price_correction') corrections.set(lotKey, (corrections.get(lotKey) ?? 0) + value)
    }
    if (entry.moveId !== null) pair(entry.moveId, entry)
  }

  const takeFrom = (draw: Known, qty: number, value: number): void => {
    draw.outQty -= qty
    draw.outValue -= value
  }

  /** Out, then in; of a reversal the other way round. */
  const pair = (moveId: string, { lotId, qty, value }: EntryRow): void => {
    const first = moves.get(moveId)
    if (first === undefined) moves.set(moveId, { lotId, qty, value: -value, pairs: 1 })
    else first.pairs = first.lotId === lotId && first.qty === -qty && first.value === value ? first.pairs + 1 : Infinity
  }

  const end = (stored: Stored = {}): Replayed => {
    for (const [moveId, { pairs }] of moves) if (pairs !== 2) disagreements.push({ kind: 'unpaired', moveId })
    const replayed: Replayed = {
      entries,
      balances: [...balances.values()],
      pools: [...pools.values()].map((one) => ({ ...one, qty: poolQty(one.pool), value: poolValue(one.pool) })),
      charges: [...charges].map(([buildId, value]) => ({ buildId, value: cents(value) })),
      disagreements,
    }
    compareStored(replayed, stored, disagreements)
    return replayed
  }

  return { add, end }
}

/** All at once: the rows in booking order, and what the tables say now where they are given. */
export function replay(entries: Iterable<EntryRow>, stored?: Stored): Replayed {
  const { add, end } = replayer()
  for (const entry of entries) add(entry)
  return end(stored)
}
