import type { UnplannedReason } from '../../../src/core/schedule/answer.ts'
import type { FixedWhy } from '../../../src/features/planning/model.ts'
import { duration, list, plural } from '../../shared/times.ts'
import { competenceName, itemName, resourceName, STAGE, taskName, type Words } from './names.ts'

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
    case 'material':
      return `it waits for ${itemName(w, reason.materialId)}, which would not be here before ${w.times.day(reason.at - 1)}. Get it sooner, or free what other boats have been promised`
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
const broken = (rule: string): string => BROKEN[rule] ?? 'what was logged since leaves no room for it'

const BROKEN: Readonly<Record<string, string>> = {
  finished: 'it is done',
  paused: 'her build is paused',
  place: 'it is not done in that place any more',
  closed: 'its place is shut then',
  length: 'the time is not what the task needs',
  hands: 'there are too few or too many hands for it',
  presence: 'somebody it needs is not here all that time',
  busy: 'its people are at other work then',
  team: 'somebody on it is not on this build',
  competence: 'nobody checked for it is here then',
  supervisor: 'nobody who may supervise it is here then',
  release: 'it was not to start yet',
  now: 'its time has passed',
  horizon: 'it lies too far ahead',
  work: 'nothing of it is left to do',
  blocked: 'a tool, the bay or the place is taken, shut or wet then',
  link: 'what comes before it can’t be ready by then',
  once: 'it is done in one piece, and has one',
}
