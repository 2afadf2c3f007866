import {
  book, EMPTY_POOL, poolQty, poolToRows, poolValue, reverseTransfer, spreadCorrection, transfer, type Booked, type Booking, type CostRule,
  type Draft, type EntryKind, type EntryRow, type LedgerRefusal, type Out, type Pool, type Stored,
} from '../../../src/core/stock/index.ts'
import { cents, milli, type Milli } from '../../../src/core/units/index.ts'

export type Holder = string | null
type Extra = { readonly buildId?: string | null; readonly reversesId?: string; readonly ofEntryId?: string | null; readonly moveId?: string | null }
type Row = EntryRow & { reversed: boolean }

/** What a service does around the ledger, in memory: rows are kept, locked reads are plain reads. */
export class Shop {
  rule: CostRule = 'average'
  readonly rows: Row[] = []
  readonly pools = new Map<string, { itemId: string; holder: Holder; pool: Pool }>()
  readonly lots = new Map<string, { lotId: string; holder: Holder; qty: Milli }>()
  refusals: LedgerRefusal[] = []
  private moves = 0

  pool = (itemId: string, holder: Holder): Pool => this.pools.get(`${itemId}/${holder}`)?.pool ?? EMPTY_POOL
  left = (lotId: string, holder: Holder): Milli => this.lots.get(`${lotId}/${holder}`)?.qty ?? milli(0)
  /** Lots are named after their item: 'resin.1'. */
  itemOf = (lotId: string): string => lotId.split('.')[0]!
  row = (id: string): Row => this.rows.find((one) => one.id === id)!

  book(lotId: string, holder: Holder, draft: Draft, extra: Extra = {}): Row | null {
    const itemId = this.itemOf(lotId)
    const booked = book(this.pool(itemId, holder), this.left(lotId, holder), draft, this.rule)
    if (!booked.ok) return this.refused(booked.refusal)
    return this.insert(lotId, holder, draft.kind, booked.value, extra)
  }

  draw(lotId: string, holder: Holder, qty: number, buildId: string | null = 'b1'): Row | null {
    return this.book(lotId, holder, { kind: 'draw', qty: milli(qty) }, { buildId })
  }

  giveBack(draw: Row, qty: number): Row | null {
    const draft: Draft = { kind: 'return', qty: milli(qty), out: this.out(draw) }
    return this.book(draw.lotId, draw.holder, draft, { buildId: draw.buildId, ofEntryId: draw.id })
  }

  transfer(lotId: string, from: Holder, to: Holder, qty: number): boolean {
    const moved = transfer(this.side(lotId, from), this.side(lotId, to), milli(qty), this.rule)
    if (!moved.ok) return this.refused(moved.refusal) !== null
    const moveId = `m${this.moves++}`
    this.insert(lotId, from, 'transfer', moved.value.out, { moveId })
    this.insert(lotId, to, 'transfer', moved.value.in, { moveId })
    return true
  }

  /** A lot's price corrected by delta: stock of each holder, and each entry that took some out for good. */
  correctPrice(lotId: string, delta: number): void {
    const held = [...this.lots.values()].filter((one) => one.lotId === lotId && one.qty > 0)
    const ofLot = this.rows.filter((row) => row.lotId === lotId && !row.reversed)
    const gone = ofLot.filter((row) => (row.kind === 'draw' || row.kind === 'write_off') && this.out(row).qty > 0)
    const received = ofLot.reduce((sum, row) => sum + (row.kind === 'receipt' ? row.qty : 0), 0)
    const { draws } = spreadCorrection<{ holder: Holder; row?: Row }>({
      delta: cents(delta), received: milli(received), left: milli(0),
      draws: [
        ...held.map(({ holder, qty }) => ({ key: { holder }, qty })),
        ...gone.map((row) => ({ key: { holder: row.holder, row }, qty: this.out(row).qty })),
      ],
    })
    for (const { key: { holder, row }, share } of draws) {
      if (share === 0) continue
      if (row === undefined) this.book(lotId, holder, { kind: 'price_correction', delta: share })
      else this.book(lotId, holder, { kind: 'price_correction', delta: share, out: this.out(row) }, { buildId: row.buildId, ofEntryId: row.id })
    }
  }

