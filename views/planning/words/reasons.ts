import type { Binding } from '../../../src/core/schedule/answer.ts'
import type { FixedWhy, Reasoned, Slot, Window } from '../../../src/features/planning/model.ts'
import { duration } from '../../shared/times.ts'
import { amountOf, competenceName, itemName, placeName, resourceName, STAGE, taskName, type Words } from './names.ts'

/** "Sat 14:00", or the week alone where people are only assumed to come. */
export const when = ({ times }: Words, slot: Slot): string => (slot.projected ? times.week(slot.start) : times.dayTime(slot.start))

/** "opens 02:30, shuts Sun 14:00" */
export function windowTimes({ times }: Words, window: Window): string {
  const opens = `opens ${times.dayTime(window.opens)}`
  return window.closes === null ? `${opens}, stays open` : `${opens}, shuts ${times.timeOr(window.closes, window.opens)}`
}

/** Why a piece is not earlier, as the second half of a sentence. */
export function reason(here: Words, piece: Reasoned & { readonly projected?: boolean }): string {
  const { binding, window } = piece
  const w = piece.projected ? byWeek(here) : here
  // Two facts tell the whole: when the film would have been ready, and that people come later.
  if (binding.kind === 'nobody-here' && window && window.opens < piece.start) return `the window opens ${openTime(w, window, piece)} and ${absent(w, window.opens, piece.start)}`
  return bindingReason(w, binding, piece)
}

/** Where people are only assumed to come, a day and an hour would claim too much. */
function byWeek({ times, ...w }: Words): Words {
  return { ...w, times: { ...times, dayTime: times.week, timeOr: times.week, day: times.week } }
}

function openTime({ times }: Words, window: Window, piece: Reasoned): string {
  // 02:30 before a piece at 10:00 the same day needs no day; nor does the night that leads to it.
  return piece.start - window.opens < 24 * 60 ? times.time(window.opens) : times.dayTime(window.opens)
}

function absent({ times }: Words, opens: number, comes: number): string {
  const isOneNight = times.isNight(opens) && comes - opens < 16 * 60
  return isOneNight ? 'nobody is here at night' : 'nobody is here before'
}

function bindingReason(w: Words, binding: Binding, piece: Reasoned): string {
  const { times } = w
  switch (binding.kind) {
    case 'now':
      return 'nothing holds it up'
    case 'release':
      return `it was not to start before ${times.dayTime(binding.at)}`
    case 'fixed':
      return fixedReason(piece.fixed)
    case 'link':
      return `${taskName(w, binding.taskId)} has to be done first (${times.dayTime(binding.at)})`
    case 'cure':
      return `${taskName(w, binding.taskId)} is ${STAGE[binding.stage]} from ${times.dayTime(binding.at)}`
    case 'window':
      return windowReason(w, binding)
    case 'nobody-here':
      return `nobody is here before ${times.dayTime(binding.until)}`
    case 'hands':
      return binding.taskId === null ? `it takes ${people(binding.need)} and so many are not here sooner` : `its ${binding.need === 1 ? 'hands are' : `${binding.need} pairs of hands are`} busy with ${taskName(w, binding.taskId)} until then`
    case 'competence':
      return `nobody checked for ${competenceName(w, binding.competenceId)} is free sooner`
    case 'resource':
      return resourceReason(w, binding)
    case 'place':
      return `${placeName(w, binding.placeId)} is not free before ${times.dayTime(binding.until)}`
    case 'dust':
      return dustReason(w, binding)
    case 'gate':
      return `before that, ${gateReason(placeName(w, binding.placeId), binding.limit)}`
    case 'material':
      return materialReason(w, binding)
    case 'stretch':
      return `it takes ${duration(binding.minutes)} in one go, and no stretch before is long enough`
    case 'choice':
      return 'other work comes first, so that the boats are launched sooner'
  }
}

const people = (n: number): string => (n === 1 ? 'one person' : `${n} people`)

export function fixedReason(fixed: FixedWhy | null): string {
  if (fixed === 'pinned') return 'somebody pinned it to this time'
  if (fixed === 'under-way') return 'it is under way'
  return 'the session has begun, and its work stays as it was agreed'
}

function windowReason(w: Words, binding: Extract<Binding, { kind: 'window' }>): string {
  const { times } = w
  const coat = taskName(w, binding.taskId)
  const shuts = binding.closes === null ? '' : `, and shuts ${times.timeOr(binding.closes, binding.opens)}`
  if (binding.heldBack) return `${coat} was put later on purpose, so that its window (from ${times.dayTime(binding.opens)}${binding.closes === null ? '' : ` to ${times.timeOr(binding.closes, binding.opens)}`}) falls while somebody is here`
  return `the window on ${coat} opens ${times.dayTime(binding.opens)}${shuts}`
}

function resourceReason(w: Words, binding: Extract<Binding, { kind: 'resource' }>): string {
  const thing = resourceName(w, binding.resourceId)
  const until = binding.until === null ? '' : ` ${w.times.dayTime(binding.until)}`
  if (binding.taskId !== null) return `${thing} is taken by ${taskName(w, binding.taskId)}${until && ` until${until}`}`
  return until ? `${thing} is not there before${until}` : `${thing} is not there sooner`
}

function dustReason(w: Words, binding: Extract<Binding, { kind: 'dust' }>): string {
  const place = placeName(w, binding.placeId)
  const task = binding.taskId === null ? null : taskName(w, binding.taskId)
  if (binding.settling) return `dust ${task ? `from ${task} ` : ''}has to settle in ${place} first`
  return `it makes dust, and ${task ?? 'a coat'} in ${place} is still wet`
}

/** What comes within a day is here at its end, the first minute of the next. */
function materialReason(w: Words, { materialId, short, at }: Extract<Binding, { kind: 'material' }>): string {
  if (short === 0) return `it waits for ${itemName(w, materialId)} that is on order, here ${w.times.day(at - 1)}`
  return `it waits for ${amountOf(w, materialId, short)}; ordered today, here ${w.times.day(at - 1)}`
}

export type GateLimit = 'cold' | 'hot' | 'humid' | 'dew'

export function gateReason(place: string, limit: GateLimit): string {
  if (limit === 'cold') return `it is too cold in ${place}`
  if (limit === 'hot') return `it is too warm in ${place}`
  if (limit === 'humid') return `the air in ${place} is too humid`
  return `surfaces in ${place} are too near the dew point and may be damp`
}

/** Why a window is not used, as a whole sentence without its stop. */
export function missedReason(w: Words, missed: { linkId: string; why: 'no-window' | 'chosen' | 'fact'; opens: number | null; closes: number | null }): string {
  const link = w.names.links.get(missed.linkId)
  const from = link ? taskName(w, link.from) : 'the coat before'
  const to = link ? taskName(w, link.to) : 'the next coat'
  const { opens, closes } = missed
  const window = opens !== null ? windowTimes(w, { opens, closes }) : null
  const wash = `so it is washed and sanded before ${to}`
  if (missed.why === 'fact') return `the window on ${from} has shut${closes === null ? '' : ` (${w.times.dayTime(closes)})`}, ${wash}`
  if (missed.why === 'no-window') {
    const why = opens !== null && closes !== null ? `it would open ${w.times.dayTime(opens)} but shut ${w.times.timeOr(closes, opens)}` : 'it does not open in time'
    return `in this temperature there is no window on ${from}: ${why}, ${wash}`
  }
  return `the window on ${from}${window ? ` (${window})` : ''} is let go on purpose: waiting for one that suits would launch her later, ${wash}`
}
