import type { ComponentChildren } from 'preact'

/** open: a recoat window is open · curing: a film is wet or hardening · missed: let go, to be washed and sanded. */
export type SwatchState = 'waiting' | 'ready' | 'under-way' | 'curing' | 'open' | 'missed' | 'paused' | 'done'

const WORDS: Record<SwatchState, string> = {
  waiting: 'waiting',
  ready: 'ready',
  'under-way': 'under way',
  curing: 'curing',
  open: 'window open',
  missed: 'window missed',
  paused: 'paused',
  done: 'done',
}

/** A state in words with a sign of its own shape, so that nobody has to tell colours apart. */
export function Swatch({ state, children }: { state: SwatchState; children?: ComponentChildren }) {
  return (
    <span class={`swatch swatch-${state}`}>
      <Sign state={state} />
      <span>{children ?? WORDS[state]}</span>
    </span>
  )
}

/** The sign alone, beside words that say the state. */
export function Sign({ state }: { state: SwatchState }) {
  return (
    <svg class={`sign sign-${state}`} viewBox="0 0 16 16" width="16" height="16" aria-hidden="true" focusable="false">
      {SHAPES[state]}
    </svg>
  )
}

const SHAPES: Record<SwatchState, ComponentChildren> = {
  // A ring of dashes.
  waiting: <circle class="sign-line" cx="8" cy="8" r="6" stroke-dasharray="2.5 2.2" />,
  // An arrowhead: it can go.
  ready: <path class="sign-fill" d="M3 2.500 14 8 3 13.500z" />,
  // A disc, half full.
  'under-way': (
    <>
      <circle class="sign-line" cx="8" cy="8" r="6" />
      <path class="sign-fill" d="M8 2a6 6 0 0 1 0 12z" />
    </>
  ),
  // A hatched square.
  curing: (
    <>
      <rect class="sign-line" x="2" y="2" width="12" height="12" />
      <path class="sign-line" d="M2 8 8 2M2 14 14 2M8 14l6-6" />
    </>
  ),
  // A full disc in a ring.
  open: (
    <>
      <circle class="sign-line" cx="8" cy="8" r="6.800" />
      <circle class="sign-fill" cx="8" cy="8" r="4.300" />
    </>
  ),
  // The ring, struck through.
  missed: (
    <>
      <circle class="sign-line" cx="8" cy="8" r="6" />
      <path class="sign-line" d="M2.500 13.500 13.500 2.500" />
    </>
  ),
  paused: <path class="sign-fill" d="M3.500 2.500h3v11h-3zM9.500 2.500h3v11h-3z" />,
  done: <path class="sign-line sign-thick" d="M2.500 8.500 6.500 12.500 13.500 4" />,
}

/** A small word on something: pinned, projected, supervised only. */
export function Tag({ children }: { children: ComponentChildren }) {
  return <span class="tag">{children}</span>
}
