/**
 * The question with whole numbers for names: what the search works on. Tasks come first, then the washes of window links;
 * both are jobs. Instants are minutes from now.
 */
import type { CureStage } from '../cure/types.ts'
import type { Waits } from './materials.ts'
import type { OpenTimes } from './open-times.ts'
import type { Problem } from './problem.ts'
import type { Profile } from './profile.ts'

export interface Model {
  readonly problem: Problem
  readonly horizon: number
  readonly missedCost: number
  readonly people: readonly MPerson[]
  readonly places: readonly MPlace[]
  readonly resources: readonly MResource[]
  readonly builds: readonly MBuild[]
  /** Tasks 0..tasks-1 in order of id, then washes. */
  readonly jobs: readonly Job[]
  readonly tasks: number
  readonly links: readonly MLink[]
  readonly holds: readonly MHold[]
  readonly fixed: readonly MFixed[]
  /** Per competence: its id. */
  readonly competences: readonly string[]
  /** Instant of a cure stage of a coat of this product put on over [start, end) in this place, or -1 for never within the horizon. */
  readonly stageAt: (product: number, place: number, stage: CureStage, start: number, end: number) => number
  /** Sets of jobs that belong to a positive circle of lags. */
  readonly impossible: readonly (readonly number[])[]
}

/** No such instant: a stage that is never reached. */
export const NEVER = -1_000_000_000
/** Before every instant. */
export const LONG_AGO = -999_999_999

export interface MPerson {
  readonly id: string
  readonly helpsAnyone: boolean
  /** Presence rows, sorted, never overlapping. */
  readonly rows: Rows
  /** Per competence: last instant at which it is held at that level, or LONG_AGO. */
  readonly fullUntil: Int32Array
  readonly supervisedUntil: Int32Array
  readonly competenceCount: number
}
export interface Rows { readonly start: Int32Array; readonly end: Int32Array; readonly site: Int32Array; readonly projected: Uint8Array }

export interface MPlace { readonly id: string; readonly site: number; readonly closed: OpenTimes; readonly settle: number; readonly lastDust: number }
export interface MResource { readonly id: string; readonly site: number; readonly capacity: Profile; readonly most: number }

export interface MBuild {
  readonly id: string
  readonly priority: number
  readonly target: number | null
  readonly paused: boolean
  readonly launchJob: number
  /** Tasks of the build, not washes. */
  readonly jobs: readonly number[]
  /** Who may work on her: team first, then who helps anyone; the less able first, so that scarce competence stays free. */
  readonly eligible: readonly number[]
}

export interface Job {
  readonly index: number
  readonly id: string
  readonly build: number
  readonly kind: 'shared' | 'together' | 'unattended'
  /** Person-minutes (shared) or minutes still to do. */
  readonly work: number
  readonly handsFrom: number
  readonly handsTo: number
  /** 0: not divisible. */
  readonly smallest: number
  readonly setUp: number
  readonly clearUp: number
  readonly options: readonly Option[]
  readonly needs: readonly Need[]
  readonly competences: readonly number[]
  readonly dusty: boolean
  readonly product: number
  readonly sensitive: boolean
  readonly release: number
  /** The need of material that is covered last, if that is still to come; null: nothing to wait for. */
  readonly waits: Waits | null
  readonly startedAt: number | null
  readonly done: Done | null
  readonly paused: boolean
  /** Window link whose wash this is, or -1. */
  readonly washOf: number
  readonly into: readonly number[]
  readonly outOf: readonly number[]
  readonly opens: readonly number[]
  readonly closes: readonly number[]
  readonly eligible: readonly number[]
  /** Who may supervise: holders of a full level of any asked competence. */
  readonly supervisors: readonly number[]
}
/** A place the job may be done in; place -1: nowhere in particular. */
export interface Option {
  readonly place: number
  readonly site: number
  readonly gate: OpenTimes | null
  /** The most people of the build that are ever here at once. */
  readonly most: number
}
/** `asked`: everything the job asks of this resource at once, for checking. */
export interface Need { readonly resource: number; readonly amount: number; readonly until: CureStage | null; readonly asked: number }
export interface Done {
  readonly start: number
  readonly end: number
  readonly place: number
  readonly stages: Readonly<Record<CureStage, number>> | null
}

export type MLink = {
  readonly index: number
  readonly id: string
  readonly from: number
  readonly to: number
} & (
  | { readonly kind: 'finish'; readonly lag: number }
  | { readonly kind: 'lag'; readonly edge: 'start' | 'finish'; readonly min: number | null; readonly max: number | null }
  | { readonly kind: 'stage'; readonly stage: CureStage }
  | { readonly kind: 'window'; readonly wash: number; readonly state: 'open' | 'missed' | 'washed' | 'hard'; readonly washedAt: number }
)

export interface MHold {
  readonly index: number
  readonly id: string
  readonly build: number
  readonly resource: number
  readonly amount: number
  readonly from: number
  readonly to: number
}
export interface MFixed {
  readonly job: number
  readonly start: number
  readonly end: number
  readonly people: readonly number[]
  readonly supervisor: number
  readonly place: number
  readonly why: 'pinned' | 'frozen' | 'under-way'
}

/** One stretch of work as the search keeps it; `fixed` is an index into model.fixed or -1. */
export interface Draft {
  readonly start: number
  readonly end: number
  readonly people: readonly number[]
  readonly supervisor: number
  readonly place: number
  readonly fixed: number
}

/** Progress of one piece, in the unit of `job.work`. */
export function progress(job: Job, d: { readonly start: number; readonly end: number; readonly people: readonly number[] }): number {
  const worked = d.end - d.start - job.setUp - job.clearUp
  return job.kind === 'shared' ? worked * d.people.length : worked
}
