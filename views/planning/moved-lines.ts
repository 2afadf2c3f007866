import type { Answer } from '../../src/features/planning/queries/moved.ts'
import type { Moved, PageClub } from '../shared/page-context.ts'
import { timeWords } from '../shared/times.ts'
import { failureWords } from './failure.ts'
import { byNearness, moveSentence } from './words.ts'

const SHOWN = 3

/** The lines that the page after a write shows. */
export function movedLines(answer: Answer, again: string, club: PageClub | null, now: Date): Moved[] {
  if (answer.state === 'waiting') return [{ text: 'The plan is being worked out; look again in a moment.', href: again, poll: again }]
  const w = { names: answer.names, times: timeWords(club, now), club }
  if (answer.state === 'failed') return [{ text: failureWords(w, answer.failed) }]
  const moves = [...answer.moves].sort(byNearness)
  if (moves.length === 0) return [{ text: 'The plan was worked out anew: nothing moves.' }]
  // Of several that each move for the same reason, the nearest say enough; launches are always told.
  const first = moves.slice(0, SHOWN)
  const launches = moves.filter((m) => m.kind === 'launch' && !first.includes(m))
  const lines: Moved[] = [...first, ...launches].map((m) => ({ text: moveSentence(w, m) }))
  const rest = moves.length - lines.length
  return rest > 0 ? [...lines, { text: `All ${moves.length} changes, each with its reason`, href: `/moved/${answer.plan.id}` }] : lines
}
