import type { ChargeEntry } from '../../src/features/builds/queries/charges.ts'
import { format, Table, usePage, When } from '../shared/index.ts'
import { KIND_WORDS } from './_charge-words.ts'

/** Entries behind a charge, in booking order. */
export function ChargeTable({ entries, caption, empty, sign = (e) => e.cents }: { entries: readonly ChargeEntry[]; caption: string; empty?: string; sign?: (e: ChargeEntry) => number }) {
  const { club } = usePage()
  return (
    <Table
      caption={caption} rows={entries} rowKey={(e) => e.id} {...(empty === undefined ? {} : { empty })}
      columns={[
        { key: 'at', heading: 'Booked', cell: (e) => <a href={`/stores/entries/${e.id}`}><When at={e.at} as="day" /></a> },
        { key: 'what', heading: 'What', cell: (e) => <>{e.item.name}, lot {e.lot}<span class="quiet"> ({KIND_WORDS[e.kind] ?? e.kind})</span></> },
        { key: 'amount', heading: 'Amount', numeric: true, cell: (e) => format.stockAmount(e.milli, e.item.unit, club) },
        { key: 'who', heading: 'For', cell: (e) => <>{e.build ?? e.member ?? 'shared'}{e.task !== null && `, ${e.task}`}{e.owner !== null && <span class="quiet"> (stock of {e.owner})</span>}</> },
        { key: 'cents', heading: 'Charge', numeric: true, cell: (e) => format.money(sign(e), club) },
        { key: 'why', heading: 'Why, by', cell: (e) => [e.why, e.by].filter((t) => t !== '').join('; ') },
      ]}
    />
  )
}
