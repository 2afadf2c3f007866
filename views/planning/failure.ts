import type { ProblemRefusal } from '../../src/core/schedule/index.ts'
import type { Failed } from '../../src/features/planning/model.ts'
import { taskName, type Words } from './words.ts'

/** Why there is no new plan: what can be put right is named. */
export function failureWords(w: Words, failed: Failed): string {
  const stands = 'The plan before stands.'
  if (failed.kind !== 'refused') return `The plan could not be worked out anew; the log says why. ${stands}`
  const first = failed.refusals[0]
  return `The plan could not be worked out anew: ${first ? refusalWords(w, first) : 'something in it does not fit together'}. ${stands}`
}

function refusalWords(w: Words, refusal: ProblemRefusal): string {
  switch (refusal.kind) {
    case 'circle':
    case 'lag-circle':
      return `links lead round in a circle (${refusal.taskIds.map((id) => taskName(w, id)).join(', ')}); take one of them away`
    case 'divisible-coat':
      return `${taskName(w, refusal.taskId)} is a coat and can’t be done in several pieces`
    case 'not-a-coat':
      return `something waits for ${taskName(w, refusal.taskId)} to cure, but it has no cure product; give it one`
    case 'no-place':
      return `${taskName(w, refusal.taskId)} has no place to be done in; give it one`
    default:
      return 'a figure in it can’t be right; look at what was changed last'
  }
}
