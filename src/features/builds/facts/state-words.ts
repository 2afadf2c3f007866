/** The reason of a task's state as a sentence. Pure. */
import type { StateOf, Wait } from './task-state.ts'
import { hours, STAGE_WORDS, type ClubWords } from './words.ts'

export type StateNames = { task(id: string): string; tool(id: string): string }
export type StateFacts = StateOf & {
  finishedAt: number | null
  pauseNote: string
  loggedMin: number
  leftMin: number
  /** What the film of a coat that is on comes to next. */
  filmNext: { stage: keyof typeof STAGE_WORDS; at: number } | null
}

export const STATE_WORDS = {
  done: 'done', paused: 'paused', 'under-way': 'under way', ready: 'ready', waiting: 'waiting', curing: 'curing', wash: 'wash first',
} as const

export function why(state: StateFacts, names: StateNames, at: ClubWords['at']): string {
  switch (state.state) {
    case 'done': {
      const done = state.finishedAt === null ? 'Done' : `Done ${at(state.finishedAt)}`
      return state.filmNext === null ? `${done}.` : `${done}; her film is ${STAGE_WORDS[state.filmNext.stage]} ${at(state.filmNext.at)}.`
    }
    case 'paused':
      return state.pauseNote === '' ? 'The build is paused.' : `The build is paused: ${state.pauseNote}`
    case 'under-way': {
      const so = state.loggedMin > 0 ? `Under way: ${hours(state.loggedMin)} logged, about ${hours(state.leftMin)} left` : `Under way, about ${hours(state.leftMin)} left`
      return state.waits.length === 0 ? `${so}.${windowWords(state, at)}` : `${so}; ${waitList(state.waits, names, at)}.`
    }
    case 'ready':
      return state.window === null ? `Ready: nothing to wait for.${byWords(state, names, at)}` : `Ready.${windowWords(state, at)}`
    case 'waiting':
    case 'curing':
    case 'wash':
      return `${capital(waitList(state.waits, names, at))}.${byWords(state, names, at)}`
  }
}

function windowWords({ window }: StateOf, at: ClubWords['at']): string {
  if (window === null) return ''
  if (window.closes === null) return ' The window is open and does not shut.'
  const begin = window.startBy === null ? '' : `; begin by ${at(window.startBy)}`
  return ` The window is open until ${at(window.closes)}${begin}.`
}

const byWords = ({ by }: StateOf, names: StateNames, at: ClubWords['at']) => (by === null ? '' : ` Must begin by ${at(by.at)} because of “${names.task(by.taskId)}”.`)

/** Up to three reasons by name; of more, how many. */
function waitList(waits: readonly Wait[], names: StateNames, at: ClubWords['at']): string {
  const shown = waits.slice(0, 3).map((w) => waitWords(w, names, at))
  const more = waits.length - shown.length
  return shown.join('; ') + (more > 0 ? `; and ${more} more` : '')
}

export function waitWords(w: Wait, names: StateNames, at: ClubWords['at']): string {
  switch (w.kind) {
    case 'task':
      return `waits for “${names.task(w.taskId)}”`
    case 'lag':
      return `waits until ${at(w.until)} after “${names.task(w.taskId)}”`
    case 'release':
      return `not before ${at(w.until)}`
    case 'tool':
      return w.arrivesOn === null ? `waits for ${names.tool(w.toolId)}: the club has none in use` : `waits for ${names.tool(w.toolId)}, which comes ${w.arrivesOn}`
    case 'cure':
      return w.until === null ? `“${names.task(w.taskId)}” is not ${STAGE_WORDS[w.stage]} at these temperatures: warm the place` : `“${names.task(w.taskId)}” cures: ${STAGE_WORDS[w.stage]} ${at(w.until)}`
    case 'opens': {
      if (w.until === null) return `the window over “${names.task(w.taskId)}” does not open at these temperatures: warm the place`
      return `the window over “${names.task(w.taskId)}” opens ${at(w.until)}${w.closes === null ? '' : ` and shuts ${at(w.closes)}`}`
    }
    case 'wash': {
      const since = w.closed === null ? `there was no window over “${names.task(w.taskId)}”` : `the window over “${names.task(w.taskId)}” shut ${at(w.closed)}`
      return `${since}: wash and sand first, about ${hours(w.leftMin)}`
    }
    case 'shut':
      return `the window over “${names.task(w.taskId)}” shut${w.closed === null ? '' : ` ${at(w.closed)}`} and no wash-and-sand work is given: add it at the link, or unlink the two`
  }
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)
