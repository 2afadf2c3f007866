import type { Reader } from '../../../platform/database.ts'
import { isoDate } from '../../../platform/times.ts'
import type { RecordBatch, RecordLot } from './model.ts'

type Row = {
  lot: string; number: number; item: string; unit: string; code: string; supplier: string | null; received: Date; expires: Date | null
  milli: bigint; cents: bigint; first: Date; last: Date; paidMilli: bigint | null; paidCents: number | null
}

/** What of each lot went into her, less what came back; the receipt of the lot beside it. Without money where it is not for the reader. */
export async function lotsOf(db: Reader, buildId: string, withMoney: boolean): Promise<RecordLot[]> {
  const rows = await db.$queryRaw<Row[]>`
    select u.lot, l.number, i.name as item, i.unit::text as unit, l.code, s.name as supplier, l.received_on as received, l.expires_on as expires,
      u.milli, u.cents, u.first, u.last, r.qty_milli as "paidMilli", r.value_cents as "paidCents"
    from (
      select e.lot_id as lot, -sum(e.qty_milli)::bigint as milli, -sum(e.value_cents)::bigint as cents, min(e.on_date) as first, max(e.on_date) as last
      from stock_entry e where e.build_id = ${buildId}::uuid group by 1
    ) u join lot l on l.id = u.lot join item i on i.id = l.item_id left join supplier s on s.id = l.supplier_id
      left join lateral (
        select sum(x.qty_milli)::bigint as qty_milli, sum(x.value_cents)::int as value_cents from stock_entry x
        where x.lot_id = u.lot and x.kind = 'receipt' and not exists (select from stock_entry v where v.reverses_id = x.id)
      ) r on true
    where u.milli <> 0 or u.cents <> 0
    order by i.name, l.number`
  return rows.map((r) => ({
    lotId: r.lot, number: r.number, item: r.item, unit: r.unit, code: r.code, supplier: r.supplier, receivedOn: isoDate(r.received), expiresOn: r.expires && isoDate(r.expires),
    milli: Number(r.milli), cents: withMoney ? Number(r.cents) : null,
    paid: withMoney && r.paidMilli !== null && r.paidCents !== null ? { milli: Number(r.paidMilli), cents: r.paidCents } : null,
    firstOn: isoDate(r.first), lastOn: isoDate(r.last),
  }))
}

/** Mixings that went into her, oldest first; those taken back left out. */
export async function batchesOf(db: Reader, buildId: string): Promise<RecordBatch[]> {
  const rows = await db.batch.findMany({
    where: { buildId, entries: { some: { kind: 'draw', reversedBy: null } } },
    select: {
      number: true, mixedAt: true, massMg: true, ratio: true, product: { select: { name: true } }, task: { select: { name: true } },
      entries: { where: { kind: 'draw', reversedBy: null }, select: { lot: { select: { number: true, code: true } }, item: { select: { name: true } } }, orderBy: { seq: 'asc' } },
    },
    orderBy: [{ mixedAt: 'asc' }, { number: 'asc' }],
  })
  return rows.map((b) => ({
    number: b.number, at: b.mixedAt, product: b.product.name, massMg: Number(b.massMg), ratio: b.ratio, task: b.task?.name ?? null,
    lots: b.entries.map((e) => `${e.item.name}, lot ${e.lot.number}${e.lot.code === '' ? '' : ` (${e.lot.code})`}`),
  }))
}
