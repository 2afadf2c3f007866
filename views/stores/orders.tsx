import type { OrdersModel } from '../../src/features/stores/queries/orders.ts'
import { Breadcrumb, ButtonLink, ButtonRow, Empty, format, Layout, Sheet, Table, Tag, usePage } from '../shared/index.ts'
import { dayText } from './keep-words.ts'

const STATE_WORDS = { open: 'under way', received: 'done', cancelled: 'called off' } as const

export function OrdersPage({ open, done, today }: OrdersModel & { today: string }) {
  const page = usePage()
  const { club } = page
  const mayKeep = page.may('stores.keep')
  return (
    <Layout title="Orders" section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      <ButtonRow>
        {mayKeep && <ButtonLink href="/stores/orders/new" kind="main">New order</ButtonLink>}
        <ButtonLink href="/stores/buying">What must be bought</ButtonLink>
        <ButtonLink href="/stores/suppliers">Suppliers</ButtonLink>
      </ButtonRow>
      <Sheet title="Under way">
        {open.length === 0 ? <Empty>Nothing is on order.</Empty> : (
          <Table
            caption="By the day they are expected" quietCaption rows={open} rowKey={(o) => o.id}
            columns={[
              { key: 'number', heading: 'Order', cell: (o) => <a href={`/stores/orders/${o.id}`}>{o.number}</a> },
              { key: 'supplier', heading: 'From', cell: (o) => o.supplier ?? '–' },
              { key: 'items', heading: 'What', cell: (o) => o.items.join(', ') },
              { key: 'expected', heading: 'Expected', cell: (o) => <>{dayText(o.expectedOn, club)}{o.expectedOn < today && <> <Tag>ask the supplier</Tag></>}</> },
              { key: 'price', heading: 'Price', numeric: true, cell: (o) => format.money(o.priceCents, club) },
              { key: 'receive', heading: <span class="hidden">What to do</span>, cell: (o) => page.may('stores.book') && <a href={`/stores/receive?order=${o.id}`}>It came<span class="hidden">: order {o.number}</span></a> },
            ]}
          />
        )}
      </Sheet>
      {done.length > 0 && (
        <Sheet title="Done">
          <Table
            caption="Newest first" quietCaption rows={done} rowKey={(o) => o.id}
            columns={[
              { key: 'number', heading: 'Order', cell: (o) => <a href={`/stores/orders/${o.id}`}>{o.number}</a> },
              { key: 'supplier', heading: 'From', cell: (o) => o.supplier ?? '–' },
              { key: 'items', heading: 'What', cell: (o) => o.items.join(', ') },
              { key: 'state', heading: 'State', cell: (o) => STATE_WORDS[o.state] },
              { key: 'price', heading: 'Price', numeric: true, cell: (o) => format.money(o.priceCents, club) },
            ]}
          />
        </Sheet>
      )}
    </Layout>
  )
}
