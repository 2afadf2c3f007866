import type { UnplannedReason } from '../../../src/core/schedule/answer.ts'
import type { FixedWhy } from '../../../src/features/planning/model.ts'
import { duration, list, plural } from '../times.ts'
import { competenceName, resourceName, STAGE, taskName, type Words } from './names.ts'

const COLD: Record<'cold' | 'hot' | 'humid' | 'dew', string> = {
  cold: 'it never gets warm enough for it while people are here: heat the place, or take a product for the cold',
  hot: 'it never gets cool enough for it while people are here: come early or late in the day',
  humid: 'the air never gets dry enough for it while people are here: heat or dry the place',
  dew: 'surfaces stay too near the dew point while people are here: warm the place and the boat',
}

/** Why a task has no place in the plan, with the way out; the part after "can’t be planned:". */
export function unplannedReason(w: Words, reason: UnplannedReason): string {
  const { names } = w
  switch (reason.kind) {
    case 'no-stretch':
      return `it takes ${duration(reason.need)} in one go and the longest stretch is ${duration(reason.longest)}. Split the task, or plan a longer session`
    case 'hands':
      return `it takes ${plural(reason.need, 'person', 'people')} at once and at most ${reason.most} ${reason.most === 1 ? 'comes' : 'come'}. Ask helpers to one session, or put fewer hands on it`
    case 'competence':
      return `nobody who comes is checked for ${competenceName(w, reason.competenceId)}. Have somebody checked, or ask one who is`
    case 'resource':
      return `it takes ${reason.need} × ${resourceName(w, reason.resourceId)} and there ${reason.most === 1 ? 'is' : 'are'} ${reason.most}. Get more, or change what the task needs`
    case 'gate':
      return COLD[reason.limit]
    case 'place':
      return 'none of its places is open while somebody is there. Give it another place, or look at the closures'
    case 'stage': {
      const from = names.links.get(reason.linkId)?.from
      return `${from ? taskName(w, from) : 'the coat before'} never gets ${STAGE[reason.stage]}. Look at the figures of its product, or warm the place`
    }
    case 'window': {
      const from = names.links.get(reason.linkId)?.from
      return `it has to follow ${from ? taskName(w, from) : 'the coat before'} within its window, and nobody can. Allow a wash and sand on that link, or plan a session in the window`
    }
    case 'lag':
      return 'the waits asked for between it and its neighbours can’t all be kept. Loosen one of them'
    case 'held':
      return `${resourceName(w, reason.resourceId)} is held for other work all the time. Free it, or get another`
    case 'before':
      return `it comes after ${taskName(w, reason.taskId)}, which can’t be planned either`
    case 'horizon':
      return 'there are not enough hours for it in the next two years. More people or more sessions would help'
    case 'demand-exceeds-capacity':
      return `all that needs ${resourceName(w, reason.resourceId)} is more than there is of it`
    case 'circle':
      return `its links lead round in a circle (${list(reason.taskIds.map((id) => taskName(w, id)))}). Take one of these links away`
  }
}

const WHY = { pinned: 'was pinned to', frozen: 'was agreed for', 'under-way': 'was under way at' } as const

/** A piece that a person fixed, or that had begun, and that facts made impossible. */
export function droppedReason(w: Words, dropped: { taskId: string; start: number; why: FixedWhy; fault: { readonly rule: string } }): string {
  return `${taskName(w, dropped.taskId)} ${WHY[dropped.why]} ${w.times.dayTime(dropped.start)}, but that can’t be done any more: ${broken(dropped.fault.rule)}`
}

/** In a few words, by the rule that the piece would break. */
function broken(rule: string): string {
  for (const [part, text] of BROKEN) if (rule.includes(part)) return text
  return 'what was logged since leaves no room for it'
}

const BROKEN: readonly (readonly [part: string, text: string])[] = [
  ['presence', 'somebody it needs is not here then'],
  ['busy', 'its people are at other work then'],
  ['hands', 'there are not enough hands then'],
  ['competence', 'nobody checked for it is here then'],
  ['supervis', 'nobody is here to supervise it then'],
  ['resource', 'a tool or bay it needs is taken then'],
  ['hold', 'a tool or bay it needs is taken then'],
  ['window', 'the film is not ready then, or past its window'],
  ['stage', 'the film is not ready then'],
  ['wash', 'the film is washed and sanded first'],
  ['gate', 'it is too cold, too warm or too damp then'],
  ['dust', 'dust and a wet film would meet'],
  ['place', 'its place is shut then'],
  ['lag', 'a wait before it is not over'],
  ['finish', 'something before it is not done'],
  ['link', 'something before it is not done'],
  ['release', 'it was not to start yet'],
  ['work', 'there is less or more of it left to do'],
]
