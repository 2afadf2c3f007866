import type { Loan, OwnModel } from '../../src/features/stores/queries/ledger-items.ts'
import { ButtonLink, ButtonRow, Breadcrumb, Layout, Sheet, Table, usePage } from '../shared/index.ts'
import { dayText } from './keep-words.ts'
import { Amount, EntryTable, LotSwatch } from './ledger-parts.tsx'

/** A member's own stock beside the club's, what is lent either way, and what is on their account. */
export function OwnStock({ lots, loans, entries, all }: OwnModel & { all: readonly Loan[] | null }) {
  const { club } = usePage()
  return (
    <Layout title="My own stock" section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      <ButtonRow><ButtonLink href="/stores/receive?own=1" kind="main">Bring own stock</ButtonLink></ButtonRow>
      <Sheet title="What is mine here">
        <Table
          caption="By lot, first expired first" rows={lots} rowKey={(l) => l.id} stack
          empty="Nothing here is yours. What you bring is kept apart from the club’s, and nobody is charged for it."
          columns={[
            { key: 'item', heading: 'Item', cell: (l) => <a href={`/stores/items/${l.itemId}`}>{l.itemName}</a> }, { key: 'lot', heading: 'Lot', cell: (l) => <a href={`/stores/lots/${l.id}`}>{l.number}</a> },
            { key: 'state', heading: 'State', cell: (l) => <LotSwatch state={l.state} /> }, { key: 'mine', heading: 'Mine', numeric: true, cell: (l) => <Amount milli={l.mine} unit={l.unit} /> },
            { key: 'day', heading: 'Good until', cell: (l) => (l.lastDay === null ? 'no date known' : dayText(l.lastDay, club)) },
            { key: 'do', heading: <span class="hidden">What to do</span>, cell: (l) => <><a href={`/stores/items/${l.itemId}/draw?from=own&lot=${l.id}`}>Use<span class="hidden"> {l.itemName}</span></a> · <a href={`/stores/items/${l.itemId}/transfer?lot=${l.id}`}>Lend<span class="hidden"> {l.itemName}</span></a></> },
          ]}
        />
      </Sheet>
      <Sheet title="Lent">
        <LoanTable loans={loans} caption="Between the club and me" empty="Nothing is lent either way." />
      </Sheet>
      {all && <Sheet title="Loans of the whole club"><LoanTable loans={all} caption="By member and item" empty="Nothing is lent either way." member /></Sheet>}
      <Sheet title="My entries">
        <EntryTable entries={entries} caption="On my own stock and on my account, the newest first" then="/stores/own" item />
      </Sheet>
    </Layout>
  )
}

function LoanTable({ loans, caption, empty, member = false }: { loans: readonly Loan[]; caption: string; empty: string; member?: boolean }) {
  return (
    <Table
      caption={caption} rows={loans} rowKey={(l) => `${l.memberId}-${l.itemId}`} empty={empty} stack
      columns={[
        ...(member ? [{ key: 'member', heading: 'Member', cell: (l: Loan) => l.member }] : []),
        { key: 'item', heading: 'Item', cell: (l) => <a href={`/stores/items/${l.itemId}`}>{l.item}</a> },
        { key: 'way', heading: 'Who has to give back', cell: (l) => (l.milli > 0 ? 'the club' : 'the member') },
        { key: 'amount', heading: 'Outstanding', numeric: true, cell: (l) => <Amount milli={Math.abs(l.milli)} unit={l.unit} /> },
      ]}
    />
  )
}
