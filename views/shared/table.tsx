import type { ComponentChildren } from 'preact'
import { useOwnId } from './own-id.ts'

export type Column<Row> = {
  key: string
  heading: ComponentChildren
  cell(row: Row): ComponentChildren
  /** Numbers stand to the right. */
  numeric?: boolean
  /** The cell that names the row; the first column unless said otherwise. */
  isName?: boolean
}

export type TableProps<Row> = {
  caption: ComponentChildren
  columns: readonly Column<Row>[]
  rows: readonly Row[]
  /** A key that stays with the row. */
  rowKey(row: Row): string
  /** The row's id on the page, for links that lead to it. */
  rowId?(row: Row): string
  /** Instead of a table without rows. */
  empty?: ComponentChildren
  foot?: ComponentChildren
  /** On a narrow page each row becomes a block with its headings beside its cells, instead of scrolling; unless most of it is figures. */
  stack?: boolean
  /** Hides the caption from sight where a heading above says the same. */
  quietCaption?: boolean
}

/** A table that scrolls by itself, also by keyboard, when the page is narrow. */
export function Table<Row>({ caption, columns, rows, rowKey, rowId, empty, foot, stack = isMostlyWords(columns), quietCaption = false }: TableProps<Row>) {
  const id = useOwnId()
  if (rows.length === 0 && empty) return <div class="empty">{typeof empty === 'string' ? <p>{empty}</p> : empty}</div>
  const nameAt = Math.max(0, columns.findIndex((column) => column.isName))
  // Laid out as blocks, a table is no table any more to those who hear it, unless its roles are spelt out.
  const role = (name: 'table' | 'rowgroup' | 'row' | 'cell' | 'rowheader' | 'columnheader') => (stack ? name : undefined)
  return (
    <div class="table-scroll" role="region" tabIndex={0} aria-labelledby={id}>
      <table class={stack ? 'table table-stack' : 'table'} role={role('table')}>
        <caption id={id} class={quietCaption ? 'caption-quiet' : undefined}>{caption}</caption>
        <thead role={role('rowgroup')}>
          <tr role={role('row')}>
            {columns.map((column) => <th key={column.key} scope="col" role={role('columnheader')} class={column.numeric ? 'numeric' : undefined}>{column.heading}</th>)}
          </tr>
        </thead>
        <tbody role={role('rowgroup')}>
          {rows.map((row) => (
            <tr key={rowKey(row)} id={rowId?.(row)} role={role('row')}>
              {columns.map((column, at) => {
                const heading = typeof column.heading === 'string' && column.heading !== '' ? column.heading : undefined
                if (at === nameAt) return <th key={column.key} scope="row" role={role('rowheader')}>{column.cell(row)}</th>
                return (
                  <td key={column.key} role={role('cell')} class={column.numeric ? 'numeric' : undefined} data-heading={stack ? heading : undefined}>
                    {stack ? <div class="cell">{column.cell(row)}</div> : column.cell(row)}
                  </td>
                )
              })}
            </tr>
          ))}
        </tbody>
        {foot && <tfoot>{foot}</tfoot>}
      </table>
    </div>
  )
}

function isMostlyWords<Row>(columns: readonly Column<Row>[]): boolean {
  return columns.filter((column) => column.numeric).length * 2 < columns.length
}

/** Names and what they are, in pairs; pairs without a value are left out. */
export function DefinitionRows({ rows }: { rows: readonly (readonly [name: ComponentChildren, value: ComponentChildren])[] }) {
  return (
    <dl class="rows">
      {rows
        .filter(([, value]) => value !== null && value !== undefined && value !== '')
        .map(([name, value], at) => (
          <div key={at}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
    </dl>
  )
}
