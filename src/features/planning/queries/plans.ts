import type { Binding } from '../../../core/schedule/answer.ts'
import type { Reader } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { toInstant } from '../times.ts'
import { washId, type Failed, type FixedWhy, type StoredBuild, type StoredPiece, type StoredPlan } from '../model.ts'

/** Statuses of plans that pages show; an attempt that failed is kept beside them as 'failed'. */
export const SHOWN = ['optimal', 'feasible', 'infeasible']
export const FAILED = 'failed'

type PieceRow = Prisma.PlanPieceGetPayload<object>
type BuildRow = Prisma.PlanBuildGetPayload<object>

export const toPiece = (row: PieceRow): StoredPiece => ({
  pieceId: row.pieceId,
  buildId: row.buildId,
  taskId: row.washLinkId === null ? row.taskId : washId(row.washLinkId),
  start: toInstant(row.startsAt),
  end: toInstant(row.endsAt),
  people: row.people,
  supervisor: row.supervisorId,
  placeId: row.placeId,
  fixed: row.fixed as FixedWhy | null,
  projected: row.projected,
  // Written by savePlan from the core's own type.
  binding: row.binding as unknown as Binding,
  float: row.floatMin,
  freeFloat: row.freeFloatMin,
})

const toBuild = (row: BuildRow): StoredBuild => ({
  buildId: row.buildId,
  launch: row.launchAt && toInstant(row.launchAt),
  lowerBound: row.lowerBound && toInstant(row.lowerBound),
  late: row.lateMin,
  chain: row.chain,
})

type PlanRow = Prisma.PlanGetPayload<{ include: { builds: true } }>

function toPlan(row: PlanRow, pieces: readonly PieceRow[]): StoredPlan {
  // The JSON columns were written by savePlan from these very types.
  const json = row as unknown as Pick<StoredPlan, 'unplanned' | 'missed' | 'met' | 'dropped' | 'moves' | 'suggestions'>
  return {
    id: row.id,
    madeAt: toInstant(row.madeAt),
    fromAt: toInstant(row.fromAt),
    coversRequest: row.coversRequest,
    causes: row.causes,
    pieces: pieces.map(toPiece),
    builds: row.builds.map(toBuild),
    unplanned: json.unplanned,
    missed: json.missed,
    met: json.met,
    dropped: json.dropped,
    moves: json.moves,
    suggestions: json.suggestions,
  }
}

/** Which pieces a page needs: those that touch a stretch of time, or of one build; none: all. */
export type PieceFilter = { from?: Date; until?: Date; buildId?: string; none?: true }

const whereOf = (planId: bigint, { from, until, buildId }: PieceFilter): Prisma.PlanPieceWhereInput => ({
  planId,
  ...(from ? { endsAt: { gt: from } } : {}),
  ...(until ? { startsAt: { lt: until } } : {}),
  ...(buildId ? { buildId } : {}),
})

/** The plan that pages show: the newest that was found without fault. */
export async function currentPlan(db: Reader, filter: PieceFilter = {}): Promise<StoredPlan | null> {
  const row = await db.plan.findFirst({ where: { status: { in: SHOWN } }, orderBy: { id: 'desc' }, include: { builds: { orderBy: { buildId: 'asc' } } } })
  return row && toPlan(row, await piecesOf(db, row.id, filter))
}

export async function planById(db: Reader, id: bigint): Promise<StoredPlan | null> {
  const row = await db.plan.findFirst({ where: { id, status: { in: SHOWN } }, include: { builds: true } })
  return row && toPlan(row, [])
}

async function piecesOf(db: Reader, planId: bigint, filter: PieceFilter): Promise<PieceRow[]> {
  if (filter.none) return []
  return db.planPiece.findMany({ where: whereOf(planId, filter), orderBy: [{ startsAt: 'asc' }, { endsAt: 'asc' }, { pieceId: 'asc' }] })
}

/** Requests that no plan answers yet, oldest first. */
export async function openRequests(db: Reader): Promise<{ id: bigint; cause: string }[]> {
  return db.planRequest.findMany({ where: { planId: null }, orderBy: { id: 'asc' }, select: { id: true, cause: true } })
}

/** The attempt that answers a request, with how it went; null: it is still being worked out. */
export async function answerTo(db: Reader, requestId: bigint): Promise<{ planId: bigint; failed: Failed | null } | null> {
  const row = await db.planRequest.findUnique({ where: { id: requestId }, select: { plan: { select: { id: true, status: true, score: true } } } })
  if (!row?.plan) return null
  const { id, status, score } = row.plan
  return { planId: id, failed: status === FAILED ? (score as unknown as Failed) : null }
}

/** Set when the newest attempt could not be shown: the plan before stands. */
export async function newestFailure(db: Reader): Promise<Failed | null> {
  const row = await db.plan.findFirst({ orderBy: { id: 'desc' }, select: { status: true, score: true } })
  return row?.status === FAILED ? (row.score as unknown as Failed) : null
}