  /** Both entries where it is one of a transfer. */
  reverse(row: Row): boolean {
    if (row.kind === 'transfer') return this.reverseTransfer(row)
    const back = this.book(row.lotId, row.holder, { kind: 'reversal', of: this.booked(row) }, { buildId: row.buildId, reversesId: row.id })
    if (back !== null) row.reversed = true
    return back !== null
  }

  private reverseTransfer({ lotId, moveId: of }: Row): boolean {
    const [out, arrived] = this.rows.filter((one) => one.moveId === of) as [Row, Row]
    const moved = reverseTransfer(this.side(lotId, out.holder), this.side(lotId, arrived.holder), this.booked(arrived), this.rule)
    if (!moved.ok) return this.refused(moved.refusal) !== null
    const moveId = `m${this.moves++}`
    this.insert(lotId, arrived.holder, 'reversal', moved.value.in, { moveId, reversesId: arrived.id })
    this.insert(lotId, out.holder, 'reversal', moved.value.out, { moveId, reversesId: out.id })
    out.reversed = arrived.reversed = true
    return true
  }

  private side = (lotId: string, holder: Holder) => ({ pool: this.pool(this.itemOf(lotId), holder), lotQty: this.left(lotId, holder) })

  private refused(refusal: LedgerRefusal): null {
    this.refusals.push(refusal)
    return null
  }

  /** What is still out of a draw: its own entry and all that are of it, or reverse one of those. */
  out(draw: Row): Out {
    const family = new Set([draw.id])
    for (const one of this.rows) if (family.has(one.reversesId ?? '') || family.has(one.ofEntryId ?? '')) family.add(one.id)
    const of = this.rows.filter(({ id }) => family.has(id))
    const sum = (key: 'qty' | 'value'): number => of.reduce((all, one) => all - one[key], 0)
    return { qty: milli(sum('qty') + 0), value: cents(sum('value') + 0), reversed: draw.reversed }
  }

  booked(row: Row): Booked {
    const { kind, qty, value, reversed } = row
    if (kind === 'draw' || kind === 'write_off') return { kind, qty, value, reversed, out: this.out(row) }
    if (row.ofEntryId !== null) return { kind, qty, value, reversed, out: this.out(this.row(row.ofEntryId)) }
    const ofStock = this.rows.filter((one) => one.kind === 'price_correction' && one.ofEntryId === null && !one.reversed)
    const corrections = ofStock.filter(({ lotId, holder }) => lotId === row.lotId && holder === row.holder)
    return { kind, qty, value, reversed, corrected: corrections.reduce((sum, one) => sum + one.value, 0) !== 0 }
  }

  stored(): Stored {
    const charges = new Map<string, number>()
    for (const { buildId, value } of this.rows) if (buildId !== null) charges.set(buildId, (charges.get(buildId) ?? 0) - value)
    return {
      balances: [...this.lots.values()],
      pools: [...this.pools.values()].map(({ itemId, holder, pool }) => (
        { itemId, holder, qty: poolQty(pool), value: poolValue(pool), layers: poolToRows(pool) })),
      charges: [...charges].map(([buildId, value]) => ({ buildId, value: cents(value) })),
    }
  }

  private insert(lotId: string, holder: Holder, kind: EntryKind, { qty, value, pool, lotQty }: Booking, extra: Extra): Row {
    const itemId = this.itemOf(lotId)
    this.pools.set(`${itemId}/${holder}`, { itemId, holder, pool })
    this.lots.set(`${lotId}/${holder}`, { lotId, holder, qty: lotQty })
    const seq = this.rows.length + 1
    const row: Row = {
      id: `e${seq}`, seq, kind, itemId, lotId, holder, qty, value, buildId: extra.buildId ?? null, reversesId: extra.reversesId ?? null,
      ofEntryId: extra.ofEntryId ?? null, moveId: extra.moveId ?? null, rule: this.rule, reversed: false,
    }
    this.rows.push(row)
    return row
  }
}
