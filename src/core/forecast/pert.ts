/**
 * Mean and deviation of a task's work from its three points: D. G. Malcolm, J. H. Roseboom, C. E. Clark, W. Fazar, "Application of a Technique
 * for Research and Development Program Evaluation", Operations Research 7 (1959). Along a path variances are added, not deviations.
 */
import type { ThreePoints } from './types.ts'

/** (a + 4m + b) / 6, in the points' unit. */
export const pertMean = ({ low, likely, high }: ThreePoints): number => (low + 4 * likely + high) / 6

/** (b - a) / 6, in the points' unit. */
export const pertSd = ({ low, high }: ThreePoints): number => (high - low) / 6
