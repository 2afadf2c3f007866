import type { Ahead } from '../../src/features/planning/outlook.ts'
import type { OutlookPage, SystemView } from '../../src/features/planning/queries/outlook.ts'
import { Breadcrumb, ButtonLink, ButtonRow, Empty, Layout, Notice, Sheet, Table, type Column } from '../shared/index.ts'
import { ItemLink, Marks } from './stock-parts.tsx'
import { useStockWords } from './use-stock-words.ts'
import { mixableWords, much, outlookSentence, systemRunOut, sentence, type StockWords } from './words.ts'

/** All items over the coming weeks: what is there and on order, what the plan asks for, what runs out, and by when to order. */
export function StockOutlookPage(data: OutlookPage) {
  const w = useStockWords(data)
  return (
    <Layout title="Stores ahead" section="stores" wide live={['plan']} above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      <ButtonRow>
        <ButtonLink href="/stores/buying" kind="main">Buying list</ButtonLink>
        <ButtonLink href="/stores/orders">Orders</ButtonLink>
      </ButtonRow>
      {!data.hasPlan && <Notice><p>The work plan is being worked out: what its tasks ask for is not in this yet.</p></Notice>}
      <p class="lead">{outlookSentence(w, data.items, data.until)}</p>
      <p class="muted">
        What a task takes is counted on the day on which the plan would do it if all material were there, so that a shortage shows on the day on which it would stop the work.
        What must be tested first does not count until somebody has tested it; what members own is theirs.
      </p>
      {data.items.length === 0
        ? <Empty action={<ButtonLink href="/stores/items/new" kind="main">Enter an item</ButtonLink>}>Nothing is in the stores and nothing is asked for.</Empty>
        : <Table caption={`Items up to ${w.times.day(data.until)}, the most urgent first`} columns={columns(w)} rows={data.items} rowKey={(a) => a.item.id} />}
      {data.systems.length > 0 && <Systems systems={data.systems} w={w} />}
    </Layout>
  )
}

const columns = (w: StockWords): Column<Ahead>[] => [
  { key: 'item', heading: 'Item', cell: (a) => <ItemLink a={a} />, isName: true },
  { key: 'there', heading: 'There', cell: (a) => <>{much(w, a.item, a.there.fresh + a.there.notStructural)}{a.there.notStructural > 0 && <span class="quiet"> ({much(w, a.item, a.there.notStructural)} not for structure)</span>}</> },
  { key: 'order', heading: 'On order', cell: (a) => (a.onOrder > 0 ? much(w, a.item, a.onOrder) : '–') },
  { key: 'needed', heading: 'Plan asks for', cell: (a) => <>{a.needed > 0 ? much(w, a.item, a.needed) : '–'}{a.undated > 0 && <span class="quiet"> and {much(w, a.item, a.undated)} without a day</span>}</> },
  { key: 'marks', heading: 'Runs out, order by', cell: (a) => <Marks w={w} a={a} /> },
]

function Systems({ systems, w }: { systems: readonly SystemView[]; w: StockWords }) {
  const columns: Column<SystemView>[] = [
    { key: 'name', heading: 'System', cell: (s) => <a href={`/stores/cure-products/${s.productId}`}>{s.name}</a>, isName: true },
    { key: 'parts', heading: 'Its parts', cell: (s) => <><ItemLink a={s.resin} /> and <ItemLink a={s.hardener} /></> },
    { key: 'mix', heading: 'Can be mixed now', cell: (s) => mixableWords(w, s) },
    { key: 'out', heading: 'Runs out', cell: (s) => sentence(systemRunOut(w, s.resin, s.hardener) ?? 'covered') },
  ]
  return (
    <Sheet title="Systems">
      <p>A shortage of one part is a shortage of the system: what is there of the other can’t be used without it.</p>
      <Table caption="Systems and what limits them" quietCaption columns={columns} rows={systems} rowKey={(s) => s.productId} />
    </Sheet>
  )
}
