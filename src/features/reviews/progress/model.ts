/** Shapes of progress. Minutes are hands-on minutes of all hands, money cents, instants epoch minutes, days 'YYYY-MM-DD' local. */

export type BaselineLine = {
  id: string
  /** Counts within the build, from 1. */
  no: number
  agreedAt: number
  by: string
  /** Empty for the first. */
  reason: string
  launchAt: number | null
  targetOn: string | null
  totalMin: number
  budgetCents: number | null
  /** Materials that had no price. */
  unpriced: string[]
  /** What she was to come to by the estimate of that day. */
  massG: number | null
}

export type PhaseProgress = { name: string; totalMin: number; earnedMin: number }
/** At the end of the week that begins on `monday`; this week's: so far. `planned` null: nothing is agreed; `earned` null: a week to come. */
export type WeekPoint = { monday: string; planned: number | null; earned: number | null }

/** Work left that nobody agreed to yet: `taskId` of a wash is the coat that it is for. */
export type Extra = { taskId: string; name: string; leftMin: number; why: 'added' | 'rework' | 'wash' }

/** `earned`: what the material of the work done was to cost; `atEnd`: what she will have cost if the rest costs what was agreed. */
export type MoneyProgress = { budget: number; spent: number; earned: number; atEnd: number }

export type Progress = {
  /** The agreed plan in force; null: none was agreed, and shares are of her tasks as they stand. */
  baseline: BaselineLine | null
  /** All that were agreed, newest first. */
  baselines: BaselineLine[]
  totalMin: number
  earnedMin: number
  /** Of the agreed plan, what was meant to be done by now; null: none is agreed. */
  plannedMin: number | null
  /** Hours that people really gave her so far, set-up, clearing up and rework too. */
  workedMin: number
  /** Work left that is not in the agreed plan: added tasks, rework, washes. */
  extraMin: number
  extras: Extra[]
  /** Agreed and not finished then, and gone from her tasks since. */
  gone: { name: string; minutes: number }[]
  /** All work left, of the agreed plan or not. */
  leftMin: number
  /** Weeks of the agreed plan by earned schedule: above 0 behind, below ahead; null: nothing is agreed. */
  weeksBehind: number | null
  /** By work, 0 to 1. */
  share: number
  /** Material charged to her so far. */
  spentCents: number
  /** null: nothing is agreed, or nothing had a price then. */
  money: MoneyProgress | null
  /** `likelyG`: by the estimate when the plan was agreed. */
  mass: { targetG: number | null; likelyG: number | null; weighedG: number | null }
  /** When she was put together enough to look like a boat, and how much of her work was done by then; null: she is not, or nobody can tell. */
  shape: { at: number; share: number } | null
  series: WeekPoint[]
  phases: PhaseProgress[]
}

/** What would make her target the date of even chance. */
export type MakeGood = { extraPerWeekMin: number } | 'not by hours' | null

export type ProgressPage = {
  build: { id: string; name: string; state: 'active' | 'paused' | 'launched'; launchTarget: string | null }
  progress: Progress
  makesGood: MakeGood
  /** What she comes to by her estimate as it is now. */
  estimatedG: number | null
  /** What could be agreed now; null: there is no plan. */
  plan: { id: string; launchAt: number | null; unplanned: string[] } | null
  hasTasks: boolean
}
