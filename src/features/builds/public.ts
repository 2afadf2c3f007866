export { loadBuildsForPlanning, type BuildNames, type BuildsForPlanning } from './queries/planning.ts'
