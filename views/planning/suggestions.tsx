import type { Suggestion } from '../../src/features/planning/model.ts'
import { TapForm, usePage } from '../shared/index.ts'
import { sentenceCase } from './pieces.tsx'
import { buildName, placeName, taskName, when, whoDoes, type Words } from './words.ts'

/** What could be done otherwise in the session that has begun: nobody's agreed work is moved without asking. */
export function SuggestionList({ w, suggestions, builds, back }: { w: Words; suggestions: readonly Suggestion[]; builds: readonly { id: string; onTeam: boolean }[]; back: string }) {
  const page = usePage()
  if (suggestions.length === 0) return null
  return (
    <div class="suggestions">
      <h3>It could also go like this</h3>
      <p class="muted">The session has begun, so its work stays as agreed unless you take one of these.</p>
      <ul>
        {suggestions.map((s) => (
          <li key={`${s.taskId}${s.start}`}>
            <p>
              {buildName(w, s.buildId)}: <b>{sentenceCase(taskName(w, s.taskId))}</b> {w.times.time(s.start)}–{w.times.time(s.end)}, {whoDoes(w, s.people, s.supervisor)}
              {s.placeId ? `, ${placeName(w, s.placeId)}` : ''}{s.instead ? ` (now planned ${when(w, s.instead)})` : ''}
            </p>
            {page.may('planning.pin', builds.some((b) => b.id === s.buildId && b.onTeam)) && !s.taskId.startsWith('wash:') && (
              <TapForm action={`/builds/${s.buildId}/plan/take`} fields={{ task: s.taskId, start: s.start, end: s.end, back }} about={taskName(w, s.taskId)}>Do it like this</TapForm>
            )}
          </li>
        ))}
      </ul>
    </div>
  )
}
