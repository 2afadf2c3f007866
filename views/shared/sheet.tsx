import type { ComponentChildren } from 'preact'
import { useOwnId } from './own-id.ts'

/** A sheet of paper on the board: a part of a page with its heading. */
export function Sheet({ title, children, actions }: { title: ComponentChildren; children: ComponentChildren; actions?: ComponentChildren }) {
  const id = useOwnId()
  return (
    <section class="paper" aria-labelledby={id}>
      <div class="paper-head">
        <h2 id={id}>{title}</h2>
        {actions && <div class="button-row">{actions}</div>}
      </div>
      {children}
    </section>
  )
}

/** Sheets side by side where there is room, under each other where not. */
export function Board({ children }: { children: ComponentChildren }) {
  return <div class="board">{children}</div>
}
