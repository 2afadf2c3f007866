import type { TraceModel } from '../../src/features/stores/queries/ledger-lots.ts'
import { Breadcrumb, Button, Field, Form, Layout, SelectField, Sheet, Table, When } from '../shared/index.ts'
import { LotTable } from './item.tsx'
import { Amount } from './ledger-parts.tsx'

/** From a lot or a batch to what it went into, and from a build back to its lots. */
export function Trace({ search, builds, build, isAsked, lots, batches, into }: TraceModel) {
  return (
    <Layout title="Trace" section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      <Sheet title="What are you looking for">
        <Form action="/stores/trace" method="get" label="By lot or batch">
          <Field name="q" label="A number on a can or a cup, a supplier’s code, an item" type="search" value={search} />
          <Button>Find</Button>
        </Form>
        {builds.length > 0 && (
          <Form action="/stores/trace" method="get" label="By build">
            <SelectField name="build" label="Or everything that went into a build" options={builds.map((b) => ({ value: b.id, label: b.name }))} value={build?.id ?? ''} blank="Choose" />
            <Button>Show</Button>
          </Form>
        )}
      </Sheet>
      {isAsked && (
        <Sheet title="Found">
          <LotTable lots={lots} caption={`Lots for “${search}”: open one to see where it went`} item />
          {batches.length > 0 && (
            <Table
              caption="Batches" rows={batches} rowKey={(b) => b.id} stack
              columns={[
                { key: 'n', heading: 'Batch', cell: (b) => <a href={`/stores/batches/${b.id}`}>{b.number}</a> }, { key: 'p', heading: 'Of', cell: (b) => b.product.name },
                { key: 'at', heading: 'Mixed', cell: (b) => <When at={b.mixedAt} /> }, { key: 'b', heading: 'For', cell: (b) => b.build?.name ?? '' },
              ]}
            />
          )}
        </Sheet>
      )}
      {build && (
        <Sheet title={`What went into ${build.name}`}>
          <Table
            caption="By task, item and lot, less what came back" rows={into} rowKey={(r) => r.key} empty="Nothing of the stores went into it yet." stack
            columns={[
              { key: 'task', heading: 'Task', cell: (r) => (r.task ? <a href={`/builds/${build.id}/tasks/${r.task.id}`}>{r.task.name}</a> : 'no task') },
              { key: 'item', heading: 'Item', cell: (r) => <a href={`/stores/items/${r.itemId}`}>{r.itemName}</a> }, { key: 'lot', heading: 'Lot', cell: (r) => <a href={`/stores/lots/${r.lotId}`}>{r.lotNumber}</a> },
              { key: 'batch', heading: 'Batch', cell: (r) => r.batchNumber ?? '' }, { key: 'amount', heading: 'Amount', numeric: true, cell: (r) => <Amount milli={r.milli} unit={r.unit} /> },
            ]}
          />
        </Sheet>
      )}
    </Layout>
  )
}
