import type { ValueLine } from '../../src/features/stores/queries/value.ts'
import { Breadcrumb, Button, ButtonLink, DateField, Form, format, Layout, PrintSheet, Sheet, Table, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { dayText } from './keep-words.ts'

export type ValuePageProps = {
  lines: readonly ValueLine[]
  total: Pick<ValueLine, 'opening' | 'cameIn' | 'wentOut' | 'closing' | 'periodicCents'>
  from: string
  to: string
  rule: 'average' | 'fifo'
  refusal?: FormRefusal | undefined
  typed?: Typed | undefined
}

/** What the club's stock is worth at the end of a day, for the treasurer. */
export function ValuePage({ lines, total, from, to, rule, refusal, typed }: ValuePageProps) {
  const { club } = usePage()
  const money = (cents: number) => format.money(cents, club)
  const pair = (l: ValueLine, part: 'opening' | 'cameIn' | 'wentOut' | 'closing') => (
    <>{money(l[part].cents)}<br /><span class="quiet">{format.stockAmount(l[part].milli, l.unit, club)}</span></>
  )
  return (
    <Layout title="What the stock is worth" wide above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, { href: '/stores/charges', text: 'Charges' }]} />}>
      <div class="no-print">
        <Sheet title="Which days" actions={<ButtonLink href={`/stores/value.csv?from=${from}&to=${to}`}>As CSV</ButtonLink>}>
          <Form action="/stores/value" method="get" layout="row" refusal={refusal} typed={typed} label="Which days">
            <DateField name="from" label="From" value={from} />
            <DateField name="to" label="To the end of" value={to} />
            <Button kind="plain">Show</Button>
          </Form>
        </Sheet>
      </div>
      <PrintSheet lines={lines.length * 2 + 12}>
        <p>At the end of {dayText(to, club)} the club’s stock was worth <b>{money(total.closing.cents)}</b> as booked; by the average over the whole time from {dayText(from, club)} it would be {money(total.periodicCents ?? total.closing.cents)}.</p>
        <Table
          caption={`From ${dayText(from, club)} to ${dayText(to, club)}, as booked`} rows={lines} rowKey={(l) => l.itemId} empty="Nothing was in stock, and nothing was booked." stack={false}
          columns={[
            { key: 'name', heading: 'Item', cell: (l) => <a href={`/stores/items/${l.itemId}`}>{l.name}</a> },
            { key: 'opening', heading: 'At the beginning', numeric: true, cell: (l) => pair(l, 'opening') },
            { key: 'in', heading: 'Came in', numeric: true, cell: (l) => pair(l, 'cameIn') },
            { key: 'out', heading: 'Went out', numeric: true, cell: (l) => pair(l, 'wentOut') },
            { key: 'closing', heading: 'At the end', numeric: true, cell: (l) => pair(l, 'closing') },
            { key: 'periodic', heading: 'By the average of the whole time', numeric: true, cell: (l) => (l.periodicCents === null ? '–' : money(l.periodicCents)) },
          ]}
          foot={
            <tr>
              <th scope="row">All</th>
              {[total.opening, total.cameIn, total.wentOut, total.closing].map((p, i) => <td key={i} class="numeric">{money(p.cents)}</td>)}
              <td class="numeric">{money(total.periodicCents ?? total.closing.cents)}</td>
            </tr>
          }
        />
        <p>
          As booked: each draw by the rule then in force (now {rule === 'average' ? 'the moving weighted average' : 'first in, first out'}), in the order in which things were booked, not by the day typed.
          The last column averages all that was there or came in over these days, and values what is left at it, not rounded in between; some treasurers close their year by it. Members’ own stock is not in here.
        </p>
      </PrintSheet>
    </Layout>
  )
}
