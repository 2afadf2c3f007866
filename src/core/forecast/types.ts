/**
 * When will she be launched? The plan's order of work is simulated many times over, each time with other work, other people coming,
 * another season and other faults, and the launches are counted. Instants and minutes as the planner has them.
 */
import type { Instant, Minutes } from '../units/index.ts'

/** Kinds of work whose pace is learnt apart: making and fitting, glue and glass, sanding and fairing, paint and varnish, lifting and turning. */
export const CRAFTS = ['wood', 'resin', 'sanding', 'finish', 'handling'] as const
export type Craft = (typeof CRAFTS)[number]

/** Three points of work as estimated: 0 <= low <= likely <= high. Mean and deviation by the 1959 formulas (`pertMean`, `pertSd`). */
export interface ThreePoints { readonly low: number; readonly likely: number; readonly high: number }

/** A normal distribution of a natural logarithm: median exp(mean). */
export interface LogNormal { readonly mean: number; readonly sd: number }

/** One task (or wash) that is worked at: hands-on minutes of all hands, estimated beside worked. */
export interface PaceEvidence {
  readonly buildId: string
  readonly craft: Craft
  /** PERT mean of its estimate, set-up and clear-up not counted; for one that isn't finished the share of it that is done. */
  readonly estimated: number
  /** Minutes really worked on it. */
  readonly worked: number
  /** Standard deviation of the estimate alone (PERT). */
  readonly sd: number
}

/** What one kind of work takes beside its estimate. */
export interface PaceFactor {
  readonly craft: Craft
  /** Median factor: 1.2 is a fifth longer than estimated. */
  readonly factor: number
  /** 80 % interval of the factor. */
  readonly low: number
  readonly high: number
  /** Tasks that count, and the standard deviation of the logarithms of their ratios (0 for fewer than two). */
  readonly count: number
  readonly spread: number
}

/** Pace of one build: a common factor, one for each kind of work beside it, and what single tasks differ by. */
export interface Pace {
  /** Log factor common to all her work. */
  readonly common: LogNormal
  /** Log factor of each kind of work on top of the common one. */
  readonly crafts: Readonly<Record<Craft, LogNormal>>
  /** Standard deviation of a single task's log ratio beside its own three points. */
  readonly taskSd: number
  /** As pages tell it: common and craft together. */
  readonly factors: readonly PaceFactor[]
}

/** One past week: minutes that people were meant to be there, and were. A week with nothing planned is none. */
export interface AttendanceEvidence { readonly planned: number; readonly came: number }

/** How often planned hours really come: a share that is the build's own for good, and one that each week draws anew, following the week before. */
export interface Attendance {
  /** Mean share, 0 < share <= 1, and its own standard deviation (it is drawn once in a simulated launch). */
  readonly mean: number
  readonly sd: number
  /** Standard deviation of a single week's share about it, and the correlation of a week with the next, 0 to below 1. */
  readonly weekSd: number
  readonly follows: number
  readonly weeks: number
}

/** How often finished work has to be done again, by kind of work, and how much of it then. */
export interface Rework {
  readonly chance: Readonly<Record<Craft, number>>
  /** Share of the task's own work that the repair takes. */
  readonly share: ThreePoints
  readonly tasks: number
}

/** What is not certain about one build. */
export interface Uncertainty {
  /** Work left of each task and wash: hands-on minutes of all hands (of an unattended task: its minutes). Tasks that are left out take what the problem says. */
  readonly left: ReadonlyMap<string, ThreePoints>
  readonly craft: ReadonlyMap<string, Craft>
  readonly phase: ReadonlyMap<string, string>
  readonly pace: Pace
  readonly attendance: Attendance
  readonly rework: Rework
  /** Standard deviation in °C of a coming month's level about the climate model. */
  readonly temperatureSd: number
}

/** What keeps work waiting, told in the causes that people can do something about. */
export const CAUSES = ['work', 'people', 'cure', 'cold', 'tool', 'delivery', 'competence', 'place', 'date'] as const
export type Cause = (typeof CAUSES)[number]

export interface Driver {
  /** Mean elapsed minutes on the way to the launch that fall to it. */
  readonly minutes: number
  /** Share of the launch's variance that goes with it, 0 to 1. */
  readonly spread: number
}

/** A question beside the plan as it is. */
export interface WhatIf {
  /** More minutes of hands each week, from now on. */
  readonly extraPerWeek?: Minutes
  /** One more helper whenever the shed is open and somebody of the team is there; knows what anyone may do, holds no competence. */
  readonly helper?: boolean
  /** The places of her work so much warmer, °C. */
  readonly warmer?: number
}

export interface Simulation {
  readonly runs: number
  /** Launch of each run in ascending order; Infinity: not within what was foreseen. Minutes as Instant. */
  readonly launches: Float64Array
  readonly byPhase: ReadonlyMap<string, Driver>
  readonly byCause: Readonly<Record<Cause, Driver>>
  /** Spread that goes with each uncertain thing, shares of 1. */
  readonly bySource: Readonly<Record<'work' | 'pace' | 'attendance' | 'temperature' | 'rework', number>>
  /** Hands-on minutes left: mean of the runs, rework in it. */
  readonly meanWork: number
}

/** What would make the target, or that nothing does, and what binds then. */
export interface CatchUp {
  readonly target: Instant
  /** Share of runs that must make it: 0.5 or 0.8. */
  readonly share: number
  /** Null: the target is made as it is. */
  readonly extraPerWeek: Minutes | 'not by hours' | null
  readonly helper: boolean | null
  /** Fewest degrees that make it, or that warmth doesn't. */
  readonly warmer: number | 'not by warmth' | null
  /** Where nothing of this makes it: what most of the way waits for, with the task or thing. */
  readonly binds: { readonly cause: Cause; readonly taskId: string | null; readonly what: string | null } | null
  /** Launch at `share` under each of them, for the page. */
  readonly launches: { readonly now: Instant | null; readonly extra: Instant | null; readonly helper: Instant | null; readonly warmer: Instant | null }
}
