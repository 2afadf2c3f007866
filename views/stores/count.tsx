import type { CountModel, CountPart, CountsModel, LotToCount } from '../../src/features/stores/queries/count.ts'
import {
  AmountField, Breadcrumb, Button, ButtonLink, ButtonRow, CheckField, Empty, Field, Form, format, Layout, Notice, plural, PrintSheet, SelectField, Sheet, Table, Tag, usePage, When,
  type FormRefusal, type Typed,
} from '../shared/index.ts'
import { dayText, ITEM_KIND_WORDS } from './keep-words.ts'

const CRUMBS = [{ href: '/stores', text: 'Stores' }, { href: '/stores/count', text: 'Stocktake' }]

const query = (part: CountPart, more: Record<string, string> = {}): string => {
  const text = new URLSearchParams({ ...part, ...more }).toString()
  return text === '' ? '' : `?${text}`
}
const partWords = ({ shelf, kind, item }: CountPart, lots: readonly LotToCount[]): string =>
  item ? (lots[0]?.item.name ?? 'one item') : [shelf && `shelf ${shelf}`, kind && (ITEM_KIND_WORDS as Record<string, string>)[kind]].filter(Boolean).join(', ') || 'all of the stores'

export function CountsPage({ counts, shelves }: CountsModel) {
  const { club } = usePage()
  return (
    <Layout title="Stocktake" section="stores" above={<Breadcrumb items={CRUMBS.slice(0, 1)} />}>
      <Sheet title="Count">
        <p>Book the day’s slips first. Print the sheet, count with nobody drawing, then type it back here.</p>
        <Form action="/stores/count/sheet" method="get" layout="row" label="The sheet">
          <SelectField name="shelf" label="Shelf" options={shelves.map((shelf) => ({ value: shelf, label: shelf }))} blank="all" />
          <SelectField name="kind" label="Kind" options={Object.entries(ITEM_KIND_WORDS).map(([value, label]) => ({ value, label }))} blank="all" />
          <CheckField name="book" label="With what the book says" hint="Without it nobody is led by a figure" />
          <Button>The sheet to print</Button>
        </Form>
        <ButtonRow><ButtonLink href="/stores/count/new">Type back all of the stores</ButtonLink></ButtonRow>
      </Sheet>
      <Sheet title="Before">
        {counts.length === 0 ? <Empty>Nothing was counted yet.</Empty> : (
          <Table
            caption="Newest first" quietCaption rows={counts} rowKey={(c) => c.id}
            columns={[
              { key: 'at', heading: 'Counted', cell: (c) => <a href={`/stores/count/${c.id}`}><When at={c.at} /></a> },
              { key: 'by', heading: 'By', cell: (c) => c.by },
              { key: 'lines', heading: 'Lots', numeric: true, cell: (c) => format.number(c.lines, club) },
              { key: 'differences', heading: 'Differences', numeric: true, cell: (c) => format.number(c.differences, club) },
              { key: 'note', heading: 'Note', cell: (c) => c.note },
            ]}
          />
        )}
      </Sheet>
    </Layout>
  )
}

const lotText = (lot: LotToCount, locale: ReturnType<typeof usePage>['club']): string =>
  [lot.code, lot.openedOn && `open since ${dayText(lot.openedOn, locale)}`, lot.tareMg !== null && `empty can ${format.stockAmount(lot.tareMg, 'g', locale)}`].filter(Boolean).join(', ')

export function CountSheetPage({ lots, part, withBook }: { lots: readonly LotToCount[]; part: CountPart; withBook: boolean }) {
  const page = usePage()
  const { club } = page
  return (
    <Layout title="Stocktake sheet" section="stores" above={<Breadcrumb items={CRUMBS} />}>
      <div class="no-print">
        <ButtonRow>
          {page.may('stores.draw') && <ButtonLink href={`/stores/count/new${query(part)}`} kind="main">Type it back</ButtonLink>}
          <ButtonLink href={`/stores/count/sheet${query(part, withBook ? {} : { book: 'on' })}`}>{withBook ? 'Without what the book says' : 'With what the book says'}</ButtonLink>
        </ButtonRow>
      </div>
      {lots.length === 0 ? <Empty>Nothing is there to count.</Empty> : (
        <PrintSheet lines={lots.length} foot="A can is weighed with its lid, less the empty can. An empty row is a lot that was not counted; nothing left is 0.">
          <p>{partWords(part, lots)}; printed <When at={page.now} />. Counted by ______________________ on ______________</p>
          <div class="table-scroll" role="region" tabIndex={0} aria-label="Lots to count"><table class="table count-sheet">
            <caption class="caption-quiet">Lots to count</caption>
            <thead><tr><th scope="col">Shelf</th><th scope="col">Item</th><th scope="col">Lot</th>{withBook && <th scope="col" class="numeric">Book</th>}<th scope="col">Counted</th><th scope="col">What explains a difference</th></tr></thead>
            <tbody>
              {lots.map((lot) => (
                <tr key={lot.lotId}>
                  <td>{lot.item.shelf}</td>
                  <th scope="row">{lot.item.name}</th>
                  <td><b>{lot.number}</b> <span class="muted">{lotText(lot, club)}</span></td>
                  {withBook && <td class="numeric">{format.stockAmount(lot.bookMilli, lot.item.unit, club)}</td>}
                  <td class="to-write">{format.STOCK_UNITS[lot.item.unit]}</td>
                  <td class="to-write" />
                </tr>
              ))}
            </tbody>
          </table></div>
        </PrintSheet>
      )}
    </Layout>
  )
}

