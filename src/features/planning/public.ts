export { planOnce, type Outcome, type PlannerParts } from './jobs/planner.ts'
export { solveHere, type Solver } from './jobs/solve.ts'
export { presetSheet } from './option-sheets/commands/preset.ts'
