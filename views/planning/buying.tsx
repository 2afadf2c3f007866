import type { BuyGroup, BuyLine } from '../../src/features/planning/buying.ts'
import type { BuyingPage } from '../../src/features/planning/queries/buying.ts'
import { Breadcrumb, Button, ButtonLink, ButtonRow, CheckField, Empty, ErrorSummary, Form, format, Layout, Notice, NumberField, PrintSheet, SelectField, Sheet, usePage, type FormRefusal, type Typed } from '../shared/index.ts'
import { ItemLink } from './stock-parts.tsx'
import { useStockWords } from './use-stock-words.ts'
import { dateWords, list, much, orderWords, runOutWords, sentence, systemWords, type StockWords } from './words.ts'

const WEEKS = [4, 8, 13, 26, 52]

type Said = { readonly refusal: FormRefusal; readonly typed: Typed }

/** What must be ordered, by supplier, in packs; chosen lines become orders. `badAsk`: how far ahead was asked for in a way that can't be. */
export function BuyingListPage(data: BuyingPage & { refusal?: FormRefusal; typed?: Typed; badAsk?: Said }) {
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
          <PrintSheet lines={lines.length * 3 + groups.length * 3} foot={<p>Never short, and less than one pack over what is missing. Prices as they were last entered.</p>}>
            <Form
              action="/stores/buying" refusal={data.refusal} typed={data.typed} label="Order"
              hidden={{ weeks: ask.weeks ?? 'plan', undated: ask.undated ? 'on' : '' }}
            >
              {groups.map((g) => <Group key={g.supplier?.id ?? ''} group={g} data={data} w={w} mayOrder={mayOrder} />)}
              {mayOrder && lines.some((l) => l.packs.length > 0) && (
                <div class="no-print">
                  <ButtonRow><Button>Order what is ticked</Button></ButtonRow>
                  <p class="muted">This writes the orders down, one for each supplier and day of arrival, and the plan counts on them. Telling the supplier is still up to you.</p>
                </div>
              )}
            </Form>
          </PrintSheet>
        )}
    </Layout>
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

function Group({ group, data, w, mayOrder }: { group: BuyGroup; data: BuyingPage; w: StockWords; mayOrder: boolean }) {
  const { club } = usePage()
  return (
    <Sheet title={group.supplier ? <a href={`/stores/suppliers/${group.supplier.id}`}>{group.supplier.name}</a> : 'No supplier entered'}>
      <ul class="buy-lines">{group.lines.map((l) => <Line key={l.ahead.item.id} line={l} data={data} w={w} mayOrder={mayOrder} />)}</ul>
      <p><b>{group.isPriced ? 'Together' : 'Together, as far as prices are known'}: {format.money(group.costCents, club)}</b></p>
    </Sheet>
  )
}

function Line({ line, data, w, mayOrder }: { line: BuyLine; data: BuyingPage; w: StockWords; mayOrder: boolean }) {
  const { club } = usePage()
  const { ahead: a, packs } = line
  const { item } = a
  const parts = (data.parts.get(item.id) ?? []).flatMap((part) => systemWords(w, a, part) ?? [])
  const head = `${item.name}: ${much(w, item, a.buy)}`
  return (
    <li class="buy-line">
      {mayOrder && packs.length > 0 ? <CheckField name="pick" value={item.id} checked label={<b>{head}</b>} /> : <p><b>{head}</b></p>}
      {packs.length === 0 && (
        <p>No pack of it is entered, so it can’t be ordered from here. {mayOrder && <a class="no-print" href={`/stores/items/${item.id}/edit`}>Enter how it is sold</a>}</p>
      )}
      {packs.length > 0 && (
        <p>
          <b>{list(packs.map((p) => `${p.count} × ${p.pack.name}${p.pack.orderCode ? ` (${p.pack.orderCode})` : ''}`))}</b>, {much(w, item, line.milli)} in all
          {line.over > 0 && `, ${much(w, item, line.over)} over`}{line.isPriced && `, ${format.money(line.costCents, club)}`}.
        </p>
      )}
      {mayOrder && packs.map((p) => (
        <div class="no-print" key={p.pack.id}><NumberField whole name={`packs_${p.pack.id}`} label={`Packs: ${item.name}, ${p.pack.name}`} value={p.count} /></div>
      ))}
      {mayOrder && packs.length > 0 && <input type="hidden" name={`short_${item.id}`} value={a.buy} />}
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