export function CountFormPage({ lots, part, refusal, typed }: { lots: readonly LotToCount[]; part: CountPart; refusal?: FormRefusal; typed?: Typed }) {
  const page = usePage()
  const { club } = page
  const shelves = [...new Set(lots.map((lot) => lot.item.shelf))]
  return (
    <Layout title="Type back a stocktake" section="stores" above={<Breadcrumb items={CRUMBS} />}>
      <p>{partWords(part, lots)}. Leave a row empty where the lot was not counted; nothing left is 0. A difference to the book needs what explains it.</p>
      {!page.may('stores.book') && <Notice>Differences are in the book at once, and the storekeeper looks at them.</Notice>}
      {lots.length === 0 ? <Empty>Nothing is there to count.</Empty> : (
        <Form action={`/stores/count/new${query(part)}`} refusal={refusal} typed={typed} label="The count">
          {lots.map((lot) => <input key={lot.lotId} type="hidden" name={`b${lot.number}`} value={lot.bookMilli} />)}
          {shelves.map((shelf) => (
            <Sheet key={shelf} title={shelf === '' ? 'No shelf named' : shelf}>
              {lots.filter((lot) => lot.item.shelf === shelf).map((lot) => (
                <fieldset class="group count-row" key={lot.lotId}>
                  <legend>Lot {lot.number}: {lot.item.name} <span class="muted">{lotText(lot, club)}</span></legend>
                  <div class="form-row">
                    <AmountField name={`n${lot.number}`} label="Counted" unit={lot.item.unit} hint={`The book has ${format.stockAmount(lot.bookMilli, lot.item.unit, club)}`} />
                    <Field name={`w${lot.number}`} label="What explains it" maxLength={300} />
                  </div>
                </fieldset>
              ))}
            </Sheet>
          ))}
          <Field name="note" label="Note on the whole count" required={false} maxLength={300} size="full" />
          <Button>Book the count</Button>
        </Form>
      )}
    </Layout>
  )
}

export function CountPage({ count, lines }: CountModel) {
  const page = usePage()
  const { club } = page
  const waiting = lines.filter(({ entry }) => entry && !entry.review && !entry.reversedBy)
  const differing = lines.filter(({ entry }) => entry !== null)
  const cents = differing.reduce((sum, { entry }) => sum + (entry?.reversedBy ? 0 : (entry?.valueCents ?? 0)), 0)
  return (
    <Layout title={`Stocktake of ${new Intl.DateTimeFormat(club?.locale ?? 'en-GB', { timeZone: club?.zone ?? 'UTC', dateStyle: 'medium' }).format(count.at)}`} section="stores" above={<Breadcrumb items={CRUMBS} />}>
      <p>{plural(lines.length, 'lot')} counted by {count.by}; {differing.length === 0 ? 'the book was right.' : `${plural(differing.length, 'difference')}, together ${format.money(cents, club)}.`}{count.note !== '' && ` ${count.note}`}</p>
      {waiting.length > 0 && <Notice>{plural(waiting.length, 'difference')} {waiting.length === 1 ? 'waits' : 'wait'} for the storekeeper{page.may('stores.book') ? <>: <a href="/stores/awaiting">look at {waiting.length === 1 ? 'it' : 'them'}</a></> : ''}.</Notice>}
      <Table
        caption="Lot by lot" rows={lines} rowKey={(l) => l.lot.id}
        columns={[
          { key: 'item', heading: 'Item', cell: (l) => <a href={`/stores/items/${l.lot.item.id}`}>{l.lot.item.name}</a> },
          { key: 'lot', heading: 'Lot', cell: (l) => <a href={`/stores/lots/${l.lot.id}`}>{l.lot.number}</a> },
          { key: 'book', heading: 'Book', numeric: true, cell: (l) => format.stockAmount(l.bookMilli, l.lot.item.unit, club) },
          { key: 'counted', heading: 'Counted', numeric: true, cell: (l) => format.stockAmount(l.countedMilli, l.lot.item.unit, club) },
          { key: 'difference', heading: 'Difference', numeric: true, cell: (l) => (l.countedMilli === l.bookMilli ? '–' : format.stockAmount(l.countedMilli - l.bookMilli, l.lot.item.unit, club)) },
          { key: 'value', heading: 'Worth', numeric: true, cell: (l) => (l.entry ? format.money(l.entry.valueCents, club) : '–') },
          { key: 'why', heading: 'What explains it', cell: (l) => l.note },
          {
            key: 'state', heading: 'Approved',
            cell: (l) => (!l.entry ? '–' : l.entry.reversedBy ? <Tag>reversed</Tag> : l.entry.review ? `by ${l.entry.review.by.name}` : 'waits'),
          },
        ]}
      />
    </Layout>
  )
}
