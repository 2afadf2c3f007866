import type { ItemModel, LotLine } from '../../src/features/stores/queries/ledger-items.ts'
import { Breadcrumb, ButtonLink, ButtonRow, Caution, DefinitionRows, format, Layout, Notice, Sheet, Table, usePage } from '../shared/index.ts'
import { LabelElements } from '../shared/label.tsx'
import { dayText, ITEM_KIND_WORDS, priceText } from './keep-words.ts'
import { Amount, EntryTable, LotSwatch, mayUndoNow, SKIN, Undo } from './ledger-parts.tsx'

/** `booked`: entries that this person has just booked, to be undone in one tap. */
export function ItemPage({ item: i, here, valueCents, lots, entries, hasMore, all, booked }: ItemModel & { booked: readonly string[] }) {
  const page = usePage()
  const { club } = page
  const at = `/stores/items/${i.id}`
  const just = entries.filter((e) => booked.includes(e.id) && mayUndoNow(page, e))
  const discard = here.total - here.fresh - here.notStructural - here.testFirst
  const amount = (milli: number) => (milli === 0 ? null : <Amount milli={milli} unit={i.unit} />)
  const books = page.may('stores.book')
  return (
    <Layout title={i.name} section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      {just.length > 0 && (
        <Notice kind="good"><p>Just booked. A slip? Take it back:</p><ButtonRow>{just.map((e) => <Undo key={e.id} entry={e} then={at} />)}</ButtonRow></Notice>
      )}
      {!i.isActive && <Notice kind="care">Given up: not bought any more, and not to be chosen for new tasks.</Notice>}
      <LabelElements parts={[i]} />
      {SKIN[i.kind] && <Caution>{SKIN[i.kind]}</Caution>}
      <Sheet
        title="What is there"
        actions={
          <>
            {page.may('stores.draw') && <ButtonLink href={`${at}/draw`} kind="main">Draw</ButtonLink>}
            {books && <ButtonLink href={`/stores/receive?item=${i.id}`}>Book in</ButtonLink>}
            <ButtonLink href={`${at}/level`}>Level ahead</ButtonLink>
          </>
        }
      >
        <p class="big-figure"><Amount milli={here.fresh} unit={i.unit} /> <span class="muted">fresh</span></p>
        <DefinitionRows
          rows={[
            ['Not for structure', amount(here.notStructural)], ['To be tested first', amount(here.testFirst)], ['To be discarded', amount(discard)],
            ['Value of the club’s', page.may('stores.money') ? `${format.money(valueCents, club)}${here.total > 0 ? `, ${perUnit(valueCents, here.total, i.unit, club)}` : ''}` : null],
            ['Shelf', i.shelf], ['Kind', ITEM_KIND_WORDS[i.kind]], ['Density', i.density === null ? null : `${i.density} g/ml`],
            ['Size', sizeWords(i)], ['Mass', i.arealMass === null ? null : `${i.arealMass} g/m²`],
            ['Keeps', [i.shelfLifeDays === null ? '' : `${i.shelfLifeDays} days unopened`, i.openedLifeDays === null ? '' : `${i.openedLifeDays} days once open`].filter(Boolean).join(', ')],
            ['Comes within', `${i.leadDays} days of ordering`], ['Safety stock', amount(i.safetyMilli)],
            ['Packs', i.packs.map((p) => `${p.name} (${format.stockAmount(p.qtyMilli, i.unit, club)}${page.may('stores.money') ? `, ${priceText(p.priceCents, club)}` : ''})`).join(', ')],
            ['Supplier', i.supplier?.name ?? null], ['Shared', i.isShared ? 'drawn for everybody: spread over the builds at a settlement' : null], ['Note', i.note],
          ]}
        />
        <ButtonRow>
          {page.may('stores.draw') && <ButtonLink href={`${at}/transfer`}>Lend, give back, hand over</ButtonLink>}
          {page.may('stores.draw') && <ButtonLink href={`${at}/write-off`}>Write off</ButtonLink>}
          {books && <ButtonLink href={`${at}/correct`}>Correct a price</ButtonLink>}
          {page.may('stores.keep') && <ButtonLink href={`${at}/edit`}>Edit the item</ButtonLink>}
        </ButtonRow>
      </Sheet>
      <Sheet title="Lots">
        <LotTable lots={lots} caption={all ? 'All lots, first expired first' : 'Lots with something in them, first expired first'} />
      </Sheet>
      <Sheet title="Entries">
        <EntryTable entries={entries} caption="The newest first" then={at} />
        {hasMore && !all && <p><a href={`${at}?all=1`}>Older entries and empty lots</a></p>}
      </Sheet>
    </Layout>
  )
}

const perUnit = (cents: number, milli: number, unit: string, club: Parameters<typeof format.money>[1]): string => {
  const large = unit === 'g' ? ['kg', 1_000_000] as const : unit === 'ml' ? ['l', 1_000_000] as const : [format.STOCK_UNITS[unit] ?? unit, 1000] as const
  return `${format.money(Math.round((cents / milli) * large[1]), club)} for 1 ${large[0]}`
}

function sizeWords({ widthMm, lengthMm, thicknessMm }: ItemModel['item']): string | null {
  const sides = [lengthMm, widthMm, thicknessMm].filter((mm) => mm !== null)
  return sides.length === 0 ? null : `${sides.join(' × ')} mm`
}

export function LotTable({ lots, caption, item = false }: { lots: readonly LotLine[]; caption: string; item?: boolean }) {
  const { club } = usePage()
  return (
    <Table
      caption={caption} rows={lots} rowKey={(l) => l.id} empty="No lots." stack
      columns={[
        { key: 'lot', heading: 'Lot', cell: (l) => <a href={`/stores/lots/${l.id}`}>{l.number}</a> },
        ...(item ? [{ key: 'item', heading: 'Item', cell: (l: LotLine) => <a href={`/stores/items/${l.itemId}`}>{l.itemName}</a> }] : []),
        { key: 'state', heading: 'State', cell: (l) => <LotSwatch state={l.state} /> },
        { key: 'left', heading: 'The club’s', numeric: true, cell: (l) => <Amount milli={l.clubMilli} unit={l.unit} /> },
        { key: 'held', heading: 'Members’', cell: (l) => l.held.map((h) => <span key={h.memberId}>{h.name}: <Amount milli={h.milli} unit={l.unit} /> </span>) },
        { key: 'day', heading: 'Good until', cell: (l) => (l.lastDay === null ? 'no date known' : dayText(l.lastDay, club)) },
        { key: 'open', heading: 'Opened', cell: (l) => (l.openedOn === null ? '' : dayText(l.openedOn, club)) },
        { key: 'came', heading: 'Came', cell: (l) => dayText(l.receivedOn, club) },
        { key: 'code', heading: 'Supplier’s code', cell: (l) => l.code },
      ]}
    />
  )
}
