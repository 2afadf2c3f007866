import type { Booked as BookedEntry, Out } from '../../../core/stock/index.ts'
import { cents, milli } from '../../../core/units/index.ts'
import type { Tx } from '../../../platform/database.ts'
import type { EntryKind, LoanKind } from '../../../platform/generated/enums.ts'
import type { Links } from './ledger-base.ts'

export type EntryFacts = Links & {
  id: string
  kind: EntryKind
  item_id: string
  lot_id: string
  holder_id: string
  qty_milli: bigint
  value_cents: number
  at: Date
  by_id: string
  loan: LoanKind | null
  reversed: boolean
  /** Whose stock it was: null is the club. */
  holder_member_id: string | null
}

/** Who asks; `all`: what is undone with an entry that they may know of. */
export type Viewer = { readonly id: string; readonly roles: readonly string[] } | 'all'

/** An entry that this person may know of: those of a build that only its team sees are not there for others. */
export async function entryFor(tx: Tx, viewer: Viewer, entryId: string): Promise<EntryFacts | null> {
  const isOfficer = viewer === 'all' || viewer.roles.includes('officer')
  const viewerId = viewer === 'all' ? null : viewer.id
  const [row] = await tx.$queryRaw<EntryFacts[]>`
    select e.id, e.kind::text, e.item_id, e.lot_id, e.holder_id, e.qty_milli, e.value_cents, e.at, e.by_id, e.build_id, e.task_id, e.batch_id, e.charged_to_id,
      e.of_entry_id, e.reverses_id, e.move_id, e.loan::text, e.count_id, e.order_id, h.member_id as holder_member_id,
      exists (select from stock_entry r where r.reverses_id = e.id) as reversed
    from stock_entry e join holder h on h.id = e.holder_id left join build b on b.id = e.build_id
    where e.id = ${entryId}::uuid and (b.id is null or b.visibility = 'club' or ${isOfficer}
      or exists (select from build_member m where m.build_id = b.id and m.member_id = ${viewerId}::uuid))`
  return row ?? null
}

/** What of a draw or write-off is still out; read with its account locked. */
export async function outOf(tx: Tx, entryId: string): Promise<Out> {
  const rows = await tx.$queryRaw<{ qty: bigint; value: bigint; reversed: boolean }[]>`
    with about as (
      select id, qty_milli, value_cents, reverses_id from stock_entry where id = ${entryId}::uuid or of_entry_id = ${entryId}::uuid
    ), all_of as (
      select id, qty_milli, value_cents, reverses_id from about
      union all select r.id, r.qty_milli, r.value_cents, r.reverses_id from stock_entry r join about a on a.id = r.reverses_id
    )
    select -sum(qty_milli)::bigint as qty, -sum(value_cents)::bigint as value, coalesce(bool_or(reverses_id = ${entryId}::uuid), false) as reversed from all_of`
  const row = rows[0]
  return { qty: milli(Number(row?.qty ?? 0)), value: cents(Number(row?.value ?? 0)), reversed: row?.reversed === true }
}

/** What core must know of an entry to undo it; read with its account locked. */
export async function bookedOf(tx: Tx, entry: EntryFacts): Promise<BookedEntry> {
  const reversed = (await tx.stockEntry.count({ where: { reversesId: entry.id } })) > 0
  const booked = { kind: entry.kind, qty: milli(Number(entry.qty_milli)), value: cents(entry.value_cents), reversed }
  switch (entry.kind) {
    case 'draw':
    case 'write_off':
      return { ...booked, out: await outOf(tx, entry.id) }
    case 'return':
    case 'price_correction':
      return entry.of_entry_id === null ? booked : { ...booked, out: await outOf(tx, entry.of_entry_id) }
    case 'receipt': {
      const [row] = await tx.$queryRaw<{ sum: bigint | null }[]>`
        select sum(c.value_cents + coalesce(r.value_cents, 0)) as sum from stock_entry c left join stock_entry r on r.reverses_id = c.id
        where c.kind = 'price_correction' and c.of_entry_id is null and c.lot_id = ${entry.lot_id}::uuid and c.holder_id = ${entry.holder_id}::uuid`
      return { ...booked, corrected: Number(row?.sum ?? 0) !== 0 }
    }
    default:
      return booked
  }
}

/** What a return or a reversal is about is what its entry was about. */
export const linksOf = (entry: EntryFacts): Partial<Links> => ({
  build_id: entry.build_id, task_id: entry.task_id, batch_id: entry.batch_id, charged_to_id: entry.charged_to_id,
})
