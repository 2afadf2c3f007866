import type { DrawPageModel } from '../../src/features/builds/queries/draw-page.ts'
import { AmountField, Button, ErrorSummary, Field, Form, format, plural, Tag, TapForm, usePage, When, type FormRefusal, type Typed } from '../shared/index.ts'

type Entry = DrawPageModel['entries'][number]
export type EntrySent = { form: string; entryId?: string | undefined; refusal: FormRefusal; typed: Typed }

const KIND: Partial<Record<Entry['kind'], string>> = { draw: 'drawn', return: 'put back', price_correction: 'price corrected' }

/** What was booked for a task, newest first; what was taken back stands with what undid it. `at`: where its forms go; none, and it only shows. */
export function StoreEntries({ entries, at, sent }: { entries: readonly Entry[]; at?: string | undefined; sent?: EntrySent | undefined }) {
  // What was refused is said where its form stands, else on top: somebody else may have undone the entry meanwhile.
  const isAtForm = sent?.form === 'back' && entries.some((e) => e.id === sent.entryId && isReturnable(e))
  return (
    <>
      {sent && !isAtForm && (sent.form === 'undo' || sent.form === 'back') && <ErrorSummary refusal={sent.refusal} />}
      {entries.length > 0 && <ul class="plain-list">
        {entries.map((e) => (
          <li key={e.id}>
            <EntryText entry={e} />
            {at !== undefined && isReturnable(e) && <PutBack entry={e} at={at} sent={sent?.form === 'back' && sent.entryId === e.id ? sent : undefined} />}
            {at !== undefined && e.reversal === null && e.kind !== 'price_correction' && e.batchNumber === null && (
              <TapForm action={`${at}/${e.id}/undo`} kind="care" about={`${KIND[e.kind] ?? e.kind} of ${e.itemName}`}>Undo</TapForm>
            )}
            {at !== undefined && e.reversal === null && e.kind === 'draw' && e.batchNumber !== null && <> <a href={at.replace(/draw$/, 'mix')}>taken back with its batch</a></>}
          </li>
        ))}
      </ul>}
    </>
  )
}

/** What is mixed never goes back into its can. */
const isReturnable = (e: Entry): boolean => e.kind === 'draw' && e.reversal === null && e.batchNumber === null

function EntryText({ entry: e }: { entry: Entry }) {
  const { club } = usePage()
  const text = <>{format.stockAmount(Math.abs(e.qtyMilli), e.unit, club)} of <a href={`/stores/items/${e.itemId}`}>{e.itemName}</a>, <a href={`/stores/lots/${e.lotId}`}>lot {e.lotNumber}</a></>
  return (
    <>
      <a href={`/stores/entries/${e.id}`}><When at={Math.floor(e.at.getTime() / 60_000)} /></a>: {KIND[e.kind] ?? e.kind} {e.reversal ? <s>{text}</s> : text}
      <span class="quiet"> by {e.by.name}{e.why !== '' && `: ${e.why}`}</span>
      {e.batchNumber !== null && <> <Tag>batch {String(e.batchNumber)}</Tag></>}
      {e.holder !== null && <> <Tag>{e.holder.name}’s own</Tag></>}
      {e.reversal && <span class="quiet"> taken back by {e.reversal.by.name}{e.reversal.why !== '' && `: ${e.reversal.why}`}</span>}
    </>
  )
}

function PutBack({ entry: e, at, sent }: { entry: Entry; at: string; sent: EntrySent | undefined }) {
  return (
    <details class="no-print" open={sent !== undefined}>
      <summary>Some of it goes back<span class="hidden"> on the shelf, of {e.itemName}, lot {e.lotNumber}</span></summary>
      <Form action={`${at}/${e.id}/back`} layout="row" refusal={sent?.refusal} typed={sent?.typed} label={`Put back ${e.itemName}`}>
        <AmountField name="back" label="Goes back" unit={e.unit} />
        <Field name="why" label="Why" required={false} maxLength={300} />
        <Button kind="plain">Put it back</Button>
      </Form>
    </details>
  )
}

/** "3 entries". */
export const entriesWord = (n: number): string => plural(n, 'entry', 'entries')
