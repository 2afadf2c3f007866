/** A build's tasks as a change of the boat sees them. */
import type { Tx } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import type { Ctx } from '../../../platform/write.ts'
import type { BuildDraft, JobList } from '../job-lists/types.ts'

export const boatTask = {
  id: true, listKey: true, phaseId: true, position: true, name: true, note: true, caution: true, kind: true, workLowMin: true, workLikelyMin: true, workHighMin: true,
  handsFrom: true, handsTo: true, smallestMin: true, setUpMin: true, clearUpMin: true, portable: true, dusty: true, productId: true, minAir: true, maxAir: true,
  maxHumidity: true, dewPointMargin: true, releaseOn: true, statedLeftMin: true, startedAt: true, finishedAt: true, version: true,
  steps: { select: { text: true, tickedAt: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] },
  materials: { orderBy: [{ name: 'asc' }, { id: 'asc' }] },
  places: { select: { placeId: true }, orderBy: { placeId: 'asc' } },
  tools: { select: { toolId: true }, orderBy: { toolId: 'asc' } },
  competences: { select: { competenceId: true }, orderBy: { competenceId: 'asc' } },
  coat: { select: { id: true } },
  _count: { select: { workLogs: true, stockEntries: true, batches: true, pins: true, holdsFrom: true, holdsTo: true } },
} satisfies Prisma.TaskSelect
export type BoatTask = Prisma.TaskGetPayload<{ select: typeof boatTask }>

export interface Changing {
  readonly tx: Tx
  readonly ctx: Ctx
  readonly buildId: string
  readonly list: JobList
  readonly before: BuildDraft
  readonly after: BuildDraft
  /** As they were before anything was done. */
  readonly tasks: readonly BoatTask[]
  /** Started from a list that did not know lines of the estimate. */
  readonly isOld: boolean
}

export const isBegun = (t: BoatTask): boolean => t.startedAt !== null || t.finishedAt !== null || t.coat !== null || t._count.workLogs > 0
