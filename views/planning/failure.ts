import type { ProblemRefusal } from '../../src/core/schedule/index.ts'
import type { Failed } from '../../src/features/planning/model.ts'
import { itemName, taskName, type Words } from './words.ts'

/** Why there is no new plan: what can be put right is named. */
export function failureWords(w: Words, failed: Failed): string {
  const stands = 'The plan before stands.'
  if (failed.kind !== 'refused') return `The plan could not be worked out anew; the log says why. ${stands}`
  const first = failed.refusals[0]
  return `The plan could not be worked out anew: ${first ? refusalWords(w, first) : 'something in it does not fit together'}. ${stands}`
}

const FIGURE = 'a figure in it can’t be right; look at what was changed last'

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
    case 'duplicate-supply':
      return `two deliveries of ${itemName(w, refusal.materialId)} are down for the same time (${w.times.dayTime(refusal.at)}); make them one`
    case 'bad-number':
      return w.names.items.has(refusal.owner)
        ? `a figure of ${itemName(w, refusal.owner)} can’t be right; look at its stock, its orders and its lead time` : FIGURE
    default:
      return FIGURE
  }
}
