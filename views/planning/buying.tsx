import type { BuyGroup, BuyLine } from '../../src/features/planning/buying.ts'
import type { BuyingPage } from '../../src/features/planning/queries/buying.ts'
import { Breadcrumb, Button, ButtonLink, ButtonRow, CheckField, Empty, ErrorSummary, Form, format, Layout, Notice, NumberField, PrintSheet, SelectField, Sheet, Table, TickBox, usePage, type Column, type FormRefusal, type Typed } from '../shared/index.ts'
import { ItemLink } from './stock-parts.tsx'
import { useStockWords } from './use-stock-words.ts'
import { dateWords, list, much, orderWords, runOutWords, sentence, systemWords, type StockWords } from './words.ts'

const WEEKS = [4, 8, 13, 26, 52]

type Said = { readonly refusal: FormRefusal; readonly typed: Typed }

/** `badAsk`: how far ahead was asked for in a way that can't be. */
type BuyingProps = BuyingPage & { refusal?: FormRefusal; typed?: Typed; badAsk?: Said }

/** What must be ordered, by supplier, in packs; chosen lines become orders. */
export function BuyingListPage(data: BuyingProps) {
  const w = useStockWords(data)
  const page = usePage()
  const { groups, ask } = data
  const mayOrder = page.may('stores.keep')
  const lines = groups.flatMap((g) => g.lines)
  return (
    <Layout title="Buying list" section="stores" live={['plan']} above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, { href: '/stores/outlook', text: 'Ahead' }]} />}>
      <div class="no-print">
        <Form action="/stores/buying" method="get" layout="row" label="How far ahead" refusal={data.badAsk?.refusal} typed={data.badAsk?.typed}>
          <SelectField
            name="weeks" label="So that it lasts" value={ask.weeks ?? 'plan'}
            options={[{ value: 'plan', label: `to the end of the plan (${w.times.day(data.until)})` }, ...WEEKS.map((n) => ({ value: n, label: `${n} weeks` }))]}
          />
          <CheckField name="undated" label="also for work without a day in the plan" checked={ask.undated} />
          <Button kind="plain">Look</Button>
        </Form>
      </div>
      {!data.hasPlan && <Notice><p>The work plan is being worked out: what its tasks ask for is not in this yet.</p></Notice>}
      <p class="lead">{says(w, data, lines)}</p>
      {!ask.undated && data.undated.length > 0 && (
        <p class="muted">Not counted, because the plan has no day for that work yet: {list(data.undated.map((a) => `${much(w, a.item, a.undated)} ${a.item.name}`))}.</p>
      )}
      {data.refusal && lines.length === 0 && <ErrorSummary refusal={{ message: data.refusal.message }} />}
      {lines.length === 0
        ? <Empty action={<ButtonLink href="/stores/outlook">Stores ahead</ButtonLink>}>Nothing needs to be ordered.</Empty>
        : (
          <PrintSheet lines={lines.length * 2 + groups.length * 3} foot={<p>Never short, and less than one pack over what is missing. Prices as they were last entered.</p>}>
            <div class={mayOrder ? 'print-only' : undefined}>{groups.map((g) => <ListTable key={g.supplier?.id ?? ''} group={g} w={w} />)}</div>
            {mayOrder && <OrderForm data={data} w={w} />}
          </PrintSheet>
        )}
    </Layout>
  )
}

/** The list to read and to print. */
function ListTable({ group, w }: { group: BuyGroup; w: StockWords }) {
  const money = (cents: number) => format.money(cents, w.club ?? null)
  const columns: Column<BuyLine>[] = [
    { key: 'item', heading: 'Item', isName: true, cell: (l) => <><TickBox /> {l.ahead.item.name}</> },
    { key: 'packs', heading: 'Packs', cell: (l) => packWords(l) },
    { key: 'short', heading: 'Missing', cell: (l) => much(w, l.ahead.item, l.ahead.buy) },
    { key: 'all', heading: 'Bought', cell: (l) => (l.milli > 0 ? much(w, l.ahead.item, l.milli) : '–') },
    { key: 'by', heading: 'Order by', cell: (l) => (l.ahead.orderBy === null || l.ahead.isLate ? 'now' : dateWords(w, l.ahead.orderBy)) },
    { key: 'cost', heading: 'Cost', cell: (l) => (l.isPriced ? money(l.costCents) : 'not known') },
  ]
  return (
    <>
      <h2>{supplierName(group)}</h2>
      <Table caption={`To order from ${supplierName(group)}`} quietCaption columns={columns} rows={group.lines} rowKey={(l) => l.ahead.item.id} />
      <p><b>{totalWords(group)}: {money(group.costCents)}</b></p>
    </>
  )
}

