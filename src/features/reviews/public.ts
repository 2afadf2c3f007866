export { agreeBaseline, type AgreeBaseline } from './progress/commands.ts'
export { progressOf } from './progress/queries.ts'
export type { Progress } from './progress/model.ts'
