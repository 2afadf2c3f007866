import type { ImportReport } from '../../src/features/stores/commands/import.ts'
import type { ImportKind } from '../../src/features/stores/facts/import-columns.ts'
import { Breadcrumb, Button, ButtonLink, ButtonRow, CheckField, Form, Layout, Notice, plural, Sheet, Table, TextArea, type FormRefusal, type Typed } from '../shared/index.ts'

const WORDS: Record<ImportKind, { title: string; what: string; notes: readonly string[] }> = {
  items: {
    title: 'Items from a list',
    what: 'New items, and figures of items that are there. Only the columns that the list has are changed.',
    notes: [
      'Amounts are in the item’s unit: g, ml, m, m2 or pcs. Prices are of one pack.',
      'A second line with the same name adds a further pack; its other cells stay empty.',
      'Hazard and precautionary statements stand one a line within their cell; pictograms as GHS07 GHS09.',
      'A supplier that is not there yet is made.',
    ],
  },
  lots: {
    title: 'Lots and opening balances',
    what: 'What is on the shelf when you begin: a line for every can, the half-used ones with what is left in them.',
    notes: [
      'amount is what is left, in the item’s unit; value is what that much is worth, 0 if nothing.',
      'An empty expires_on counts the item’s shelf life from the day it came; write none where it has no date.',
      'state is fresh, test first, not structural or discard; empty is fresh. holder is a member’s name for their own stock, empty for the club’s.',
      'Lots are numbered anew: write the numbers on the cans afterwards.',
    ],
  },
  entries: {
    title: 'Past receipts and draws',
    what: 'What came in and went out before, in the order in which it happened: that order decides what each draw cost.',
    notes: [
      'kind is receipt or draw. A receipt has its value; what a draw costs follows from the book.',
      'lot ties draws to the receipt with the same number in this list; without it, what expires first goes first.',
      'A draw goes to a build (and one of its tasks), to a member in charged_to, or to the club.',
      'Lots keep by their dates of today: leave expires_on empty for what was used up long ago.',
    ],
  },
}

export function ListsPage() {
  return (
    <Layout title="Lists in and out" section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }]} />}>
      <p>As CSV, which every spreadsheet opens and saves. A list is looked at first, line by line; it comes in whole or not at all.</p>
      {(['items', 'lots', 'entries'] as const).map((kind) => (
        <Sheet key={kind} title={WORDS[kind].title}>
          <p>{WORDS[kind].what}</p>
          <ButtonRow>
            <ButtonLink href={`/stores/import/${kind}`}>Bring in</ButtonLink>
            {/* Not by htmx: a file is not a page. */}
            <a class="button button-plain" href={`/stores/export/${kind}.csv`} hx-boost="false" download>{kind === 'entries' ? 'Take out the whole ledger' : kind === 'lots' ? 'Take out what is there' : 'Take out'}</a>
          </ButtonRow>
        </Sheet>
      ))}
    </Layout>
  )
}

export type ImportProps = { kind: ImportKind; columns: readonly string[]; required: readonly string[]; most: number; report?: ImportReport; refusal?: FormRefusal; typed?: Typed }

const SHOWN = 300

export function ImportPage({ kind, columns, required, most, report, refusal, typed }: ImportProps) {
  const words = WORDS[kind]
  const isFine = report !== undefined && report.faults.length === 0
  const needsAgain = refusal?.fields?.['again'] !== undefined
  return (
    <Layout title={words.title} section="stores" above={<Breadcrumb items={[{ href: '/stores', text: 'Stores' }, { href: '/stores/import', text: 'Lists in and out' }]} />}>
      {report && !refusal && (isFine
        ? <Notice kind="good">{plural(report.lines.length, 'line')} can be brought in. Nothing is booked yet.</Notice>
        : <Notice kind="care">{plural(report.faults.length, 'line')} can’t be used as it stands, so nothing can be brought in yet.</Notice>)}
      {report && report.faults.length > 0 && (
        <Sheet title="What can’t be used">
          <ul class="faults">{report.faults.map(({ line, message }) => <li key={`${line} ${message}`}><b>line {line}:</b> {message}</li>)}</ul>
        </Sheet>
      )}
      {isFine && (
        <Sheet title="What it does">
          <Table
            caption="Line by line" quietCaption rows={report.lines.slice(0, SHOWN)} rowKey={(l) => String(l.line)}
            columns={[{ key: 'line', heading: 'Line', cell: (l) => l.line }, { key: 'does', heading: 'What it does', cell: (l) => l.does }]}
          />
          {report.lines.length > SHOWN && <p>And {report.lines.length - SHOWN} more.</p>}
        </Sheet>
      )}
      <Form action={`/stores/import/${kind}`} refusal={refusal} typed={typed} label="The list">
        <div class="from-file" data-into="text" hidden>
          <label>Choose its file <input type="file" accept=".csv,.txt,text/csv,text/plain" /></label>
        </div>
        <TextArea name="text" label="The list" required rows={12} hint={`Paste it here with its first line, which names the columns; at most ${most} lines`} />
        {needsAgain && <CheckField name="again" label="Bring it in again, all of it happened twice" />}
        <ButtonRow>
          <Button name="do" value="check" kind={isFine ? 'plain' : 'main'}>Look at it first</Button>
          {(isFine || needsAgain) && <Button name="do" value="import">Bring it in</Button>}
        </ButtonRow>
      </Form>
      <Sheet title="How the list looks">
        <p>{words.what}</p>
        <p>The columns, in any order: {columns.map((name, at) => <>{at > 0 && ', '}{required.includes(name) ? <b>{name}</b> : name}</>)}. Those in bold must be there.</p>
        <ul>
          {words.notes.map((note) => <li key={note}>{note}</li>)}
          <li>Dates are written 2026-06-30; decimals with a point. A cell with a comma, a quotation mark or a line break stands in quotation marks, and a quotation mark in it is doubled.</li>
        </ul>
        <ButtonRow><a class="button button-plain" href={`/stores/export/${kind}.csv`} hx-boost="false" download>A list of what is there, as a pattern</a></ButtonRow>
      </Sheet>
    </Layout>
  )
}
