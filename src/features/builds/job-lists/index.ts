import { sailingDinghy } from './sailing-dinghy/index.ts'
import type { JobList } from './types.ts'

/** The standard job lists that a build can be started from. */
export const jobLists: readonly JobList[] = [sailingDinghy]
export const jobListByKey = (key: string): JobList | undefined => jobLists.find((l) => l.key === key)
export { sailingDinghy }
