import type { Move } from '../../../src/features/planning/model.ts'
import { plural, sentence } from '../../shared/times.ts'
import { buildName, peopleNames, personName, placeName, taskName, type Words } from './names.ts'
import { missedReason, reason, when } from './reasons.ts'
import { droppedReason, unplannedReason } from './unplanned.ts'

/** One difference between two plans as a sentence. `withBuild`: the page is not about one build alone. */
export function moveSentence(w: Words, move: Move, withBuild = true): string {
  const text = sentence(moveWords(w, move))
  return withBuild && move.kind !== 'launch' ? `${buildName(w, move.buildId)}: ${text}` : text
}

function moveWords(w: Words, move: Move): string {
  const { times } = w
  switch (move.kind) {
    case 'moved': {
      const also = move.others > 0 ? ` (and ${plural(move.others, 'later piece')} of it)` : ''
      const task = taskName(w, move.taskId)
      const [from, to] = [when(w, move.from), when(w, move.to)]
      if (move.to.start < move.from.start) return `${task}${also} comes forward from ${from} to ${to}`
      return `${task}${also} moves from ${from} to ${to}: ${reason(w, { ...move, projected: move.to.projected })}`
    }
    case 'planned': {
      const also = move.others > 0 ? ` (and ${plural(move.others, 'later piece')})` : ''
      if (move.more) return `${taskName(w, move.taskId)} takes another piece, ${when(w, move.to)}${also}`
      return `${taskName(w, move.taskId)} is now planned for ${when(w, move.to)}${also}`
    }
    case 'ends':
      return `${taskName(w, move.taskId)}, ${times.dayTime(move.start)}, goes on until ${times.timeOr(move.to, move.start)} and not ${times.timeOr(move.from, move.start)}`
    case 'people':
      return peopleMove(w, move)
    case 'place':
      return `${taskName(w, move.taskId)}, ${times.dayTime(move.start)}, is done in ${placeName(w, move.to)} and not in ${placeName(w, move.from)}`
    case 'unplanned': {
      const was = move.from ? ` (it was meant for ${when(w, move.from)})` : ''
      return `${taskName(w, move.taskId)} can’t be planned for now${was}: ${unplannedReason(w, move.reason)}`
    }
    case 'missed':
      return missedReason(w, move)
    case 'dropped':
      return droppedReason(w, move)
    case 'launch':
      return launchMove(w, move)
  }
}

function peopleMove(w: Words, move: Extract<Move, { kind: 'people' }>): string {
  const task = `${taskName(w, move.taskId)}, ${w.times.dayTime(move.start)}`
  const are = (ids: readonly string[]) => (ids.length === 1 ? 'is' : 'are')
  if (move.go.length === 0) return `${task}: ${peopleNames(w, move.come)} ${are(move.come)} on it too`
  if (move.come.length === 0) return `${task}: ${peopleNames(w, move.go)} ${are(move.go)} not needed for it now`
  return `${task}: ${peopleNames(w, move.come)} instead of ${peopleNames(w, move.go)}`
}

function launchMove(w: Words, move: Extract<Move, { kind: 'launch' }>): string {
  const name = buildName(w, move.buildId)
  if (move.to === null) return `${name} has no launch date for now: something before the launch can’t be planned`
  const to = launchDay(w, move.to)
  if (move.from === null) return `${name} has a launch date: ${to}`
  const from = launchDay(w, move.from)
  return move.to.start < move.from.start ? `${name} is launched sooner: ${to} and not ${from}` : `${name}’s launch moves from ${from} to ${to}`
}

/** A launch is told by its day, or by its week where people are only assumed to come. */
export const launchDay = ({ times }: Pick<Words, 'times'>, slot: { readonly start: number; readonly projected: boolean }): string =>
  slot.projected ? times.week(slot.start) : times.day(slot.start)

/** Moves that a person must know first: what can't be done, then what moves soon, then launches. */
export function byNearness(a: Move, b: Move): number {
  return rank(a) - rank(b) || at(a) - at(b) || compare(key(a), key(b))
}

const RANK: Record<Move['kind'], number> = { dropped: 0, moved: 1, missed: 1, unplanned: 2, launch: 3, planned: 4, place: 5, people: 6, ends: 7 }
const rank = (move: Move): number => RANK[move.kind]
const key = (move: Move): string => ('taskId' in move ? move.taskId : 'linkId' in move ? move.linkId : move.buildId)
const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)

function at(move: Move): number {
  switch (move.kind) {
    case 'moved':
      return Math.min(move.from.start, move.to.start)
    case 'planned':
      return move.to.start
    case 'unplanned':
      return move.from?.start ?? 0
    case 'missed':
      return move.opens ?? 0
    case 'launch':
      return move.to?.start ?? 0
    default:
      return move.start
  }
}

/** Who is on a piece: "Ann and Ben; Cleo supervises". */
export function whoDoes(w: Words, people: readonly string[], supervisor: string | null): string {
  const names = people.length === 0 ? 'nobody needed' : peopleNames(w, people)
  return supervisor === null ? names : `${names}; ${personName(w, supervisor)} supervises`
}
