import type { ReadyView } from '../../src/features/planning/queries/states.ts'
import { buildName, list, taskName, type Words } from './words.ts'

const SHOWN = 6

/** Tasks that nothing holds up and that the session's plan leaves out: for hands that are free. */
export function ReadyList({ w, ready }: { w: Words; ready: readonly ReadyView[] }) {
  if (ready.length === 0) return null
  const rest = ready.length - SHOWN
  return (
    <details class="no-print">
      <summary>If hands are free: {list(ready.slice(0, 2).map((r) => taskName(w, r.taskId)))}{ready.length > 2 ? ' …' : ''}</summary>
      <ul>
        {ready.slice(0, SHOWN).map((r) => (
          <li key={r.taskId}>
            <a href={`/builds/${r.buildId}/tasks/${r.taskId}`}>{buildName(w, r.buildId)}: {taskName(w, r.taskId)}</a>: {r.why}
          </li>
        ))}
      </ul>
      {rest > 0 && <p class="muted">{rest} more on the pages of the builds.</p>}
    </details>
  )
}
