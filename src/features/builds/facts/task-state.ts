/** What state a task is in and why: derived from facts each time, never stored. Pure. */
import type { CureStage, StageTimes } from '../../../core/cure/types.ts'

export type StateName = 'done' | 'paused' | 'under-way' | 'ready' | 'waiting' | 'curing' | 'wash'

/** One thing that a task waits for. Times are minutes since 1970-01-01T00:00Z. */
export type Wait =
  | { kind: 'task'; taskId: string }
  | { kind: 'lag'; taskId: string; until: number }
  | { kind: 'release'; until: number }
  | { kind: 'tool'; toolId: string; /** local date, null: none in the club */ arrivesOn: string | null }
  | { kind: 'cure'; taskId: string; stage: CureStage; until: number | null }
  | { kind: 'opens'; taskId: string; linkId: string; until: number | null; closes: number | null }
  | { kind: 'wash'; taskId: string; linkId: string; /** when the window shut; null: there never was one */ closed: number | null; from: number | null; leftMin: number }
  /** The window shut and nothing says what then. */
  | { kind: 'shut'; taskId: string; linkId: string; closed: number | null }

/** Recoat window of the coat before, as it really went on. */
export type OpenWindow = { linkId: string; taskId: string; opens: number | null; closes: number | null; /** the latest moment to begin setting up */ startBy: number | null }

export type StateOf = { state: StateName; waits: Wait[]; window: OpenWindow | null; /** latest start that a longest wait allows */ by: { taskId: string; at: number } | null }

export type StateTask = {
  id: string
  /** Shortest elapsed minutes of its application, and of the set-up before it. */
  applicationMin: number
  setUpMin: number
  startedAt: number | null
  finishedAt: number | null
  hasLogs: boolean
  release: number | null
  missingTools: readonly { toolId: string; arrivesOn: string | null }[]
  /** A coat that is on: its stages, findings counted. */
  film: StageTimes | null
}

export type StateLink = { id: string; from: string; washLeftMin: number; missedAt: number | null; washDone: boolean } & (
  | { kind: 'finish'; lag: number }
  | { kind: 'lag'; edge: 'start' | 'finish'; min: number | null; max: number | null }
  | { kind: 'stage'; stage: CureStage }
  | { kind: 'window'; hasWash: boolean }
)

export function stateOf(task: StateTask, into: readonly StateLink[], tasks: ReadonlyMap<string, StateTask>, paused: boolean, now: number): StateOf {
  if (task.finishedAt !== null) return { state: 'done', waits: [], window: null, by: null }
  const waits: Wait[] = []
  let window: OpenWindow | null = null
  let by: StateOf['by'] = null
  for (const link of into) {
    const from = tasks.get(link.from)
    if (!from) continue
    const seen = waitOf(task, link, from, now)
    if (seen.wait) waits.push(seen.wait)
    if (seen.window) window = seen.window
    if (seen.by !== null && (by === null || seen.by < by.at)) by = { taskId: from.id, at: seen.by }
  }
  if (task.release !== null && task.release > now) waits.push({ kind: 'release', until: task.release })
  for (const tool of task.missingTools) waits.push({ kind: 'tool', ...tool })
  return { state: nameOf(task, waits, paused), waits, window, by }
}

function nameOf(task: StateTask, waits: readonly Wait[], paused: boolean): StateName {
  if (paused) return 'paused'
  if (task.startedAt !== null || task.hasLogs) return 'under-way'
  if (waits.length === 0) return 'ready'
  if (waits.some((w) => w.kind === 'task' || w.kind === 'lag' || w.kind === 'release' || w.kind === 'tool' || w.kind === 'shut')) return 'waiting'
  // The wash can be done as soon as the film can be sanded; until then it cures like any other.
  return waits.some((w) => w.kind !== 'wash') ? 'curing' : 'wash'
}

type Seen = { wait: Wait | null; window: OpenWindow | null; by: number | null }
const wait = (w: Wait | null): Seen => ({ wait: w, window: null, by: null })

function waitOf(task: StateTask, link: StateLink, from: StateTask, now: number): Seen {
  const unfinished = from.finishedAt === null
  switch (link.kind) {
    case 'finish': {
      if (unfinished) return wait({ kind: 'task', taskId: from.id })
      const until = from.finishedAt! + link.lag
      return wait(until > now ? { kind: 'lag', taskId: from.id, until } : null)
    }
    case 'lag': {
      const edge = link.edge === 'start' ? (from.startedAt ?? from.finishedAt) : from.finishedAt
      if (edge === null) return wait(link.min === null ? null : { kind: 'task', taskId: from.id })
      const until = link.min === null ? edge : edge + link.min
      return { wait: until > now ? { kind: 'lag', taskId: from.id, until } : null, window: null, by: link.max === null ? null : edge + link.max }
    }
    case 'stage': {
      if (unfinished || from.film === null) return wait(unfinished ? { kind: 'task', taskId: from.id } : null)
      const until = from.film[link.stage]
      return wait(until !== null && until <= now ? null : { kind: 'cure', taskId: from.id, stage: link.stage, until })
    }
    case 'window':
      if (unfinished || from.film === null) return wait(unfinished ? { kind: 'task', taskId: from.id } : null)
      return windowOf(task, link, from.id, from.film, now)
  }
}

function windowOf(task: StateTask, link: StateLink & { kind: 'window' }, taskId: string, film: StageTimes, now: number): Seen {
  if (link.washDone) return wait(null)
  const { opens, closes, sandable } = film
  const startBy = closes === null ? null : closes - task.applicationMin - task.setUpMin
  const never = opens !== null && closes !== null && opens + task.applicationMin > closes
  const shut = link.missedAt !== null || never || (startBy !== null && startBy < now)
  const window: OpenWindow = { linkId: link.id, taskId, opens, closes, startBy }
  if (shut) {
    if (!link.hasWash) return { wait: { kind: 'shut', taskId, linkId: link.id, closed: closes }, window, by: null }
    if (sandable === null || sandable > now) return { wait: { kind: 'cure', taskId, stage: 'sandable', until: sandable }, window, by: null }
    return { wait: { kind: 'wash', taskId, linkId: link.id, closed: never ? null : (link.missedAt ?? closes), from: sandable, leftMin: link.washLeftMin }, window, by: null }
  }
  if (opens === null || opens > now) return { wait: { kind: 'opens', taskId, linkId: link.id, until: opens, closes }, window, by: null }
  return { wait: null, window, by: null }
}
