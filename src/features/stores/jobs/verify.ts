import { replayer, type Disagreement, type EntryKind, type EntryRow, type LayerRow, type StoredBalance, type StoredPool } from '../../../core/stock/index.ts'
import { cents, milli } from '../../../core/units/index.ts'
import type { Db, Tx } from '../../../platform/database.ts'
import { CLUB_HOLDER } from '../facts/held.ts'
import { refusalWords } from '../facts/ledger-words.ts'

export type Verified = { entries: number; lots: number; accounts: number; builds: number; faults: string[] }

const CHUNK = 5_000

type Row = {
  id: string
  seq: bigint
  kind: EntryKind
  item_id: string
  lot_id: string
  holder_id: string
  qty_milli: bigint
  value_cents: number
  build_id: string | null
  reverses_id: string | null
  of_entry_id: string | null
  /** Of the halves of a transfer and of their reversals. */
  move_id: string | null
  rule: 'average' | 'fifo'
}

/** Replays the whole ledger from nothing, as of one moment, and holds it against the balances, values and layers that are kept. */
export async function verifyLedger(db: Db): Promise<Verified> {
  return db.$transaction((tx) => verify(tx), { isolationLevel: 'RepeatableRead', timeout: 3_600_000, maxWait: 10_000 })
}

async function verify(tx: Tx): Promise<Verified> {
  const { add, end } = replayer()
  for (let after = -1n; ;) {
    const rows = await tx.$queryRaw<Row[]>`
      select e.id, e.seq, e.kind::text, e.item_id, e.lot_id, e.holder_id, e.qty_milli, e.value_cents, e.build_id, e.reverses_id, e.of_entry_id, e.rule::text,
        case when e.kind = 'transfer' or (e.kind = 'reversal' and r.kind = 'transfer') then e.move_id end as move_id
      from stock_entry e left join stock_entry r on r.id = e.reverses_id
      where e.seq > ${after} order by e.seq limit ${CHUNK}`
    for (const row of rows) add(toCore(row))
    if (rows.length < CHUNK) break
    after = rows.at(-1)!.seq
  }
  const balances = await tx.$queryRaw<{ lot_id: string; holder_id: string; qty_milli: bigint }[]>`select lot_id, holder_id, qty_milli from lot_balance`
  const accounts = await tx.$queryRaw<{ item_id: string; holder_id: string; qty_milli: bigint; value_cents: bigint; layers: LayerRow[] }[]>`
    select item_id, holder_id, qty_milli, value_cents, layers from stock_account`
  const charges = await tx.$queryRaw<{ build_id: string; cents: bigint }[]>`select build_id, -sum(value_cents)::bigint as cents from stock_entry where build_id is not null group by build_id`
  const stored = {
    balances: balances.map((b): StoredBalance => ({ lotId: b.lot_id, holder: holder(b.holder_id), qty: milli(Number(b.qty_milli)) })),
    pools: accounts.map((a): StoredPool => ({ itemId: a.item_id, holder: holder(a.holder_id), qty: milli(Number(a.qty_milli)), value: cents(Number(a.value_cents)), layers: a.layers })),
    charges: charges.map((c) => ({ buildId: c.build_id, value: cents(Number(c.cents)) })),
  }
  const replayed = end(stored)
  const words = await wordsFor(tx)
  return { entries: replayed.entries, lots: replayed.balances.length, accounts: replayed.pools.length, builds: replayed.charges.length, faults: replayed.disagreements.map(words) }
}

const holder = (id: string): string | null => (id === CLUB_HOLDER ? null : id)

const toCore = (row: Row): EntryRow => ({
  id: row.id, seq: Number(row.seq), kind: row.kind, itemId: row.item_id, lotId: row.lot_id, holder: holder(row.holder_id), qty: milli(Number(row.qty_milli)), value: cents(row.value_cents),
  buildId: row.build_id, reversesId: row.reverses_id, ofEntryId: row.of_entry_id, moveId: row.move_id, rule: row.rule,
})

/** A disagreement in words that lead to its rows. */
async function wordsFor(tx: Tx): Promise<(fault: Disagreement) => string> {
  const items = new Map((await tx.item.findMany({ select: { id: true, name: true, unit: true } })).map((i) => [i.id, i]))
  const lots = new Map((await tx.lot.findMany({ select: { id: true, number: true, itemId: true } })).map((l) => [l.id, l]))
  const holders = new Map((await tx.holder.findMany({ select: { id: true, member: { select: { name: true } } } })).map((h) => [h.id, h.member?.name ?? 'a former member']))
  const whose = (id: string | null) => (id === null ? 'the club' : (holders.get(id) ?? id))
  const lot = (id: string) => `lot ${lots.get(id)?.number ?? id} (${items.get(lots.get(id)?.itemId ?? '')?.name ?? 'item unknown'})`
  const item = (id: string) => items.get(id)?.name ?? id
  return (f) => {
    const entry = 'seq' in f ? `entry ${f.seq} (${f.id})` : ''
    switch (f.kind) {
      case 'out-of-order': return `${entry} stands after entry ${f.after}`
      case 'twice': return `${entry} is there twice`
      case 'lot-of-another-item': return `${entry} is of ${lot(f.lotId)}, which is another item’s`
      case 'wrong-entry': return `${entry} is about an entry that does not fit it (${f.of ?? 'none'})`
      case 'wrong-sign': return `${entry} goes the wrong way`
      case 'refused': return `${entry} could not have been booked: ${refusalWords(f.refusal, items.get(f.itemId)?.unit ?? 'g')}`
      case 'quantity': return `${entry} says ${f.booked} thousandths, replayed ${f.replayed}`
      case 'value': return `${entry} says ${f.booked} cents, replayed ${f.replayed}`
      case 'unpaired': return `transfer ${f.moveId} has not two halves that agree`
      case 'balance': return `${lot(f.lotId)} of ${whose(f.holder)}: kept ${f.stored} thousandths, replayed ${f.replayed}`
      case 'pool-quantity': return `${item(f.itemId)} of ${whose(f.holder)}: kept ${f.stored} thousandths, replayed ${f.replayed}`
      case 'pool-value': return `${item(f.itemId)} of ${whose(f.holder)}: kept ${f.stored} cents, replayed ${f.replayed}`
      case 'pool-layers': return `${item(f.itemId)} of ${whose(f.holder)}: kept in layers ${JSON.stringify(f.stored)}, replayed ${JSON.stringify(f.replayed)}`
      case 'charge': return `build ${f.buildId}: charged ${f.stored} cents, replayed ${f.replayed}`
    }
  }
}
