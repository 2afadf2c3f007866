/** Small parts that pages are made of. */
import type { ComponentChildren } from 'preact'
import { clockText, dateText, dayText, spanText, whenText } from './format.ts'
import { usePage } from './page-context.ts'

/** plain: to know; good: it went well; care: look here before going on. Never blame. */
export function Notice({ kind = 'plain', title, children }: { kind?: 'plain' | 'good' | 'care'; title?: string; children: ComponentChildren }) {
  return <div class={`notice ${kind}`}>{title && <p class="notice-title">{title}</p>}{children}</div>
}

/** Where the work can hurt someone: short, and the data sheet and local rules come first. */
export function Caution({ children }: { children: ComponentChildren }) {
  return <p class="caution"><strong>Caution.</strong> {children}</p>
}

export type State = 'waiting' | 'ready' | 'under-way' | 'curing' | 'window' | 'done' | 'paused'
const STATE_WORDS: Record<State, string> = { waiting: 'waiting', ready: 'ready', 'under-way': 'under way', curing: 'curing', window: 'window open', done: 'done', paused: 'paused' }

/** A state in words, with a mark of its own shape beside the colour. */
export function Swatch({ state, children }: { state: State; children?: ComponentChildren }) {
  return <span class={`swatch is-${state}`}>{children ?? STATE_WORDS[state]}</span>
}

export function Section({ title, id, children, actions }: { title: string; id?: string; children: ComponentChildren; actions?: ComponentChildren }) {
  return <section class="board" aria-labelledby={id ? `${id}-title` : undefined} id={id}><div class="board-title"><h2 id={id ? `${id}-title` : undefined}>{title}</h2>{actions && <div class="actions">{actions}</div>}</div>{children}</section>
}

export function Empty({ children, href, action }: { children: ComponentChildren; href?: string; action?: string }) {
  return <div class="empty"><p>{children}</p>{href && action && <p><a class="button main" href={href}>{action}</a></p>}</div>
}

export function Actions({ children }: { children: ComponentChildren }) {
  return <div class="actions">{children}</div>
}

export function DefinitionRows({ rows }: { rows: readonly (readonly [ComponentChildren, ComponentChildren])[] }) {
  return <dl class="rows">{rows.map(([k, v], i) => <div key={i}><dt>{k}</dt><dd>{v}</dd></div>)}</dl>
}

/** Share done in words, with a bar that says the same. */
export function Progress({ share, words }: { share: number; words: string }) {
  const percent = Math.round(Math.min(1, Math.max(0, share)) * 100)
  return (
    <span class="progress">
      <svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true"><rect class="track" width="100" height="8" /><rect class="filled" width={percent} height="8" /></svg>
      <span>{words}</span>
    </span>
  )
}

/** An instant: "Sat 28 Nov 14:00". */
export function When({ at, only }: { at: Date; only?: 'day' | 'clock' }) {
  const club = useClub()
  const text = only === 'day' ? dayText(at, club) : only === 'clock' ? clockText(at, club) : whenText(at, club)
  return <time datetime={at.toISOString()}>{text}</time>
}
export function Span({ from, to }: { from: Date; to: Date }) {
  return <time datetime={from.toISOString()}>{spanText(from, to, useClub())}</time>
}
/** A local date: "Sat 28 Nov 2026". */
export function OnDate({ date }: { date: Date | string }) {
  const iso = typeof date === 'string' ? date : date.toISOString().slice(0, 10)
  return <time datetime={iso}>{dateText(date, useClub())}</time>
}

/** Zone, locale and units of the club, with plain defaults before set-up. */
export function useClub() {
  return usePage().club ?? { name: 'Garboard', zone: 'UTC', units: 'metric' as const, currency: 'EUR', locale: 'en-GB' }
}

export interface Column<R> { readonly head: ComponentChildren; readonly cell: (row: R) => ComponentChildren; readonly numeric?: boolean; readonly rowHead?: boolean }

/** A table that scrolls in its own box on a phone. */
export function Table<R>({ caption, columns, rows, rowKey, empty }: { caption: string; columns: readonly Column<R>[]; rows: readonly R[]; rowKey: (row: R) => string; empty?: string }) {
  if (rows.length === 0 && empty) return <p class="muted">{empty}</p>
  return (
    <div class="table-box" tabindex={0} role="region" aria-label={caption}>
      <table>
        <caption>{caption}</caption>
        <thead><tr>{columns.map((c, i) => <th key={i} scope="col" class={c.numeric ? 'num' : undefined}>{c.head}</th>)}</tr></thead>
        <tbody>
          {rows.map((r) => (
            <tr key={rowKey(r)}>
              {columns.map((c, i) => c.rowHead ? <th key={i} scope="row">{c.cell(r)}</th> : <td key={i} class={c.numeric ? 'num' : undefined}>{c.cell(r)}</td>)}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}
