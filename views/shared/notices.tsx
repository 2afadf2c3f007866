import type { ComponentChildren } from 'preact'

export type NoticeProps = { children: ComponentChildren; kind?: 'plain' | 'good' | 'care'; title?: string }

/** A slip pinned to the page. It never blames: it says what is so and what helps. */
export function Notice({ children, kind = 'plain', title }: NoticeProps) {
  return (
    <div class={`notice notice-${kind}`}>
      {title && <p class="notice-title">{title}</p>}
      {children}
    </div>
  )
}

/** Safety where the hazard is: short, and deferring to those who know. */
export function Caution({ children, defers = 'The data sheet, local codes and competent people come first.' }: { children: ComponentChildren; defers?: string }) {
  return (
    <div class="caution" role="note" aria-label="Caution">
      <svg class="caution-sign" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false">
        <path d="M12 2.500 22.500 21h-21z" />
        <path class="caution-mark" d="M12 9v6M12 17.200v1.600" />
      </svg>
      <div>
        {typeof children === 'string' ? <p>{children}</p> : children}
        <p class="caution-defers">{defers}</p>
      </div>
    </div>
  )
}

/** Nothing here yet, and what to do about it. */
export function Empty({ children, action }: { children: ComponentChildren; action?: ComponentChildren }) {
  return (
    <div class="empty">
      <p>{children}</p>
      {action && <div class="button-row">{action}</div>}
    </div>
  )
}
