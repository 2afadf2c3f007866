/** From what was logged to what pace, attendance and repairs are learnt from, and what is left with its three points. Pure. */
import { pertMean, pertSd } from '../../../core/forecast/index.ts'
import type { AttendanceEvidence, Craft, PaceEvidence, ThreePoints } from '../../../core/forecast/types.ts'

/** A task as it was estimated and as it stands. Minutes; `shared` of all hands together, else elapsed. */
export type Estimated = {
  readonly buildId: string
  readonly craft: Craft
  readonly kind: 'shared' | 'together' | 'unattended'
  readonly low: number
  readonly likely: number
  readonly high: number
  /** Hands that the planner reckons with, where work is done together. */
  readonly hands: number
  readonly isFinished: boolean
  readonly isStated: boolean
  /** Work left as the planner has it, in the same minutes. */
  readonly left: number
  /** Weights of the steps, and of those ticked. */
  readonly steps: { readonly of: number; readonly ticked: number }
}
/** Of these the minutes that are progress: set-up and clear-up are not. */
export type Worked = { readonly personMin: number; readonly elapsedMin: number }

/** A task that is hardly begun says little of its pace (common practice, no source). */
const LEAST_SHARE = 0.25
/** A task that isn't finished has something left, whatever is ticked. */
const MOST_SHARE = 0.9

/** More hands than it takes do not make together work slower: it counts with its own hands. */
const handsOn = (t: Pick<Estimated, 'kind' | 'hands'>, elapsed: number): number => (t.kind === 'together' ? elapsed * t.hands : elapsed)

/** Share of a task that is done: all of a finished one; as its people stated what is left; else as its steps are ticked. Null: nobody said. */
export function shareDone(t: Estimated, worked: Worked): number | null {
  if (t.isFinished) return 1
  const did = t.kind === 'shared' ? worked.personMin : worked.elapsedMin
  if (t.isStated && did > 0) return did / (did + t.left)
  if (t.steps.of > 0 && t.steps.ticked > 0) return Math.min(MOST_SHARE, t.steps.ticked / t.steps.of)
  return null
}

/** What one task says of the pace; null: nothing, for it waits by itself, has no hours, or is hardly begun. */
export function paceEvidence(t: Estimated, worked: Worked): PaceEvidence | null {
  if (t.kind === 'unattended' || t.likely <= 0) return null
  const share = shareDone(t, worked)
  const did = t.kind === 'shared' ? worked.personMin : handsOn(t, worked.elapsedMin)
  if (share === null || share < LEAST_SHARE || did <= 0) return null
  return { buildId: t.buildId, craft: t.craft, estimated: handsOn(t, pertMean(t)) * share, worked: did, sd: handsOn(t, pertSd(t)) * share }
}

/**
 * Three points of what is left, hands-on minutes: low and high stand to what is left as they stood to likely. A task that ran over its likely hours
 * may still take all that its high allowed for, unless somebody stated what is left.
 */
export function leftPoints(t: Estimated, worked: Worked): ThreePoints {
  const likely = handsOn(t, t.left)
  if (t.likely <= 0) return { low: likely, likely, high: likely }
  const did = t.kind === 'shared' ? worked.personMin : worked.elapsedMin
  const high = handsOn(t, Math.max((t.left * t.high) / t.likely, t.isStated ? 0 : t.high - did))
  return { low: (likely * t.low) / t.likely, likely, high: Math.max(likely, high) }
}

/** A past week of a build's team: what it began with, and what came of it. Minutes. */
export type PastWeek = {
  /** Hours that the team could come when the week began, answered or usual; and of these hours that were planned on her. */
  readonly available: number
  readonly planned: number
  /** Sessions that took place, and whether anybody at all was ticked in them. */
  readonly sessions: number
  readonly isTicked: boolean
  /** Minutes of her team in sessions as ticked, and logged at home. */
  readonly came: number
  /** Minutes logged on her, of all hands. */
  readonly logged: number
  /** She was paused or taken up again in it. */
  readonly isBroken: boolean
}

/**
 * What the hours meant were when the week began stands in the week itself, so that who says on the day that they can't come still counts as meant.
 * Came is what was ticked; where a club ticks nobody, hours planned on her beside hours logged stand in: they tell less, for they mix in what
 * people did beside her. A week with a pause in it, or with nothing meant, is none.
 */
export function attendanceEvidence(weeks: readonly PastWeek[]): AttendanceEvidence[] {
  return weeks.flatMap((w) => {
    if (w.isBroken) return []
    if (w.sessions > 0 && !w.isTicked) return w.planned > 0 ? [{ planned: w.planned, came: w.logged }] : []
    return w.available > 0 ? [{ planned: w.available, came: w.came }] : []
  })
}

/** What a month's level differs by from the climate of a place, °C (common practice, no source), as if seen in so many months. */
const USUAL_SD = 2
const USUAL_MONTHS = 4
/** Mean difference of a month's readings to the climate of their place. */
export function temperatureSd(months: readonly number[]): number {
  const squares = months.reduce((sum, d) => sum + d * d, USUAL_MONTHS * USUAL_SD ** 2)
  return Math.sqrt(squares / (USUAL_MONTHS + months.length))
}