const supplierName = ({ supplier }: BuyGroup): string => supplier?.name ?? 'No supplier entered'
const totalWords = ({ isPriced }: BuyGroup): string => (isPriced ? 'Together' : 'Together, as far as prices are known')
const packWords = ({ packs }: BuyLine): string =>
  packs.length === 0 ? 'no pack is entered' : list(packs.map((p) => `${p.count} × ${p.pack.name}${p.pack.orderCode ? ` (${p.pack.orderCode})` : ''}`))

function OrderForm({ data, w }: { data: BuyingProps; w: StockWords }) {
  const { groups, ask } = data
  return (
    <Form action="/stores/buying" refusal={data.refusal} typed={data.typed} label="Order" hidden={{ weeks: ask.weeks ?? 'plan', undated: ask.undated ? 'on' : '' }}>
      {groups.map((g) => <Group key={g.supplier?.id ?? ''} group={g} data={data} w={w} />)}
      {groups.some((g) => g.lines.some((l) => l.packs.length > 0)) && (
        <>
          <ButtonRow><Button>Order what is ticked</Button></ButtonRow>
          <p class="muted">This writes the orders down, one for each supplier and day of arrival, and the plan counts on them. Telling the supplier is still up to you.</p>
        </>
      )}
    </Form>
  )
}

function says(w: StockWords, data: BuyingPage, lines: readonly BuyLine[]): string {
  const until = w.times.day(data.horizon)
  if (lines.length === 0) return `What is there and on order lasts until ${until}, with the safety stock untouched.`
  const cost = data.groups.reduce((sum, g) => sum + g.costCents, 0)
  const unpriced = lines.filter((l) => !l.isPriced).length
  const all = format.money(cost, w.club ?? null)
  return `${lines.length === 1 ? 'One item is' : `${lines.length} items are`} to be ordered so that everything lasts until ${until}, for about ${all}${unpriced > 0 ? ` and ${unpriced} without a known price` : ''}.`
}

function Group({ group, data, w }: { group: BuyGroup; data: BuyingPage; w: StockWords }) {
  return (
    <Sheet title={group.supplier ? <a href={`/stores/suppliers/${group.supplier.id}`}>{group.supplier.name}</a> : supplierName(group)}>
      <ul class="buy-lines">{group.lines.map((l) => <Line key={l.ahead.item.id} line={l} data={data} w={w} />)}</ul>
      <p><b>{totalWords(group)}: {format.money(group.costCents, w.club ?? null)}</b></p>
    </Sheet>
  )
}

function Line({ line, data, w }: { line: BuyLine; data: BuyingPage; w: StockWords }) {
  const { ahead: a, packs } = line
  const { item } = a
  const parts = (data.parts.get(item.id) ?? []).flatMap((part) => systemWords(w, a, part) ?? [])
  const head = `${item.name}: ${much(w, item, a.buy)}`
  return (
    <li class="buy-line">
      {packs.length > 0 ? <CheckField name="pick" value={item.id} checked label={<b>{head}</b>} /> : <p><b>{head}</b></p>}
      {packs.length === 0 && <p>No pack of it is entered, so it can’t be ordered from here. <a href={`/stores/items/${item.id}/edit`}>Enter how it is sold</a></p>}
      {packs.length > 0 && (
        <p>
          <b>{packWords(line)}</b>: {much(w, item, line.milli)}{line.over > 0 && `, ${much(w, item, line.over)} over`}{line.isPriced && `, ${format.money(line.costCents, w.club ?? null)}`}.
        </p>
      )}
      {packs.map((p) => <NumberField key={p.pack.id} whole name={`packs_${p.pack.id}`} label={`Packs: ${item.name}, ${p.pack.name}`} value={p.count} />)}
      {packs.length > 0 && <input type="hidden" name={`short_${item.id}`} value={a.buy} />}
      <p class="muted">{sentence(whyWords(w, line))} <ItemLink a={a} /></p>
      {parts.map((part) => <p class="muted" key={part}>{part}</p>)}
    </li>
  )
}

function whyWords(w: StockWords, { ahead: a, why }: BuyLine): string {
  const order = orderWords(w, a) ?? ''
  const out = runOutWords(w, a)
  if (why === 'needs') return out ? `${out}; ${order}` : order
  if (why === 'safety') return `to keep its safety stock of ${much(w, a.item, a.item.safetyMilli)}; ${order}`
  return `what is there and on order (${much(w, a.item, a.reorder?.position ?? 0)}) is down to its reorder point of ${much(w, a.item, a.reorder?.point ?? 0)}; ordered today, it is here ${dateWords(w, a.arrives)}`
}
