export { closeSession, type CloseSession } from './commands/close.ts'
export { comingSessions, type ComingSession } from './queries/coming.ts'
export { loadPlaces, loadResources, type LoadedPlaces } from './queries/places.ts'
export { loadPresence, loadZone, mayHoldKeys, type Stretch } from './queries/planning.ts'
