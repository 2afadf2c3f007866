import type { Layer } from '../../../core/stock/index.ts'
import { cents, milli } from '../../../core/units/index.ts'
import type { Tx } from '../../../platform/database.ts'

/** What is known of an item's price: of this lot's receipt, else of the last one of the item; null where none was ever bought. */
export async function knownPrice(tx: Tx, itemId: string, lotId: string): Promise<Layer | null> {
  const [row] = await tx.$queryRaw<{ qty_milli: bigint; value_cents: number }[]>`
    select qty_milli, value_cents from stock_entry e where item_id = ${itemId}::uuid and kind = 'receipt'
      and not exists (select from stock_entry r where r.reverses_id = e.id)
    order by (lot_id = ${lotId}::uuid) desc, seq desc limit 1`
  return row ? { qty: milli(Number(row.qty_milli)), value: cents(row.value_cents) } : null
}
