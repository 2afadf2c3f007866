import type { StoresModel } from '../../src/features/stores/queries/ledger-items.ts'
import { ButtonLink, ButtonRow, Button, Empty, Field, Form, format, Layout, Notice, plural, Sheet, Swatch, Table, usePage } from '../shared/index.ts'
import { ITEM_KIND_WORDS } from './keep-words.ts'
import { Amount, LotSwatch } from './ledger-parts.tsx'

type Item = StoresModel['items'][number]

/** Every item, what is there of it, and what waits for somebody. */
export function Stores({ search, items, hidden, awaiting, own, due }: StoresModel) {
  const page = usePage()
  const { club } = page
  const money = page.may('stores.money')
  const keeps = page.may('stores.keep')
  return (
    <Layout title="Stores" section="stores">
      <ButtonRow>
        {page.may('stores.book') && <ButtonLink href="/stores/receive" kind="main">Book a delivery in</ButtonLink>}
        <ButtonLink href="/stores/mix">Mix</ButtonLink>
        <ButtonLink href="/stores/outlook">What lies ahead</ButtonLink>
        <ButtonLink href="/stores/buying">Buying list</ButtonLink>
        <ButtonLink href="/stores/orders">Orders</ButtonLink>
        <ButtonLink href="/stores/own">My own stock</ButtonLink>
      </ButtonRow>
      {awaiting > 0 && page.may('stores.book') && (
        <Notice kind="care"><p>{plural(awaiting, 'difference')} weighed at the shelf {awaiting === 1 ? 'waits' : 'wait'} for your look. <a href="/stores/awaiting">See {awaiting === 1 ? 'it' : 'them'}</a></p></Notice>
      )}
      {due.length > 0 && (
        <Notice>
          <p>To be tested or thrown out: {due.map((lot, at) => <span key={lot.id}>{at > 0 && ', '}<a href={`/stores/lots/${lot.id}`}>lot {lot.number}</a> of {lot.itemName} <LotSwatch state={lot.state} /></span>)}</p>
        </Notice>
      )}
      <Sheet title="On the shelf" actions={keeps && <ButtonLink href="/stores/items/new">New item</ButtonLink>}>
        <Form action="/stores" method="get" layout="row" label="Find an item">
          <Field name="q" label="Find an item, a shelf, a supplier, a lot code" type="search" value={search} />
          <Button kind="plain">Find</Button>
        </Form>
        {items.length === 0 ? (
          <Empty action={keeps && search === '' && <ButtonLink href="/stores/items/new">Put in the first item</ButtonLink>}>{search === '' ? 'The stores are empty.' : `Nothing here is called “${search}”.`}</Empty>
        ) : (
          <Table<Item>
            caption={search === '' ? 'All items' : `Items found for “${search}”`} rows={items} rowKey={(i) => i.id} stack
            columns={[
              { key: 'name', heading: 'Item', cell: (i) => <><a href={`/stores/items/${i.id}`}>{i.name}</a>{!i.isActive && <span class="muted"> (given up)</span>}</> },
              { key: 'kind', heading: 'Kind', cell: (i) => ITEM_KIND_WORDS[i.kind] },
              { key: 'shelf', heading: 'Shelf', cell: (i) => i.shelf },
              { key: 'there', heading: 'There, fresh', numeric: true, cell: (i) => <><Amount milli={i.here.fresh} unit={i.unit} />{i.isLow && <> <Swatch state="open">below its safety stock</Swatch></>}</> },
              { key: 'other', heading: 'Besides', cell: (i) => <Besides item={i} /> },
              { key: 'coming', heading: 'On order', numeric: true, cell: (i) => (i.coming === 0 ? '' : <Amount milli={i.coming} unit={i.unit} />) },
              ...(money ? [{ key: 'value', heading: 'Value', numeric: true, cell: (i: Item) => (i.valueCents === 0 ? '' : format.money(i.valueCents, club)) }] : []),
              { key: 'do', heading: <span class="hidden">What to do</span>, cell: (i) => (i.here.total > 0 && page.may('stores.draw') ? <a href={`/stores/items/${i.id}/draw`}>Draw<span class="hidden"> {i.name}</span></a> : '') },
            ]}
            foot={money && <tr><th scope="row" colSpan={6}>All together</th><td class="numeric">{format.money(items.reduce((sum, i) => sum + i.valueCents, 0), club)}</td><td /></tr>}
          />
        )}
        {hidden > 0 && <p class="muted">{plural(hidden, 'item')} given up and empty {hidden === 1 ? 'is' : 'are'} left out.</p>}
      </Sheet>
      <Sheet title="More">
        <ul class="plain">
          {own > 0 && <li><a href="/stores/own">Your own stock here: {plural(own, 'lot')}</a></li>}
          <li><a href="/stores/trace">Trace a lot, a batch or a build</a></li>
          <li><a href="/stores/cure-products">Cure products and their data sheets</a></li>
          <li><a href="/stores/suppliers">Suppliers</a></li>
          <li><a href="/stores/labels">Shelf labels</a></li>
          {page.may('stores.book') && <li><a href="/stores/count">Take stock</a></li>}
          {page.may('stores.book') && <li><a href="/stores/slip">Type a day’s paper slip in</a></li>}
          <li><a href="/stores/charges/own">What I owe for material, and am owed</a></li>
          {page.may('stores.money') && <li><a href="/stores/charges">Charges and settlements</a></li>}
          {keeps && <li><a href="/stores/import">Import and export</a></li>}
        </ul>
      </Sheet>
    </Layout>
  )
}

function Besides({ item: { here, unit } }: { item: Item }) {
  const discard = here.total - here.fresh - here.notStructural - here.testFirst
  const parts = [[here.notStructural, 'not_structural'], [here.testFirst, 'test_first'], [discard, 'discard']] as const
  return <>{parts.filter(([milli]) => milli > 0).map(([milli, state]) => <span key={state}><Amount milli={milli} unit={unit} /> <LotSwatch state={state} /> </span>)}</>
}
