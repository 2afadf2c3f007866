import type { ChargesPageModel, NamedLine } from '../../src/features/builds/queries/charges.ts'
import {
  Breadcrumb, Button, ButtonLink, ButtonRow, Empty, ErrorSummary, Field, Form, format, Layout, Notice, plural, RadioRow, Sheet, Table, usePage, When, type FormRefusal,
} from '../shared/index.ts'
import { SHARED_WORDS } from './_charge-words.ts'

export type ChargesPageProps = ChargesPageModel & { digest: string; refusal?: FormRefusal; form?: 'settle' | 'rule' }

/** What builds and members owe for material since the last settlement, and settling it. */
export function ChargesPage({ open, settlements, digest, refusal, form }: ChargesPageProps) {
  const { club } = usePage()
  const money = (cents: number) => format.money(cents, club)
  const { shared } = open
  const weightWords = (w: number) => (shared.isEqualInstead || shared.by === 'equal' ? '1 share' : shared.by === 'hours' ? `${format.number(w / 60, club, 1)} h` : money(w))
  return (
    <Layout title="Charges" section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      <p>
        {open.since === null ? 'Since the book was begun' : <>Since the settlement of <When at={open.since} /></>}: {plural(open.entries, 'entry', 'entries')}, <b>{money(open.totalCents)}</b> in all.
      </p>
      {open.entries === 0 && !shared.isUnspread ?
        <>
          {form === 'settle' && refusal && <ErrorSummary refusal={refusal} />}
          <Empty>Nothing is to be settled: every draw so far is, or none was made.</Empty>
        </>
      : (
        <Sheet title="To settle" actions={<><ButtonLink href="/stores/charges/totals.csv">Totals as CSV</ButtonLink><ButtonLink href="/stores/charges/entries.csv">Entries as CSV</ButtonLink></>}>
          <LineTable caption="Builds" lines={open.builds} href={(l) => `/builds/${l.buildId}/costs`} isBuilds />
          <LineTable caption="Members" lines={open.members} />
          <p>All together: <b>{money(open.totalCents)}</b>. What a build takes from a member’s own stock it owes that member: it is charged to her and credited to them. What a member takes of their own for themselves is owed to nobody.</p>
          <Form action="/stores/charges" hidden={{ upTo: String(open.upTo), digest }} refusal={form === 'settle' ? refusal : null} label="Settle">
            <Field name="note" label="Note" maxLength={500} size="full" required={false} hint="For the treasurer" />
            <Button>Settle these charges</Button>
          </Form>
          <p class="quiet">Marks the entries as settled, all or none. One that is reversed later comes into the next settlement as a credit.</p>
        </Sheet>
      )}
      <Sheet title="Shared use">
        <p>
          Draws without a build and without a member (gloves, rollers): {plural(shared.entries, 'entry', 'entries')}, {money(shared.cents)}, spread {SHARED_WORDS[shared.by]}, to the cent: each gets its exact share rounded down,
          and the odd cents go to the largest remainders. What is drawn for a build or a member is theirs. Write-offs and stocktake differences are the club’s own.
        </p>
        {shared.isEqualInstead && shared.entries > 0 && <Notice><p>{shared.by === 'hours' ? 'No hours were logged since the last settlement' : 'No build has charges of its own'}, so it is spread equally over the builds under way.</p></Notice>}
        {shared.isUnspread && <Notice kind="care"><p>No build is under way to bear it: it stays open until one is.</p></Notice>}
        {open.weights.length > 0 && shared.entries > 0 && (
          <Table
            caption="How it is spread" rows={open.weights} rowKey={(w) => w.buildId}
            columns={[
              { key: 'name', heading: 'Build', cell: (w) => w.name },
              { key: 'weight', heading: shared.isEqualInstead || shared.by === 'equal' ? 'Counts' : shared.by === 'hours' ? 'Worked' : 'Own charges', numeric: true, cell: (w) => weightWords(w.weight) },
              { key: 'cents', heading: 'Share', numeric: true, cell: (w) => money(w.cents) },
            ]}
          />
        )}
        <Form action="/stores/charges/rule" layout="row" refusal={form === 'rule' ? refusal : null} label="The rule">
          <RadioRow name="sharedBy" legend="Spread shared use" value={shared.by} options={[{ value: 'hours', label: 'by hours worked' }, { value: 'equal', label: 'equally' }, { value: 'charges', label: 'by own charges' }]} />
          <Button kind="plain">Change the rule</Button>
        </Form>
      </Sheet>
      <Sheet title="Settlements">
        <Table
          caption="The latest first" rows={settlements} rowKey={(s) => s.id} empty="None yet."
          columns={[
            { key: 'number', heading: 'Settlement', cell: (s) => <a href={`/stores/charges/${s.id}`}>Settlement {s.number}</a> },
            { key: 'at', heading: 'Made', cell: (s) => <When at={s.at} /> },
            { key: 'by', heading: 'By', cell: (s) => s.by },
            { key: 'cents', heading: 'Sum', numeric: true, cell: (s) => money(s.cents) },
          ]}
        />
        <ButtonRow><ButtonLink href="/stores/value">What the stock is worth</ButtonLink><ButtonLink href="/stores/cost-rule">Costing rule</ButtonLink></ButtonRow>
      </Sheet>
    </Layout>
  )
}

function LineTable({ caption, lines, href, isBuilds = false }: { caption: string; lines: readonly NamedLine[]; href?: (l: NamedLine) => string; isBuilds?: boolean }) {
  const { club } = usePage()
  const money = (cents: number) => format.money(cents, club)
  const hasStock = lines.some((l) => l.membersCents !== 0)
  const extra = isBuilds ?
    { key: 'shared', heading: 'Shared use', numeric: true, cell: (l: NamedLine) => money(l.sharedCents) }
  : { key: 'credit', heading: 'Owed to them', numeric: true, cell: (l: NamedLine) => money(l.creditCents) }
  return (
    <Table
      caption={caption} rows={lines} rowKey={(l) => l.buildId ?? l.memberId ?? ''} empty={isBuilds ? 'No build has charges.' : 'No member has charges.'}
      columns={[
        { key: 'name', heading: isBuilds ? 'Build' : 'Member', cell: (l) => (href ? <a href={href(l)}>{l.name}</a> : l.name) },
        { key: 'club', heading: isBuilds ? 'Club’s stock' : 'Own use and bought', numeric: true, cell: (l) => money(l.clubCents) },
        ...(hasStock ? [{ key: 'members', heading: 'Members’ own stock', numeric: true, cell: (l: NamedLine) => money(l.membersCents) }] : []),
        extra,
        { key: 'total', heading: 'Together', numeric: true, cell: (l) => <b>{money(l.totalCents)}</b> },
      ]}
      stack
    />
  )
}
