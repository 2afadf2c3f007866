import type { ComponentChildren } from 'preact'
import { useOwnId } from '../own-id.ts'
import { Sign, Swatch, type SwatchState } from '../swatch.tsx'

/** One of the coming sessions: a column. */
export type WeekColumn = { id: string; heading: ComponentChildren; href?: string; note?: ComponentChildren }

/** A piece of work in a cell, in the order it is done. */
export type WeekPiece = {
  id: string
  /** "14:00–15:30"; left out on projected columns. */
  time?: ComponentChildren
  text: string
  href?: string
  state?: SwatchState
  note?: ComponentChildren
}

/** A window that stands between two sessions, in words: "opens 15:10, shuts 21:00". */
export type WeekWindow = { id: string; state: Extract<SwatchState, 'open' | 'curing' | 'missed'>; coat?: string; text: ComponentChildren }

export type WeekRow = {
  id: string
  name: string
  href?: string
  /** Beside the name: "launch Sat 12 Jun". */
  note?: ComponentChildren
  /** One for each column. */
  cells: readonly (readonly WeekPiece[])[]
  /** What runs between column i and the next; one fewer than columns, or as many when something runs on after the last. */
  between: readonly (readonly WeekWindow[])[]
}

export type WeekChartProps = {
  caption: ComponentChildren
  /** What the chart says, in a sentence. */
  says: string
  columns: readonly WeekColumn[]
  rows: readonly WeekRow[]
}

/**
 * Builds under each other, the coming sessions side by side in equal columns, and between them what the films do meanwhile.
 * It is a table, so it needs no other beside it. On a narrow page each build's sessions stand under each other, those with nothing left
 * out; the roles are spelt out, because a table laid out as blocks is none any more to those who hear it.
 */
export function WeekChart({ caption, says, columns, rows }: WeekChartProps) {
  const id = useOwnId()
  // Where no row has anything to say, a narrow gap is enough.
  const isGap = columns.map((_, at) => rows.every((row) => (row.between[at] ?? []).length === 0))
  return (
    <figure class="week-chart">
      <figcaption class="chart-says">{says}</figcaption>
      <div class="table-scroll" role="region" tabIndex={0} aria-labelledby={id}>
        <table class="weeks" role="table">
          <caption id={id}>{caption}</caption>
          <thead role="rowgroup">
            <tr role="row">{columns.map((column, at) => <Head key={column.id} column={column} isLast={at === columns.length - 1} isGap={isGap[at] === true} />)}</tr>
          </thead>
          {rows.map((row) => (
            <tbody key={row.id} role="rowgroup">
              <tr class="weeks-build" role="row">
                <th scope="rowgroup" role="rowheader" colSpan={columns.length * 2 - 1}>
                  <span class="weeks-name">{row.href ? <a href={row.href}>{row.name}</a> : row.name}{row.note && <span class="weeks-note">{row.note}</span>}</span>
                </th>
              </tr>
              <tr role="row">{columns.map((column, at) => <Cells key={column.id} row={row} column={column} at={at} isLast={at === columns.length - 1} isGap={isGap[at] === true} />)}</tr>
            </tbody>
          ))}
        </table>
      </div>
    </figure>
  )
}

function Head({ column, isLast, isGap }: { column: WeekColumn; isLast: boolean; isGap: boolean }) {
  return (
    <>
      <th scope="col" role="columnheader" class="weeks-session">
        {column.href ? <a href={column.href}>{column.heading}</a> : column.heading}
        {column.note && <span class="weeks-note">{column.note}</span>}
      </th>
      {!isLast && <th scope="col" role="columnheader" class={isGap ? 'weeks-between weeks-gap' : 'weeks-between'}><span class="hidden">in between</span></th>}
    </>
  )
}

function Cells({ row, column, at, isLast, isGap }: { row: WeekRow; column: WeekColumn; at: number; isLast: boolean; isGap: boolean }) {
  const pieces = row.cells[at] ?? []
  const windows = row.between[at] ?? []
  // A row must not lose all its cells: one with nothing at all says so once.
  const isBare = row.cells.every((cell) => cell.length === 0) && row.between.every((gap) => gap.length === 0)
  const isFree = pieces.length === 0 && !(isLast && windows.length > 0) && !(isBare && at === 0)
  return (
    <>
      <td role="cell" class={isFree ? 'weeks-session weeks-free' : 'weeks-session'}>
        {!isBare && <span class="weeks-phone" aria-hidden="true">{column.heading}</span>}
        {pieces.length === 0 ? <span class="weeks-nothing">nothing planned</span> : <ol>{pieces.map((piece) => <Piece key={piece.id} piece={piece} />)}</ol>}
        {isLast && <Windows windows={windows} />}
      </td>
      {!isLast && <td role="cell" class={`weeks-between${isGap ? ' weeks-gap' : ''}${windows.length === 0 ? ' weeks-free' : ''}`}><Windows windows={windows} /></td>}
    </>
  )
}

function Piece({ piece }: { piece: WeekPiece }) {
  return (
    <li>
      {piece.time && <span class="weeks-time">{piece.time}</span>}
      <span class="weeks-text">
        {piece.state && <Sign state={piece.state} />}
        {piece.state && <span class="hidden">{piece.state.replace('-', ' ')}: </span>}
        {piece.href ? <a href={piece.href}>{piece.text}</a> : piece.text}
      </span>
      {piece.note && <span class="weeks-note">{piece.note}</span>}
    </li>
  )
}

function Windows({ windows }: { windows: readonly WeekWindow[] }) {
  return (
    <>
      {windows.map((window) => (
        <div key={window.id} class="weeks-window">
          <Swatch state={window.state}>{window.coat && <b>{window.coat}: </b>}{window.text}</Swatch>
        </div>
      ))}
    </>
  )
}
