/** How often finished work has to be done again. */
import { CRAFTS, type Craft, type Rework, type ThreePoints } from './types.ts'

/**
 * Before anything is known (common practice, no source): glue and glass bubble and bond badly, paint runs and takes dust, a joint slips now and then. As if
 * seen on `WEIGHT` tasks of each kind.
 */
const CHANCE: Readonly<Record<Craft, number>> = { wood: 0.05, resin: 0.1, sanding: 0.05, finish: 0.12, handling: 0.03 }
const WEIGHT = 20
/** Share of the task's own work that putting it right takes (common practice, no source): a patch, half of it anew, stripped and more than all of it anew. */
const SHARE: ThreePoints = { low: 0.1, likely: 0.4, high: 1.2 }

/** Beta-binomial by kind of work: (prior chance x prior weight + done again) / (prior weight + finished). The order of the tasks changes nothing. */
export function learnRework(finishedTasks: readonly { readonly craft: Craft; readonly reworked: boolean }[]): Rework {
  const chance = (craft: Craft): number => {
    const tasks = finishedTasks.filter((t) => t.craft === craft)
    return (CHANCE[craft] * WEIGHT + tasks.filter((t) => t.reworked).length) / (WEIGHT + tasks.length)
  }
  return { chance: Object.fromEntries(CRAFTS.map((c) => [c, chance(c)])) as Record<Craft, number>, share: SHARE, tasks: finishedTasks.length }
}
