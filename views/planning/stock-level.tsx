import type { ComponentChildren } from 'preact'
import { isoWeek } from '../../src/core/calendar/index.ts'
import type { Ahead } from '../../src/features/planning/outlook.ts'
import type { LevelPage } from '../../src/features/planning/queries/outlook.ts'
import { Breadcrumb, ButtonLink, ButtonRow, DefinitionRows, Layout, Notice, Sheet, Swatch, Table, type Column } from '../shared/index.ts'
import { StockChart, StockChartKey } from './stock-chart.tsx'
import { WorkLink } from './stock-parts.tsx'
import { useStockWords } from './use-stock-words.ts'
import { dayOrWeek, levelSentence, much, pastDateWords, sentence, systemWords, type StockWords } from './words.ts'

type Step = { key: string; at: number; what: 'there' | 'order' | 'need'; milli: number; level: number; need?: Ahead['needs'][number]; missing?: number; order?: Ahead['orders'][number] }

/** One item over the coming weeks: a sentence, a chart, and the same as a table. */
export function StockLevelPage(data: LevelPage) {
  const w = useStockWords(data)
  const { ahead: a, from, until } = data
  const says = levelSentence(w, a)
  const rows = stepsOf(a, from)
  const undated = a.needs.filter((n) => n.at === null)
  return (
    <Layout
      title={`${a.item.name}: the coming weeks`} section="stores" wide live={['plan']}
      above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, { href: `/stores/items/${a.item.id}`, text: a.item.name }]} />}
    >
      <ButtonRow>
        <ButtonLink href="/stores/outlook">All items ahead</ButtonLink>
        <ButtonLink href="/stores/buying" {...(a.buy > 0 ? { kind: 'main' as const } : {})}>Buying list</ButtonLink>
      </ButtonRow>
      {!data.hasPlan && <Notice><p>The work plan is being worked out: what its tasks ask for is not in this yet.</p></Notice>}
      <figure class="line-chart">
        <figcaption class="chart-says">{says}</figcaption>
        {data.partOf.map((part) => {
          const words = systemWords(w, a, part)
          return words && <Notice key={part.other.item.id} kind="care"><p>{words}</p></Notice>
        })}
        <StockChart w={w} a={a} from={from} until={Math.max(until, ...a.orders.map((o) => o.at + 1440))} says={says} />
        <StockChartKey a={a} />
      </figure>
      <Table caption="Week by week" columns={weekColumns(w, a)} rows={weeksOf(w, rows)} rowKey={(r) => r.label} />
      <details>
        <summary>Every delivery and every task</summary>
        <Table caption="What comes and goes" quietCaption columns={columns(w, a, rows.find((r) => r.missing)?.key)} rows={rows} rowKey={(r) => r.key} stack />
      </details>
      {data.pastDate.length > 0 && (
        <Sheet title="Past its date before it is used">
          <p class="muted">The level counts it all the way. Draw it first, or test it when its day has come.</p>
          <ul>{data.pastDate.map((l) => <li key={l.id}><a href={`/stores/lots/${l.id}`}>Lot {l.number}</a>: {sentence(pastDateWords(w, a, l))}</li>)}</ul>
        </Sheet>
      )}
      {undated.length > 0 && (
        <Sheet title="Asked for without a day">
          <p class="muted">The plan has no place for this work yet, whatever is in the stores.</p>
          <ul>{undated.map((n) => <li key={`${n.taskId}${n.structural}`}>{much(w, a.item, n.milli)} for <WorkLink w={w} need={n} /></li>)}</ul>
        </Sheet>
      )}
      <DefinitionRows
        rows={[
          ['Lead time', a.item.leadDays === 1 ? '1 day' : `${a.item.leadDays} days`],
          ['Safety stock', a.item.safetyMilli > 0 ? much(w, a.item, a.item.safetyMilli) : 'none'],
          ['Reorder point', a.reorder && `${much(w, a.item, a.reorder.point)}: use over the lead time, and so much more that it lasts 19 times in 20 (or the safety stock, if that is more)`],
          ['Supplier', a.item.supplier?.name],
          ['Shelf', a.item.shelf],
        ]}
      />
    </Layout>
  )
}

