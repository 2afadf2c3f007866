import type { LotModel } from '../../src/features/stores/queries/ledger-lots.ts'
import {
  Breadcrumb, Button, Caution, DateField, DefinitionRows, Field, Form, format, Layout, NumberField, RadioRow, Sheet, Table, TextArea, usePage, When, type FormRefusal, type Typed,
} from '../shared/index.ts'
import { LabelElements } from '../shared/label.tsx'
import { dayText } from './keep-words.ts'
import { Amount, EntryTable, LotSwatch, SKIN } from './ledger-parts.tsx'

export type LotPageProps = LotModel & { form?: 'lot' | 'test'; refusal?: FormRefusal; typed?: Typed }

/** One delivery: its state, what a person found out about it, and everything it went into. */
export function LotPage({ lot, item, tests, values, entries, went, form, refusal, typed }: LotPageProps) {
  const page = usePage()
  const { club } = page
  const at = `/stores/lots/${lot.id}`
  const sent = (which: 'lot' | 'test') => (form === which ? { refusal, typed } : {})
  const money = page.may('stores.money')
  return (
    <Layout title={`Lot ${lot.number}: ${lot.itemName}`} section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, { href: `/stores/items/${lot.itemId}`, text: lot.itemName }]} />}>
      <LabelElements parts={[item]} />
      {SKIN[item.kind] && <Caution>{SKIN[item.kind]}</Caution>}
      <Sheet title="The lot">
        <DefinitionRows
          rows={[
            ['State', <LotSwatch state={lot.state} />],
            ['The club’s', <Amount milli={lot.clubMilli} unit={lot.unit} />],
            ...lot.held.map((h) => [`${h.name}’s own`, <Amount milli={h.milli} unit={lot.unit} />] as const),
            ['Good until', lot.lastDay === null ? 'no date known: drawn last' : dayText(lot.lastDay, club)],
            ['Came', dayText(lot.receivedOn, club)], ['Opened', lot.openedOn === null ? null : dayText(lot.openedOn, club)],
            ['Supplier', lot.supplier], ['Supplier’s code', lot.code], ['Empty can', lot.tareMg === null ? null : <Amount milli={lot.tareMg} unit="g" />], ['Note', lot.note],
          ]}
        />
      </Sheet>
      <Sheet title="Where it went">
        <Table
          caption="By build, task and batch, less what came back" rows={went} rowKey={(w) => w.key} empty="Nothing of it was drawn yet." stack
          columns={[
            { key: 'where', heading: 'Into', cell: (w) => (w.build === 'hidden' ? 'a build that only its team sees' : w.build ? <a href={`/builds/${w.build.id}`}>{w.build.name}</a> : w.chargedTo !== null ? `${w.chargedTo}’s own use` : 'club use') },
            { key: 'task', heading: 'Task', cell: (w) => (w.task && w.build !== 'hidden' && w.build ? <a href={`/builds/${w.build.id}/tasks/${w.task.id}`}>{w.task.name}</a> : '') },
            { key: 'batch', heading: 'Batch', cell: (w) => w.batchNumber ?? '' },
            { key: 'amount', heading: 'Amount', numeric: true, cell: (w) => <Amount milli={w.milli} unit={lot.unit} /> },
            ...(money ? [{ key: 'value', heading: 'Cost', numeric: true, cell: (w: (typeof went)[number]) => format.money(w.cents, club) }] : []),
            { key: 'last', heading: 'Last', cell: (w) => dayText(w.last, club) },
          ]}
        />
      </Sheet>
      <Sheet title="Tests">
        <Table
          caption="What people found out" rows={tests} rowKey={(t) => t.id} empty="Nobody has tested it." stack
          columns={[
            { key: 'at', heading: 'When', cell: (t) => <When at={t.at} /> }, { key: 'by', heading: 'By', cell: (t) => t.member.name }, { key: 'found', heading: 'Found', cell: (t) => t.found },
            { key: 'state', heading: 'Since then', cell: (t) => <LotSwatch state={t.state} /> }, { key: 'until', heading: 'Good until', cell: (t) => (t.expiresOn === null ? '' : dayText(t.expiresOn, club)) },
          ]}
        />
        {page.may('stores.keep') && (
          <Form action={`${at}/test`} {...sent('test')} label="A test’s result">
            <Caution defers="Follow the maker’s data sheet: where it says otherwise, it counts.">
              <p>For resin past its date, trade practice is a test cup of 100 g at 22 °C: it should gel and set as the data sheet says. Then it is used where nothing bears load, and no more. 100 g in a cup gets hot enough to smoke: outside, on something that can’t burn, never left alone.</p>
            </Caution>
            <TextArea name="found" label="What was found" rows={2} />
            <RadioRow
              name="state" legend="It is good for"
              options={[{ value: 'not_structural', label: 'what bears no load' }, { value: 'fresh', label: 'everything (the data sheet allows it)' }, { value: 'test_first', label: 'nothing until it is tested' }, { value: 'discard', label: 'nothing: discard' }]}
            />
            <DateField name="expiresOn" label="Good until" hint="Where a fresh lot is past its date: how long the test vouches for it" />
            <Button>Write it down</Button>
          </Form>
        )}
      </Sheet>
      {page.may('stores.keep') && (
        <Sheet title="Put right">
          <Form action={at} version={Number(values['version'])} {...sent('lot')} label="The lot">
            <Field name="code" label="Supplier’s code" value={values['code']} maxLength={80} />
            <DateField name="expiresOn" label="Good until (unopened)" value={values['expiresOn']} />
            <DateField name="openedOn" label="Opened on" value={values['openedOn']} hint="Set by the first draw" />
            <NumberField name="tare" label="The empty can with its lid" value={values['tare']} unit="g" hint="So that a can can be weighed as it stands" />
            <Field name="note" label="Note" value={values['note']} size="full" maxLength={500} />
            <Button>Save</Button>
          </Form>
        </Sheet>
      )}
      <Sheet title="Entries">
        <EntryTable entries={entries} caption="The newest first" then={at} />
      </Sheet>
    </Layout>
  )
}
