import type { CureStage } from '../../src/core/cure/types.ts'
import type { TaskState } from '../../src/features/builds/queries/task-states.ts'
import { CRAFT_WORDS, type SwatchState } from '../shared/index.ts'

export const GRADES = [
  { value: 'workboat', label: 'Workboat: sound and smooth enough' },
  { value: 'good', label: 'Good: fair, two topcoats' },
  { value: 'show', label: 'Show: as fair as it gets' },
] as const

export const SKILLS = [
  { value: 'first', label: 'First boat: much resin in the glass, and much left in the pots' },
  { value: 'some', label: 'Some experience' },
  { value: 'practised', label: 'Practised: as much resin as glass, little left over' },
] as const

const STATE_SWATCH: Record<TaskState['state'], SwatchState> = {
  done: 'done', paused: 'paused', 'under-way': 'under-way', ready: 'ready', waiting: 'waiting', curing: 'curing', wash: 'missed',
}
export const swatchOf = (t: { state: TaskState['state']; isWindowOpen?: boolean }): SwatchState => (t.isWindowOpen ? 'open' : STATE_SWATCH[t.state])

export const STAGES: readonly { value: CureStage; label: string }[] = [
  { value: 'dustFree', label: 'dust-free' },
  { value: 'opens', label: 'takes the next coat' },
  { value: 'sandable', label: 'sandable' },
  { value: 'handleable', label: 'handleable, clamps off' },
  { value: 'fullCure', label: 'fully cured' },
]
export const STAGE_WORD: Record<CureStage, string> = {
  workable: 'Workable until', dustFree: 'Dust-free', opens: 'Window opens', closes: 'Window shuts', sandable: 'Sandable', handleable: 'Handleable', fullCure: 'Full cure',
}

/** What a task's form offers; empty is told from the rest of it. */
export const CRAFT_OPTIONS = Object.entries(CRAFT_WORDS).map(([value, label]) => ({ value, label: `${label.charAt(0).toUpperCase()}${label.slice(1)}` }))

export const KINDS = [
  { value: 'shared', label: 'Shared: more hands, sooner done' },
  { value: 'together', label: 'Together: takes its time with all its hands at once' },
  { value: 'unattended', label: 'By itself: a delivery, a hire, a wait' },
] as const

/** "1 h 15", "45 min". */
export function hoursMin(min: number): string {
  if (min < 60) return `${Math.round(min)} min`
  const h = Math.floor(min / 60)
  const rest = Math.round(min - h * 60)
  return rest === 0 ? `${h} h` : `${h} h ${String(rest).padStart(2, '0')}`
}

/** A local date 'YYYY-MM-DD' by the club's language: it has no time, so no zone either. */
export const dayWords = (iso: string, locale: string): string =>
  new Intl.DateTimeFormat(locale, { weekday: 'short', day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' }).format(new Date(`${iso}T12:00:00Z`)).replaceAll(',', '')