/** The level after each event; at one time deliveries come before needs. */
function stepsOf(a: Ahead, from: number): Step[] {
  const orders = a.orders.map((o, n): Omit<Step, 'level'> => ({ key: `o${n}`, at: Math.max(from, o.at), what: 'order', milli: o.milli, order: o }))
  const dated = a.needs.filter((n) => n.at !== null)
  const needs = dated.map((n, at): Omit<Step, 'level'> => ({ key: `n${at}`, at: Math.max(from, n.at ?? from), what: 'need', milli: -n.milli, need: n, missing: a.covers[at]?.missing ?? 0 }))
  const events = [...orders, ...needs].sort((x, y) => x.at - y.at || (x.what === y.what ? 0 : x.what === 'order' ? -1 : 1))
  let level = a.there.fresh + a.there.notStructural
  return [{ key: 'there', at: from, what: 'there', milli: level, level }, ...events.map((e): Step => ({ ...e, level: (level += e.milli) }))]
}

type Week = { label: string; comes: number; goes: number; level: number }

/** Weeks in which something comes or goes. */
function weeksOf(w: StockWords, rows: readonly Step[]): Week[] {
  const weeks = new Map<string, Week>()
  for (const r of rows) {
    // What comes by the end of a Sunday comes in that week.
    const label = r.what === 'there' ? 'now' : mondayWords(w, r.what === 'order' ? r.at - 1 : r.at)
    const week = weeks.get(label) ?? { label, comes: 0, goes: 0, level: 0 }
    if (r.what === 'order') week.comes += r.milli
    if (r.what === 'need') week.goes -= r.milli
    weeks.set(label, { ...week, level: r.level })
  }
  return [...weeks.values()]
}

function mondayWords({ times }: StockWords, t: number): string {
  return times.date(t - (isoWeek(times.localDate(t)).weekday - 1) * 1440)
}

const weekColumns = (w: StockWords, a: Ahead): Column<Week>[] => [
  { key: 'week', heading: 'Week from', isName: true, cell: (r) => <span class="time">{r.label}</span> },
  ...(a.orders.length > 0 ? [{ key: 'comes', heading: 'Comes', numeric: true, cell: (r: Week) => (r.comes > 0 ? much(w, a.item, r.comes) : '–') }] : []),
  { key: 'goes', heading: 'Asked for', numeric: true, cell: (r) => (r.goes > 0 ? much(w, a.item, r.goes) : '–') },
  { key: 'level', heading: 'Then there', numeric: true, cell: (r) => (r.level < 0 ? `${much(w, a.item, -r.level)} missing` : much(w, a.item, r.level)) },
]

/** `firstShort`: the row at which it runs out; it alone has the sign. */
function columns(w: StockWords, a: Ahead, firstShort: string | undefined): Column<Step>[] {
  return [
    { key: 'when', heading: 'When', cell: (r) => (r.what === 'there' ? 'now' : r.what === 'need' ? dayOrWeek(w, r.at) : w.times.day(r.at - 1)) },
    {
      key: 'what', heading: 'What', isName: true,
      cell: (r) => {
        if (r.order) return <><a href={`/stores/orders/${r.order.orderId}`}>Order {r.order.number}</a>{r.order.supplier && ` from ${r.order.supplier}`}{r.order.isOverdue && ' (was expected before)'}</>
        return r.need ? <><WorkLink w={w} need={r.need} />{!r.need.structural && ' (bears no load)'}</> : 'There'
      },
    },
    { key: 'amount', heading: 'Comes or goes', numeric: true, cell: (r) => (r.what === 'there' ? '' : `${r.milli < 0 ? '−' : '+'}${much(w, a.item, Math.abs(r.milli))}`) },
    { key: 'level', heading: 'Then there', numeric: true, cell: (r) => (r.level < 0 ? `${much(w, a.item, 0)}` : much(w, a.item, r.level)) },
    { key: 'short', heading: 'Missing', cell: (r) => missing(w, a, r, firstShort) },
  ]
}

function missing(w: StockWords, a: Ahead, r: Step, firstShort: string | undefined): ComponentChildren {
  if (!r.missing) return r.level < 0 ? `${much(w, a.item, -r.level)} in all` : ''
  const words = `${much(w, a.item, r.missing)} missing`
  return r.key === firstShort ? <Swatch state="missed">{words}</Swatch> : words
}
