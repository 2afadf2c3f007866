/** What is uncertain, for tests of the forecast: nothing at all, or all of a club's work by the same rule. */
import { CRAFTS, type Craft, type ThreePoints, type Uncertainty } from '../../src/core/forecast/types.ts'
import { noEvidence } from '../../src/core/forecast/index.ts'
import type { Problem, Work } from '../../src/core/schedule/problem.ts'

const SURE = { mean: 0, sd: 0 }
const each = <T>(value: T): Record<Craft, T> => Object.fromEntries(CRAFTS.map((c) => [c, value])) as Record<Craft, T>

/** Work as the question has it, everybody comes, no month differs, nothing is done again. */
export const certain: Uncertainty = {
  left: new Map(), craft: new Map(), phase: new Map(), pace: { common: SURE, crafts: each(SURE), taskSd: 0, factors: [] },
  attendance: { mean: 1, sd: 0, weekSd: 0, follows: 0, weeks: 0 }, rework: { chance: each(0), share: { low: 0, likely: 0, high: 0 }, tasks: 0 }, temperatureSd: 0,
}
export const withPoints = (rows: Readonly<Record<string, readonly [number, number, number]>>): Uncertainty => ({
  ...certain, left: new Map(Object.entries(rows).map(([id, [low, likely, high]]) => [id, { low, likely, high }])),
})

/** Hands-on minutes of all hands. */
export const handsOn = (w: Work): number => (w.kind === 'shared' ? w.work : w.kind === 'together' ? w.minutes * w.hands : w.minutes)

/** Every task from 0.6 to 1.8 times its work (`by` times that), kinds of work by turns, a phase for each twenty tasks, the rest as before any evidence. */
export function uncertain(problem: Problem, by = 1): Uncertainty {
  const left = new Map<string, ThreePoints>()
  const craft = new Map<string, Craft>()
  const phase = new Map<string, string>()
  problem.tasks.forEach((t, i) => {
    const work = handsOn(t.work) * by
    left.set(t.id, { low: 0.6 * work, likely: work, high: 1.8 * work })
    craft.set(t.id, CRAFTS[i % CRAFTS.length]!)
    phase.set(t.id, `phase ${Math.floor(i / 20)}`)
  })
  return { left, craft, phase, ...noEvidence, temperatureSd: 1.5 }
}
