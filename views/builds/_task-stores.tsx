import type { NeedLine } from '../../src/features/builds/queries/draw-page.ts'
import { ButtonLink, ButtonRow, format, Sheet, Table, Tag, usePage } from '../shared/index.ts'
import { StoreEntries } from './_store-entries.tsx'
import type { TaskPageProps } from './task-props.ts'

/** What the task needs from the stores, what is drawn, what is there and where it stands. */
export function StoresSheet({ build, task, stores, at, mayLog, mayEdit }: TaskPageProps & { at: string; mayLog: boolean; mayEdit: boolean }) {
  const { club } = usePage()
  const { lines, untied, extra, entries, isMixed } = stores
  const wrong = untied.filter((m) => m.why !== null)
  const outside = untied.filter((m) => m.why === null)
  if (lines.length === 0 && untied.length === 0 && entries.length === 0 && !mayLog) return null
  const isShort = (l: NeedLine) => !task.isFinished && l.thereMilli < l.leftMilli
  const amount = (milli: number, unit: string) => format.stockAmount(milli, unit, club)
  const needed = (milli: number, unit: string) => format.stockNeed(milli, unit, club)
  return (
    <Sheet title="From the stores">
      <div id="stores" />
      {mayLog && (
        <ButtonRow>
          <ButtonLink href={`${at}/draw`} kind={lines.some((l) => l.leftMilli > 0) && !task.isFinished ? 'main' : 'plain'}>Draw from stores</ButtonLink>
          {isMixed && <ButtonLink href={`${at}/mix`}>Mixing card</ButtonLink>}
        </ButtonRow>
      )}
      {lines.length > 0 && (
        <Table
          caption="What it needs from the stores" quietCaption rows={lines} rowKey={(l) => l.key} stack
          columns={[
            { key: 'item', heading: 'Item', cell: (l) => <><a href={`/stores/items/${l.itemId}`}>{l.item.name}</a>{!l.structural && <> <Tag>any usable</Tag></>}</> },
            { key: 'need', heading: 'Needs', numeric: true, cell: (l) => needed(l.needMilli, l.item.unit) },
            { key: 'drawn', heading: 'Drawn', numeric: true, cell: (l) => amount(l.drawnMilli, l.item.unit) },
            {
              key: 'there', heading: 'There', numeric: true,
              cell: (l) => <>{amount(l.thereMilli, l.item.unit)}{isShort(l) && <> <Tag>{needed(l.leftMilli - l.thereMilli, l.item.unit)} short</Tag></>}{l.item.testFirstMilli > 0 && <span class="quiet"> and {amount(l.item.testFirstMilli, l.item.unit)} to be tested first</span>}</>,
            },
            { key: 'shelf', heading: 'Shelf', cell: (l) => l.item.shelf || <span class="quiet">not said</span> },
          ]}
        />
      )}
      {extra.length > 0 && <p>Also drawn: {extra.map((e) => `${amount(e.milli, e.unit)} of ${e.name}`).join(', ')}.</p>}
      {wrong.length > 0 && <ul>{wrong.map((m) => <li key={m.id}>{m.name}, {format.amountRange(m, club)}: {m.why}.</li>)}</ul>}
      {outside.length > 0 && (
        <p class="quiet">Not from the stores: {outside.map((m) => m.name).join(', ')}.{mayEdit && !task.isFinished && <> <a href={`/builds/${build.id}/materials`}>Tie them to items</a></>}</p>
      )}
      {entries.length > 0 && (
        <details>
          <summary>What was booked</summary>
          <StoreEntries entries={entries} />
          {mayLog && <p><a href={`${at}/draw#entries`}>Put some back, or undo</a></p>}
        </details>
      )}
    </Sheet>
  )
}
