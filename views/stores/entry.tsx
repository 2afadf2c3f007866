import type { EntryModel } from '../../src/features/stores/queries/ledger-lots.ts'
import { AmountField, Breadcrumb, Button, DateField, DefinitionRows, Field, Form, format, Layout, Notice, Sheet, usePage, When, type FormRefusal, type Typed } from '../shared/index.ts'
import { dayText } from './keep-words.ts'
import { Amount, EntryTable, EntryWords, KIND_OF_ENTRY, mayUndoNow, maySeeValue } from './ledger-parts.tsx'

export type EntryPageProps = EntryModel & { form?: 'return' | 'reverse'; refusal?: FormRefusal; typed?: Typed }

/** One entry of the ledger with all that belongs to it; part of a draw comes back here, a mistake is reversed here. */
export function EntryPage({ entry: e, belonging, returnable, form, refusal, typed }: EntryPageProps) {
  const page = usePage()
  const { club } = page
  const at = `/stores/entries/${e.id}`
  const sent = (which: 'return' | 'reverse') => (form === which ? { refusal, typed } : {})
  const isReversible = e.reversal === null && (page.may('stores.book') || mayUndoNow(page, e))
  return (
    <Layout title={`${KIND_OF_ENTRY[e.kind]}: ${e.itemName}`} section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, { href: `/stores/items/${e.itemId}`, text: e.itemName }]} />}>
      {e.reversal && (
        <Notice kind="care" title="Reversed">
          <p>By {e.reversal.by.name}, <When at={e.reversal.at} />: {e.reversal.why}. {e.reversal.qtyMilli !== 0 && <>Booked back: <Amount milli={e.reversal.qtyMilli} unit={e.unit} sign />{maySeeValue(page, e) && `, ${format.money(e.reversal.valueCents, club)}`}.</>}</p>
        </Notice>
      )}
      <Sheet title="The entry">
        <DefinitionRows
          rows={[
            ['What', <EntryWords entry={e} />], ['Lot', <a href={`/stores/lots/${e.lotId}`}>{e.lotNumber}</a>],
            ['Amount', e.qtyMilli === 0 ? null : <Amount milli={e.qtyMilli} unit={e.unit} sign />], ['Value', maySeeValue(page, e) ? format.money(e.valueCents, club) : null],
            ['Day', dayText(e.onDate, club)], ['Booked', <><When at={e.at} /> by {e.by.name}</>], ['Why', e.why], ['Storekeeper', e.isAwaiting ? 'has not looked at it yet' : null],
          ]}
        />
      </Sheet>
      {returnable > 0 && page.may('stores.draw') && (
        <Sheet title="Some of it comes back">
          <Form action={`${at}/return`} {...sent('return')} label="Return">
            <AmountField name="amount" label="How much comes back" unit={e.unit} hint={<>At most <Amount milli={returnable} unit={e.unit} />; it comes back at what it left at. Never pour mixed or tipped-out resin back into its can.</>} />
            <DateField name="onDate" label="On" hint="Today unless you say" />
            <Field name="why" label="Why" required={false} maxLength={300} size="full" />
            <Button>Book it back</Button>
          </Form>
        </Sheet>
      )}
      {isReversible && (
        <Sheet title="A mistake">
          <Form action={`${at}/reverse`} {...sent('reverse')} label="Reversal">
            <p>Nothing is ever deleted: a reversal is booked beside it, and both are shown together.{e.kind === 'transfer' && ' Both halves of the transfer are undone.'}{e.kind === 'price_correction' && ' All that was booked with this correction is undone.'}</p>
            <Field name="why" label="Why" required maxLength={300} size="full" />
            <Button kind="care">Reverse it</Button>
          </Form>
        </Sheet>
      )}
      {form === 'reverse' && !isReversible && refusal && <Notice kind="care">{refusal.message}</Notice>}
      {belonging.length > 0 && <Sheet title="Belongs to it"><EntryTable entries={belonging} caption="Returns, halves of a transfer, rows of a correction, the draw it is of" then={at} item /></Sheet>}
    </Layout>
  )
}
