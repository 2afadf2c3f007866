import { jobListByKey, jobLists } from '../job-lists/index.ts'
import type { BoatDef } from '../job-lists/boat-def.ts'
import type { JobList } from '../job-lists/types.ts'

const NO_BOAT: BoatDef = { panels: [], seams: [], surfaces: [], joints: [], timbers: [], extras: [], kit: null }
/** For a build that no standard list fits: everything is added by hand. */
export const OWN_LIST: JobList = {
  key: 'own', version: 1, name: 'A list of her own', about: 'Starts without tasks: you add phases, tasks and links yourselves.', calibratedFor: '',
  measurements: [], phases: [], tasks: [], links: [], holds: [], boat: NO_BOAT,
}

export const startLists: readonly JobList[] = [...jobLists, OWN_LIST]
export const startList = (key: string): JobList | undefined => (key === OWN_LIST.key ? OWN_LIST : jobListByKey(key))
