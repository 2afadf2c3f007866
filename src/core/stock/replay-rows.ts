import type { Cents, Milli } from '../units/index.ts'
import type { EntryKind, LedgerRefusal } from './ledger.ts'
import { poolToRows, type CostRule, type LayerRow, type Pool } from './pool.ts'

/** A row of the ledger. `holder` null is the club. */
export type EntryRow = {
  readonly id: string
  /** Booking order: rises from row to row. */
  readonly seq: number
  readonly kind: EntryKind
  readonly itemId: string
  readonly lotId: string
  readonly holder: string | null
  /** Signed, as booked. */
  readonly qty: Milli
  readonly value: Cents
  /** The build that is charged. */
  readonly buildId: string | null
  readonly reversesId: string | null
  /** Return: the draw it is of. Price correction: the draw (or write-off) that is charged it; null: it is of the stock. */
  readonly ofEntryId: string | null
  /** One for both entries of a transfer, another for both of its reversal. */
  readonly moveId: string | null
  /** Costing rule in force when it was booked. */
  readonly rule: CostRule
}

export type StoredBalance = { readonly lotId: string; readonly holder: string | null; readonly qty: Milli }
/** Layers are looked at where they are given. */
export type StoredPool = {
  readonly itemId: string
  readonly holder: string | null
  readonly qty: Milli
  readonly value: Cents
  readonly layers?: readonly LayerRow[]
}
export type StoredCharge = { readonly buildId: string; readonly value: Cents }

export type Disagreement =
  | { readonly kind: 'out-of-order'; readonly id: string; readonly seq: number; readonly after: number }
  | { readonly kind: 'twice'; readonly id: string; readonly seq: number }
  | { readonly kind: 'lot-of-another-item'; readonly id: string; readonly seq: number; readonly lotId: string }
  /** What it reverses, or is of, is not before it, or of another kind, lot or holder. */
  | { readonly kind: 'wrong-entry'; readonly id: string; readonly seq: number; readonly of: string | null }
  | { readonly kind: 'wrong-sign'; readonly id: string; readonly seq: number }
  /** It could not have been booked. */
  | { readonly kind: 'refused'; readonly id: string; readonly seq: number; readonly itemId: string; readonly refusal: LedgerRefusal }
  | { readonly kind: 'quantity' | 'value'; readonly id: string; readonly seq: number; readonly booked: number; readonly replayed: number }
  /** The entries of a transfer do not make a pair: out, then in, of one lot, quantity and value. */
  | { readonly kind: 'unpaired'; readonly moveId: string }
  | { readonly kind: 'balance'; readonly lotId: string; readonly holder: string | null; readonly stored: number; readonly replayed: number }
  | {
    readonly kind: 'pool-quantity' | 'pool-value'
    readonly itemId: string
    readonly holder: string | null
    readonly stored: number
    readonly replayed: number
  }
  /** Quantity and value are right, but not how they lie in layers: later costs would be wrong. */
  | {
    readonly kind: 'pool-layers'
    readonly itemId: string
    readonly holder: string | null
    readonly stored: readonly LayerRow[]
    readonly replayed: readonly LayerRow[]
  }
  | { readonly kind: 'charge'; readonly buildId: string; readonly stored: number; readonly replayed: number }

export type Replayed = {
  readonly entries: number
  readonly balances: readonly StoredBalance[]
  readonly pools: readonly (StoredPool & { readonly pool: Pool })[]
  readonly charges: readonly StoredCharge[]
  readonly disagreements: readonly Disagreement[]
}

export type Stored = {
  readonly balances?: readonly StoredBalance[]
  readonly pools?: readonly StoredPool[]
  readonly charges?: readonly StoredCharge[]
}

/** Both ways: a row that is stored and never came about, and one that came about and is not stored. What is 0 need not be stored. */
export function compareStored(replayed: Replayed, stored: Stored, into: Disagreement[]): void {
  both<StoredBalance>(stored.balances, replayed.balances, (row) => rowKey(row.lotId, row.holder), ({ lotId, holder }, a, b) => {
    const [was, is] = [a?.qty ?? 0, b?.qty ?? 0]
    if (was !== is) into.push({ kind: 'balance', lotId, holder, stored: was, replayed: is })
  })
  both<StoredPool & { readonly pool?: Pool }>(stored.pools, replayed.pools, (row) => rowKey(row.itemId, row.holder), ({ itemId, holder }, a, b) => {
    const [qtyWas, qtyIs, valueWas, valueIs] = [a?.qty ?? 0, b?.qty ?? 0, a?.value ?? 0, b?.value ?? 0]
    if (qtyWas !== qtyIs) into.push({ kind: 'pool-quantity', itemId, holder, stored: qtyWas, replayed: qtyIs })
    if (valueWas !== valueIs) into.push({ kind: 'pool-value', itemId, holder, stored: valueWas, replayed: valueIs })
    if (a?.layers === undefined || qtyWas !== qtyIs || valueWas !== valueIs) return
    const rows = b?.pool === undefined ? [] : poolToRows(b.pool)
    const there = a.layers
    const isSame = rows.length === there.length && rows.every(({ q, v }, i) => q === there[i]!.q && v === there[i]!.v)
    if (!isSame) into.push({ kind: 'pool-layers', itemId, holder, stored: there, replayed: rows })
  })
  both<StoredCharge>(stored.charges, replayed.charges, (row) => row.buildId, ({ buildId }, a, b) => {
    const [was, is] = [a?.value ?? 0, b?.value ?? 0]
    if (was !== is) into.push({ kind: 'charge', buildId, stored: was, replayed: is })
  })
}

function both<T>(
  stored: readonly T[] | undefined, replayed: readonly T[], keyOf: (row: T) => string, tell: (row: T, stored?: T, replayed?: T) => void,
): void {
  if (stored === undefined) return
  const there = new Map(stored.map((row) => [keyOf(row), row]))
  const came = new Map(replayed.map((row) => [keyOf(row), row]))
  for (const row of [...stored, ...replayed.filter((one) => !there.has(keyOf(one)))]) tell(row, there.get(keyOf(row)), came.get(keyOf(row)))
}

export const rowKey = (id: string, holder: string | null): string => `${id}/${holder ?? ''}`
