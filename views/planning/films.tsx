import type { CuringView } from '../../src/features/planning/queries/states.ts'
import { Swatch } from '../shared/index.ts'
import { buildName, plural, taskName, type Words } from './words.ts'

/** Films that are still soft, and folded away those that only full cure is wanting of. */
export function Films({ films, w }: { films: readonly CuringView[]; w: Words }) {
  const soft = films.filter((c) => !c.isHard)
  const hard = films.filter((c) => c.isHard)
  return (
    <>
      {soft.length > 0 && <List films={soft} w={w} />}
      {hard.length > 0 && (
        <details class="no-print">
          <summary>{plural(hard.length, 'film')} hard enough to work on, not fully cured yet</summary>
          <List films={hard} w={w} />
        </details>
      )}
    </>
  )
}

function List({ films, w }: { films: readonly CuringView[]; w: Words }) {
  return (
    <ul class="windows">
      {films.map((c) => (
        <li key={c.taskId}>
          <Swatch state="curing">{buildName(w, c.buildId)}, <a href={`/builds/${c.buildId}/tasks/${c.taskId}`}>{taskName(w, c.taskId)}</a>: {c.why}</Swatch>
        </li>
      ))}
    </ul>
  )
}
