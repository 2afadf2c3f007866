/** How many of the hours meant really come. */
import type { Attendance, AttendanceEvidence } from './types.ts'

/**
 * Before any week is known (common practice, no source): of hours that people meant to come, about 78 in 100 come (fewer hours than meant is the first of
 * what builders say their builds slip by), for one build more, for another less (`sd`); a single week differs by `weekSd`, for of a few people's sessions
 * one more or less is much; and bad weeks come in runs, as illness and holidays do (one builder's log has 12 hours in March and 2 in May). Deviation
 * and correlation of weeks are known no better than from `weekCount` weeks.
 */
const PRIOR = { mean: 0.78, sd: 0.12, weekSd: 0.3, follows: 0.45, weekCount: 10 } as const
/** More than this share came: counts as so much, for it says that the plan was no plan. */
const MOST_SHARE = 1.5
/** A long session counts for more than a short one, but not for more than this many usual weeks. */
const MOST_WEIGHT = 3
const MEAN = { least: 0.05, most: 1 } as const
const WEEK_SD = { least: 0.05, most: 0.5 } as const
const MOST_FOLLOWS = 0.8
const PRIOR_SQUARES = PRIOR.weekCount * PRIOR.weekSd ** 2
/** Weeks' worth of spread that their own mean takes away, if they follow each other as they usually do. */
const MEAN_TAKES = (1 + PRIOR.follows) / (1 - PRIOR.follows)
/** So much over the number of weeks is the correlation of few weeks about their own mean too small: (1 + 3 rho) / n (M. G. Kendall 1954, from memory). */
const SHORT = 1 + 3 * PRIOR.follows

/**
 * What past weeks, in their order, say about the weeks to come: the mean of their shares by hours planned, shrunk to the prior by a normal model with
 * known deviation, as if of so many independent weeks as weeks that follow each other are worth. Weeks of a pause or with nothing planned are none.
 */
export function learnAttendance(weeks: readonly AttendanceEvidence[]): Attendance {
  const counted = weeks.filter(({ planned, came }) => planned > 0 && came >= 0)
  const usual = counted.reduce((sum, w) => sum + w.planned, 0) / counted.length
  const shares = counted.map(({ planned, came }) => ({ share: Math.min(MOST_SHARE, came / planned), weight: Math.min(MOST_WEIGHT, planned / usual) }))
  const weights = shares.reduce((sum, w) => sum + w.weight, 0)
  if (weights === 0) return { mean: PRIOR.mean, sd: PRIOR.sd, weekSd: PRIOR.weekSd, follows: PRIOR.follows, weeks: 0 }

  const seen = shares.reduce((sum, w) => sum + w.weight * w.share, 0) / weights
  const off = shares.map((w) => w.share - seen)
  const squares = shares.reduce((sum, w, i) => sum + w.weight * off[i]! ** 2, 0) * (counted.length / weights)
  const weekSd = within(Math.sqrt((PRIOR_SQUARES + squares) / (PRIOR.weekCount + Math.max(0, counted.length - MEAN_TAKES))), WEEK_SD.least, WEEK_SD.most)
  const apart = off.slice(1).reduce((sum, x, i) => sum + x * off[i]!, 0)
  const alike = off.reduce((sum, x) => sum + x * x, 0)
  const follows = within((PRIOR.follows * PRIOR_SQUARES + apart + (SHORT / counted.length) * alike) / (PRIOR_SQUARES + alike), 0, MOST_FOLLOWS)

  const worth = (weights ** 2 / shares.reduce((sum, w) => sum + w.weight ** 2, 0)) * ((1 - follows) / (1 + follows))
  const [before, of] = [1 / PRIOR.sd ** 2, worth / weekSd ** 2]
  const mean = (PRIOR.mean * before + seen * of) / (before + of)
  return { mean: within(mean, MEAN.least, MEAN.most), sd: Math.sqrt(1 / (before + of)), weekSd, follows, weeks: counted.length }
}

const within = (x: number, least: number, most: number): number => Math.min(most, Math.max(least, x))
