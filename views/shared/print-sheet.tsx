import type { ComponentChildren } from 'preact'

export type PrintSheetProps = {
  children: ComponentChildren
  foot?: ComponentChildren
  /** How many lines of about its width stand on it: few are printed large, many small, so that it stays one page. */
  lines?: number
}

/** What is printed of a page: one A4 sheet in black on white, without the header around it. Boxes to tick by hand are TickBox. */
export function PrintSheet({ children, foot, lines = 0 }: PrintSheetProps) {
  return (
    <div class={lines > 55 ? 'sheet sheet-full sheet-packed' : lines > 34 ? 'sheet sheet-full' : lines > 20 ? 'sheet sheet-half' : 'sheet'}>
      {/* Works with the little script in static/; without it the browser's own menu prints the same. */}
      <p class="print-line no-print">
        <button type="button" class="button button-plain" data-print hidden>Print</button>
        <span class="print-hint">Prints on A4: take Print in the browser’s menu.</span>
      </p>
      {children}
      {foot && <div class="sheet-foot">{foot}</div>}
    </div>
  )
}

/** An empty square for a pencil. */
export function TickBox() {
  return (
    <svg class="tick-box" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true" focusable="false">
      <rect x="1.500" y="1.500" width="13" height="13" />
    </svg>
  )
}
