import type { ChargeEntry, SettlementPageModel } from '../../src/features/builds/queries/charges.ts'
import { Breadcrumb, ButtonLink, ButtonRow, format, Layout, plural, PrintSheet, Table, usePage, When } from '../shared/index.ts'
import { ChargeTable } from './_charge-table.tsx'
import { SHARED_WORDS } from './_charge-words.ts'

/** A settlement for the treasurer: prints on its own. */
export function SettlementPage({ number, at, since, by, note, sharedBy, lines, entries, totalCents, id, charges }: SettlementPageModel & { charges: readonly ChargeEntry[] }) {
  const { club } = usePage()
  const money = (cents: number) => format.money(cents, club)
  const sum = (pick: (l: (typeof lines)[number]) => number) => money(lines.reduce((n, l) => n + pick(l), 0))
  return (
    <Layout title={`Settlement ${number}`} section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, { href: '/stores/charges', text: 'Charges' }]} />}>
      <div class="no-print">
        <ButtonRow>
          <ButtonLink href={`/stores/charges/${id}/totals.csv`}>Totals as CSV</ButtonLink>
          <ButtonLink href={`/stores/charges/${id}/entries.csv`}>Entries as CSV</ButtonLink>
        </ButtonRow>
      </div>
      <PrintSheet lines={lines.length + 12 + Math.min(20, charges.length)}>
        <p>
          Made <When at={at} /> by {by}. Material {since === null ? 'since the book was begun' : <>since <When at={since} /></>}: {plural(entries, 'entry', 'entries')}, <b>{money(totalCents)}</b>.
          {' '}Shared use was spread {SHARED_WORDS[sharedBy]}.{note !== '' && ` ${note}`}
        </p>
        <Table
          caption="Who owes what; below nothing, it is owed to them" stack={false} rows={lines} rowKey={(l) => l.buildId ?? l.memberId ?? ''} empty="Nothing was owed."
          columns={[
            { key: 'who', heading: 'Build or member', cell: (l) => l.name },
            { key: 'own', heading: 'Own', numeric: true, cell: (l) => money(l.ownCents) },
            { key: 'shared', heading: 'Shared use', numeric: true, cell: (l) => money(l.sharedCents) },
            { key: 'total', heading: 'Together', numeric: true, cell: (l) => <b>{money(l.totalCents)}</b> },
          ]}
          foot={<tr><th scope="row">All</th><td class="numeric">{sum((l) => l.ownCents)}</td><td class="numeric">{sum((l) => l.sharedCents)}</td><td class="numeric">{money(totalCents)}</td></tr>}
        />
        <ChargeTable entries={charges} caption={entries > charges.length ? `The first ${charges.length} entries; all are in the list` : 'The entries'} />
      </PrintSheet>
    </Layout>
  )
}
