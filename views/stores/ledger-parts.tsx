import type { ComponentChildren } from 'preact'
import type { EntryKind, LotState } from '../../src/core/stock/index.ts'
import type { EntryLine, EntryPair } from '../../src/features/stores/queries/entries.ts'
import { format, Swatch, Table, TapForm, usePage, When, type Page, type SwatchState } from '../shared/index.ts'
import { dayText } from './keep-words.ts'

export const KIND_OF_ENTRY: Record<EntryKind, string> = {
  receipt: 'Receipt', draw: 'Draw', return: 'Return', transfer: 'Transfer', write_off: 'Write-off', stocktake: 'Stocktake', price_correction: 'Price correction', reversal: 'Reversal',
}

const STATES: Record<LotState, { sign: SwatchState; text: string }> = {
  fresh: { sign: 'ready', text: 'fresh' },
  test_first: { sign: 'paused', text: 'test first' },
  not_structural: { sign: 'waiting', text: 'not structural' },
  discard: { sign: 'missed', text: 'discard' },
}
export const LotSwatch = ({ state }: { state: LotState }) => <Swatch state={STATES[state].sign}>{STATES[state].text}</Swatch>

/** An amount of an item in the club's way. */
export function Amount({ milli, unit, sign = false }: { milli: number; unit: string; sign?: boolean }) {
  const { club } = usePage()
  const text = format.stockAmount(Math.abs(milli), unit, club)
  return <>{milli < 0 ? '−' : sign && milli > 0 ? '+' : ''}{text}</>
}

export const maySeeValue = (page: Page, entry: EntryLine): boolean => page.may('stores.money') || entry.isOwn

/** What it was for, after its kind: "Draw for Dunlin, Glass the hull". */
export function EntryWords({ entry }: { entry: EntryLine }) {
  const { build, task } = entry
  const whose = entry.holder === null ? '' : ` (${entry.holder.name}’s own stock)`
  return (
    <>
      {entry.kind === 'transfer' ? moveWords(entry) : KIND_OF_ENTRY[entry.kind]}
      {entry.kind === 'price_correction' && (entry.ofEntryId === null ? ' of what is in stock' : ' of a draw')}
      {build === 'hidden' ? ' for a build' : build && <> for <a href={`/builds/${build.id}`}>{build.name}</a>{task && <>, <a href={`/builds/${build.id}/tasks/${task.id}`}>{task.name}</a></>}</>}
      {entry.chargedTo !== null && ` charged to ${entry.chargedTo}`}
      {entry.batchNumber !== null && ` (batch ${entry.batchNumber})`}
      {whose}
    </>
  )
}

function moveWords({ loan, qtyMilli, holder }: EntryLine): string {
  const who = holder === null ? 'the club' : holder.name
  const way = qtyMilli > 0 ? `to ${who}` : `from ${who}`
  return loan === 'lend' ? `Lent ${way}` : loan === 'give_back' ? `Given back ${way}` : `Handed over ${way}`
}

const DAY_MS = 86_400_000
/** What a person may undo at once: their own entry of the last day; others on the entry's own page. */
export const mayUndoNow = (page: Page, entry: EntryPair): boolean =>
  page.member !== null && entry.reversal === null && entry.by.id === page.member.id && page.now.getTime() - entry.at.getTime() <= DAY_MS && page.may('stores.draw')

export function Undo({ entry, then }: { entry: EntryPair; then: string }) {
  return <TapForm action={`/stores/entries/${entry.id}/reverse`} fields={{ why: 'Undone by whoever booked it', then }} about={`this entry of lot ${entry.lotNumber}`}>Undo</TapForm>
}

export type EntryTableProps = { entries: readonly EntryPair[]; caption: ComponentChildren; then: string; item?: boolean; empty?: string; actions?: (entry: EntryPair) => ComponentChildren }

/** Entries with who, when and why; one that was reversed is struck out, with its reversal in the same row. */
export function EntryTable({ entries, caption, then, item = false, empty = 'No entries yet.', actions }: EntryTableProps) {
  const page = usePage()
  const { club } = page
  const seesMoney = entries.some((entry) => maySeeValue(page, entry))
  return (
    <Table
      caption={caption} rows={entries} rowKey={(e) => e.id} rowId={(e) => `entry-${e.id}`} empty={empty} stack
      columns={[
        { key: 'day', heading: 'Day', cell: (e) => <a href={`/stores/entries/${e.id}`}>{dayText(e.onDate, club)}</a> },
        ...(item ? [{ key: 'item', heading: 'Item', cell: (e: EntryPair) => <a href={`/stores/items/${e.itemId}`}>{e.itemName}</a> }] : []),
        { key: 'what', heading: 'What', cell: (e) => <Struck when={e.reversal !== null}><EntryWords entry={e} /></Struck> },
        { key: 'lot', heading: 'Lot', cell: (e) => <a href={`/stores/lots/${e.lotId}`}>{e.lotNumber}</a> },
        { key: 'amount', heading: 'Amount', numeric: true, cell: (e) => <Struck when={e.reversal !== null}>{e.qtyMilli === 0 ? '–' : <Amount milli={e.qtyMilli} unit={e.unit} sign />}</Struck> },
        ...(seesMoney ? [{ key: 'value', heading: 'Value', numeric: true, cell: (e: EntryPair) => (maySeeValue(page, e) ? <Struck when={e.reversal !== null}>{format.money(e.valueCents, club)}</Struck> : '') }] : []),
        {
          key: 'who', heading: 'By whom, why',
          cell: (e) => (
            <>
              {e.by.name}, booked <When at={e.at} />{e.why !== '' && <>: {e.why}</>}
              {e.isAwaiting && <> <Swatch state="waiting">waits for the storekeeper</Swatch></>}
              {e.reversal !== null && (
                <p class="reversal">
                  <b>Reversed</b> <When at={e.reversal.at} /> by {e.reversal.by.name}: {e.reversal.why} ({e.reversal.qtyMilli === 0 ? '' : <Amount milli={e.reversal.qtyMilli} unit={e.unit} sign />}
                  {maySeeValue(page, e) && `${e.reversal.qtyMilli === 0 ? '' : ', '}${format.money(e.reversal.valueCents, club)}`})
                </p>
              )}
            </>
          ),
        },
        { key: 'do', heading: <span class="hidden">What to do</span>, cell: (e) => actions?.(e) ?? (mayUndoNow(page, e) ? <Undo entry={e} then={then} /> : null) },
      ]}
    />
  )
}

const Struck = ({ when, children }: { when: boolean; children: ComponentChildren }) => (when ? <s>{children}</s> : <>{children}</>)

export const SKIN: Partial<Record<string, string>> = {
  resin: 'Uncured resin sensitises skin and airways, for life: nitrile gloves, sleeves, fresh air; off the skin with soap and water, never with solvent.',
  hardener: 'Hardener burns and sensitises skin and airways, for life: gloves, eye protection, fresh air; never onto sawdust or into a bin with it, which can set itself alight.',
}
