import type { ComponentChildren } from 'preact'

/** How far something is, in words, with a bar under them; `share` from 0 to 1. */
export function Progress({ share, children }: { share: number; children: ComponentChildren }) {
  const part = Math.max(0, Math.min(1, share))
  return (
    <div class="progress">
      <p class="progress-words">{children}</p>
      <svg class="progress-bar" viewBox="0 0 100 6" width="100%" height="8" preserveAspectRatio="none" aria-hidden="true" focusable="false">
        <rect class="progress-all" x="0" y="0" width="100" height="6" />
        <rect class="progress-done" x="0" y="0" width={Math.round(part * 1000) / 10} height="6" />
      </svg>
    </div>
  )
}
