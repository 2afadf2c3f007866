/** Lists as CSV (RFC 4180), and safe to open in a spreadsheet. Pure. */
import { CsvError, parse, type InfoRecord } from 'csv-parse/sync'
import { stringify } from 'csv-stringify/sync'

/** A spreadsheet takes a cell that begins like this for a formula. */
const FORMULA = /^'*[=+\-@\t\r]/
const PLAIN_NUMBER = /^[+-]?\d+(\.\d+)?$/

/** Puts an apostrophe before what a spreadsheet would run; a plain number, also a negative one, stays. `readCell` undoes exactly this. */
export const safeCell = (text: string): string => (FORMULA.test(text) && !PLAIN_NUMBER.test(text) ? `'${text}` : text)
export const readCell = (text: string): string => (text.startsWith("'") && FORMULA.test(text) ? text.slice(1) : text)

/** Records end in CRLF; a cell with a comma, a quotation mark or a line break stands in quotation marks. With a mark of its coding (UTF-8), so that m² comes through. */
export function toCsv(headings: readonly string[], rows: readonly (readonly string[])[]): string {
  return stringify([headings, ...rows].map((row) => row.map(safeCell)), { record_delimiter: '\r\n', bom: true })
}

export type CsvFault = { line: number; message: string }
/** `line` is the line of the file in which the record begins, from 1. */
export type CsvRow<C extends string> = { line: number; cells: Record<C, string> }
/** `present`: the columns that the first line names; the cells of others are empty. */
export type CsvList<C extends string> = { rows: CsvRow<C>[]; faults: CsvFault[]; present: ReadonlySet<C> }

export type CsvColumns<C extends string> = {
  columns: readonly C[]
  /** Of these, which must be there. */
  required: readonly C[]
  /** Headings that are let through and not read. */
  ignored?: readonly string[]
}

/** Commas as the standard has them; semicolons and tabs as spreadsheets of many countries write them. */
function delimiterOf(text: string): string {
  const head = text.slice(0, text.search(/\r|\n|$/))
  return [',', ';', '\t'].map((mark) => ({ mark, count: head.split(mark).length })).reduce((a, b) => (b.count > a.count ? b : a)).mark
}

const lineBreaks = (text: string): number => text.match(/\r\n|\r|\n/g)?.length ?? 0

/** Lines of the file, counted on from record to record by where each ends: the reader's own count takes a CRLF inside a cell for two. */
function lineCounter(text: string) {
  const bytes = Buffer.from(text)
  let [at, line] = [0, 1]
  return (end: number): number => {
    const part = bytes.toString('utf8', at, end)
    const terminator = /(\r\n|\r|\n)$/.exec(part)?.[0].length ?? 0
    line += lineBreaks(part.slice(0, part.length - terminator))
    at = end - terminator
    return line
  }
}
const heading = (text: string): string => text.trim().toLowerCase().replaceAll(/[\s-]+/g, '_')

const FAULTS: Record<string, string> = {
  CSV_QUOTE_NOT_CLOSED: 'a quotation mark is opened here and never closed',
  INVALID_OPENING_QUOTE: 'a quotation mark stands inside a cell that is not in quotation marks itself; double it and put the whole cell in quotation marks: 4\' 5" is written "4\' 5"""',
  CSV_INVALID_CLOSING_QUOTE: 'something stands behind a closing quotation mark; a quotation mark inside a cell is doubled: 4\' 5" is written "4\' 5"""',
}

function records(text: string): { records: { record: string[]; line: number }[]; fault: CsvFault | null } {
  const found: { record: string[]; line: number }[] = []
  const lineAt = lineCounter(text)
  let ended = 0
  try {
    parse(text, {
      bom: true, delimiter: delimiterOf(text), relax_column_count: true, skip_empty_lines: true, skip_records_with_empty_values: true,
      on_record: (record: string[], { bytes }: InfoRecord) => {
        ended = lineAt(bytes)
        found.push({ record, line: ended - record.reduce((sum, cell) => sum + lineBreaks(cell), 0) })
        return null
      },
    })
    return { records: found, fault: null }
  } catch (error) {
    if (!(error instanceof CsvError)) throw error
    return { records: found, fault: { line: ended + 1, message: FAULTS[error.code] ?? 'this can’t be read as a list: check its quotation marks' } }
  }
}

/** Reads a list whose first line names its columns, in any order. Cells come as they stand, line breaks and outer spaces too. */
export function readCsv<C extends string>(text: string, { columns, required, ignored = [] }: CsvColumns<C>): CsvList<C> {
  const { records: all, fault } = records(text)
  const [first, ...rest] = all
  const faults: CsvFault[] = fault ? [fault] : []
  if (!first) return { rows: [], faults: faults.length > 0 ? faults : [{ line: 1, message: 'the list is empty' }], present: new Set() }
  const names = first.record.map(heading)
  const isKnown = (name: string): name is C => (columns as readonly string[]).includes(name)
  const strange = names.filter((name, at) => !isKnown(name) && !ignored.includes(name) && (name !== '' || all.some(({ record }) => (record[at] ?? '') !== '')))
  const twice = names.filter((name, at) => name !== '' && names.indexOf(name) !== at)
  const missing = required.filter((name) => !names.includes(name))
  const head = (message: string) => faults.push({ line: first.line, message })
  if (missing.length > 0) head(`the first line names the columns, and ${missing.map((name) => `“${name}”`).join(', ')} ${missing.length === 1 ? 'is' : 'are'} not among them`)
  else if (strange.length > 0) head(`there is no column ${strange.map((name) => `“${name}”`).join(', ')}; the columns are ${columns.join(', ')}`)
  if (twice.length > 0) head(`the column “${twice[0]}” is there twice`)
  const isHeadFine = missing.length === 0 && strange.length === 0 && twice.length === 0
  const rows = !isHeadFine ? [] : rest.flatMap(({ record, line }): CsvRow<C>[] => {
    if (record.length !== names.length) {
      faults.push({ line, message: `${record.length} ${record.length === 1 ? 'cell' : 'cells'}, but the first line names ${names.length} columns` })
      return []
    }
    const cells = Object.fromEntries(columns.map((column) => [column, readCell(record[names.indexOf(column)] ?? '')])) as Record<C, string>
    return [{ line, cells }]
  })
  return { rows, faults: faults.toSorted((a, b) => a.line - b.line), present: new Set(names.filter(isKnown)) }
}
