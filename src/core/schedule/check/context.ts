/** What every rule of the checker looks things up in. Nothing here is shared with the search. */
import { instantToLocal } from '../../calendar/zone.ts'
import type { CureStage } from '../../cure/types.ts'
import type { Instant } from '../../units/index.ts'
import type { Fault, Piece, Plan } from '../answer.ts'
import type { BuildSpec, Doing, Link, Place, Problem, TaskSpec, Wash } from '../problem.ts'
import { stageInstant, type Applied } from './cure.ts'

export type WindowLink = Extract<Link, { readonly kind: 'window' }>

/** A task or a wash, with its pieces in order of start. */
export interface Job {
  readonly id: string
  readonly buildId: string
  readonly doing: Doing
  readonly productId: string | null
  /** Null for a wash. */
  readonly task: TaskSpec | null
  /** The link whose wash this is; null for a task. */
  readonly washOf: WindowLink | null
  /** Done by fact. */
  readonly done: { readonly start: Instant; readonly end: Instant } | null
  readonly paused: boolean
  readonly pieces: Piece[]
}

export interface Context {
  readonly problem: Problem
  readonly plan: Plan
  readonly faults: Fault[]
  readonly jobs: ReadonlyMap<string, Job>
  readonly builds: ReadonlyMap<string, BuildSpec>
  readonly places: ReadonlyMap<string, Place>
  readonly windows: readonly WindowLink[]
  readonly fault: (rule: string, piece: Piece | null, text: string) => void
  /** Local date and time of an instant, for texts. */
  readonly when: (t: number) => string
  readonly siteOf: (piece: Piece) => string | null
  /** The application of a coat, planned or done; null: neither, or nobody wrote down where and when. */
  readonly applied: (job: Job) => Applied | null
  /** Instant of a stage; null: never; undefined: not known, as the coat isn't planned or its facts aren't written down. */
  readonly stage: (job: Job, stage: CureStage) => Instant | null | undefined
}

/** A kept piece that began before now: how it began is history, not a fault of the plan. */
export const isHistory = (problem: Problem, piece: Piece): boolean => piece.fixed !== null && piece.start < problem.now

export const worked = (piece: Piece, doing: Doing): number => piece.end - piece.start - doing.setUp - doing.clearUp
export const startOf = (job: Job): Instant | null => job.done?.start ?? job.pieces[0]?.start ?? null
export function finishOf(job: Job): Instant | null {
  if (job.done) return job.done.end
  let last: Instant | null = null
  for (const p of job.pieces) if (last === null || p.end > last) last = p.end
  return last
}
export const grouped = <K, V>(rows: Iterable<V>, key: (row: V) => K): Map<K, V[]> => {
  const groups = new Map<K, V[]>()
  for (const row of rows) {
    const group = groups.get(key(row))
    if (group) group.push(row)
    else groups.set(key(row), [row])
  }
  return groups
}

export function contextOf(problem: Problem, plan: Plan): Context {
  const faults: Fault[] = []
  const builds = new Map(problem.builds.map((b) => [b.id, b]))
  const places = new Map(problem.places.map((p) => [p.id, p]))
  const products = new Map(problem.products.map((p) => [p.id, p]))
  const pieces = grouped([...plan.pieces].sort((a, b) => a.start - b.start || a.end - b.end), (p) => p.taskId)
  const windows = problem.links.filter((l) => l.kind === 'window')
  const jobs = new Map<string, Job>()
  for (const task of problem.tasks) {
    jobs.set(task.id, {
      id: task.id, buildId: task.buildId, doing: task, productId: task.productId, task, washOf: null, done: task.finished,
      paused: builds.get(task.buildId)?.paused ?? false, pieces: pieces.get(task.id) ?? [],
    })
  }
  for (const link of windows) if (link.wash) jobs.set(link.wash.id, washJob(link, link.wash))

  function washJob(washOf: WindowLink, wash: Wash): Job {
    const { buildId, paused } = jobs.get(washOf.to)!
    const done = typeof wash.state === 'object' ? { start: wash.state.finished, end: wash.state.finished } : null
    return { id: wash.id, buildId, doing: wash, productId: null, task: null, washOf, done, paused, pieces: pieces.get(wash.id) ?? [] }
  }

  const applied = (job: Job): Applied | null => {
    const coat = job.task?.finished ? job.task.finished.coat : null
    if (coat) return coat
    const piece = job.pieces[0]
    if (job.done || !piece || piece.placeId === null) return null
    return { start: piece.start + job.doing.setUp, end: piece.end - job.doing.clearUp, placeId: piece.placeId, overrides: [] }
  }
  const rates = new Map<string, number>()
  const stage = (job: Job, stage: CureStage): Instant | null | undefined => {
    const coat = applied(job)
    const product = job.productId === null ? undefined : products.get(job.productId)
    const place = coat ? places.get(coat.placeId) : undefined
    if (!coat || !product || !place) return undefined
    return stageInstant(product, place.climate, coat, stage, rates)
  }
  const when = (t: number): string => {
    if (!Number.isFinite(t)) return 'no time'
    const { date, time } = instantToLocal(problem.zone, Math.floor(t) as Instant)
    return `${date} ${time}`
  }
  return {
    problem, plan, faults, jobs, builds, places, windows, applied, stage, when,
    fault: (rule, piece, text) => { faults.push({ rule, pieceId: piece?.id ?? null, text }) },
    siteOf: (piece) => (piece.placeId === null ? null : places.get(piece.placeId)?.siteId ?? null),
  }
}
