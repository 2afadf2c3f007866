import { ButtonLink, ButtonRow, Sheet } from '../shared/index.ts'
import { BAD_WORDS } from './snag-words.ts'
import type { TaskPageProps } from './task-props.ts'

/** What was found wrong at this task, what it mends, and a way to write down more. */
export function SnagsSheet({ build, task, snags, mayLog }: TaskPageProps & { mayLog: boolean }) {
  if (snags.length === 0 && !mayLog) return null
  return (
    <Sheet title={snags.length === 0 ? 'Found a fault?' : 'Snags'}>
      {snags.length > 0 && (
        <ul class="plain-list">
          {snags.map((s) => (
            <li key={s.id}>
              {s.isReworkHere && 'Mends '}<a href={`/builds/${build.id}/snags/${s.id}`}>{s.isReworkHere ? 'snag' : 'Snag'} {s.no}: {s.what}</a>{s.whereAt !== '' && `, ${s.whereAt}`}
              <span class="quiet"> ({s.isOpen ? BAD_WORDS[s.bad] : 'closed'})</span>
            </li>
          ))}
        </ul>
      )}
      {mayLog && (
        <ButtonRow>
          <ButtonLink href={`/builds/${build.id}/snags/new?task=${task.id}`}>Write down a snag</ButtonLink>
          <ButtonLink href={`/builds/${build.id}/log?task=${task.id}`}>Note or photo</ButtonLink>
        </ButtonRow>
      )}
    </Sheet>
  )
}
