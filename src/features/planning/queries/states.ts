/** What the states of tasks mean for pages of planning. */
import type { TaskState } from '../../builds/public.ts'

export type CuringView = { readonly taskId: string; readonly buildId: string; readonly why: string; /** Hard enough for the next job; only its full cure is to come. */ readonly isHard: boolean }
export type ReadyView = { readonly taskId: string; readonly buildId: string; readonly why: string }
type States = ReadonlyMap<string, TaskState>

export const curingOf = (states: States): CuringView[] =>
  [...states.values()].flatMap((s) => (s.film && s.filmNext ? [{ taskId: s.taskId, buildId: s.buildId, why: s.why, isHard: s.filmNext.stage === 'fullCure' }] : []))

/** Under way first, then ready; without what the session's plan has anyway. */
export function readyOf(states: States, planned: readonly { readonly taskId: string }[]): ReadyView[] {
  const has = new Set(planned.map((p) => p.taskId))
  const open = [...states.values()].filter((s) => (s.state === 'ready' || (s.state === 'under-way' && s.waits.length === 0)) && !has.has(s.taskId))
  return [...open.filter((s) => s.state === 'under-way'), ...open.filter((s) => s.state === 'ready')].map(({ taskId, buildId, why }) => ({ taskId, buildId, why }))
}

export const finishedOf = (states: States): Set<string> => new Set([...states.values()].filter((s) => s.finishedAt !== null).map((s) => s.taskId))
