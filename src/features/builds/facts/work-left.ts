/** How much of a task is left. Pure. */

export type LeftFacts = {
  kind: 'shared' | 'together' | 'unattended'
  workLikelyMin: number
  statedLeftMin: number | null
  finishedAt: Date | null
}
export type Logged = {
  /** Person-minutes that count as progress. */
  personMin: number
  /** Elapsed minutes that count as progress. */
  elapsedMin: number
  /** The same, logged after somebody stated what is left. */
  personMinSince: number
  elapsedMinSince: number
  firstAt: Date | null
  lastEnd: Date | null
}
export const nothingLogged: Logged = { personMin: 0, elapsedMin: 0, personMinSince: 0, elapsedMinSince: 0, firstAt: null, lastEnd: null }

/**
 * What a person stated less what was logged since; else likely less logged. Never less than a tenth of likely (or of what was stated, if that is
 * less) until it is marked finished: a task that nobody finished has something left. Person-minutes for shared work, elapsed minutes else.
 */
export function workLeft(task: LeftFacts, logged: Logged): number {
  if (task.finishedAt !== null) return 0
  if (task.kind === 'unattended') return task.statedLeftMin ?? task.workLikelyMin
  const shared = task.kind === 'shared'
  const tenth = Math.ceil(task.workLikelyMin / 10)
  if (task.statedLeftMin !== null) {
    const left = task.statedLeftMin - (shared ? logged.personMinSince : logged.elapsedMinSince)
    return Math.max(1, left, Math.min(tenth, task.statedLeftMin))
  }
  return Math.max(1, tenth, task.workLikelyMin - (shared ? logged.personMin : logged.elapsedMin))
}

/** The same for the wash and sand before a coat whose window was missed, in person-minutes. */
export function washLeft(link: { washMin: number | null; washLoggedMin: number; washDoneAt: Date | null }): number {
  if (link.washDoneAt !== null || link.washMin === null) return 0
  return Math.max(1, Math.ceil(link.washMin / 10), link.washMin - link.washLoggedMin)
}

/** Elapsed minutes from the first to the last stroke with all the hands it takes. */
export function shortestApplication(task: { kind: 'shared' | 'together' | 'unattended'; workLikelyMin: number; handsTo: number }): number {
  return task.kind === 'shared' ? Math.max(1, Math.ceil(task.workLikelyMin / Math.max(1, task.handsTo))) : Math.max(1, task.workLikelyMin)
}
