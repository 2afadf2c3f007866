import type { Ahead } from '../../src/features/planning/outlook.ts'
import type { StockNeed } from '../../src/features/planning/stock-model.ts'
import { Swatch } from '../shared/index.ts'
import { dayOrWeek, orderWords, runOutWords, sentence, taskName, workName, type StockWords } from './words.ts'

export const levelHref = (itemId: string): string => `/stores/items/${itemId}/level`

export const ItemLink = ({ a }: { a: Ahead }) => <a href={levelHref(a.item.id)}>{a.item.name}</a>

/** A task that takes something, by its build; nothing but "work on another build" where that is its team's alone. */
export function WorkLink({ w, need, withBuild = true }: { w: StockWords; need: Pick<StockNeed, 'taskId' | 'buildId'>; withBuild?: boolean }) {
  if (!w.names.builds.has(need.buildId)) return <>{workName(w, need)}</>
  return <a href={`/builds/${need.buildId}/tasks/${need.taskId}`}>{withBuild ? workName(w, need) : taskName(w, need.taskId)}</a>
}

/** Runs out and order by, each with a sign of its own. */
export function Marks({ w, a }: { w: StockWords; a: Ahead }) {
  const out = runOutWords(w, a)
  const order = orderWords(w, a)
  if (!out && !order) return <Swatch state="done">{a.needed > 0 ? 'covered' : 'nothing to do'}</Swatch>
  return (
    <>
      {out && <p class="mark-line"><Swatch state="missed">{sentence(out)}</Swatch></p>}
      {order && <p class="mark-line"><Swatch state="open">{sentence(order)}</Swatch></p>}
    </>
  )
}

/** When a need comes up. */
export const needDay = (w: StockWords, at: number | null): string => (at === null ? 'no day yet' : dayOrWeek(w, at))
