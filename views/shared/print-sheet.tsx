import type { ComponentChildren } from 'preact'

/** What is printed of a page: one A4 sheet in black on white, without the header around it. Boxes to tick by hand are TickBox. */
export function PrintSheet({ children, foot }: { children: ComponentChildren; foot?: ComponentChildren }) {
  return (
    <div class="sheet">
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
