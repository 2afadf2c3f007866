import { instantToLocal } from '../../../core/calendar/index.ts'
import type { Plan } from '../../../core/schedule/answer.ts'
import { instant } from '../../../core/units/index.ts'
import type { Tx } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { diffPlans } from '../diff.ts'
import { linkOfWash, type Failed, type MeantPiece, type Move, type StoredPiece, type StoredPlan, type Suggestion } from '../model.ts'
import { FAILED, SHOWN } from '../queries/plans.ts'
import { washes, type Loaded } from '../queries/problem.ts'
import { suggestionsFrom } from '../suggestions.ts'
import { dateColumn, toDate } from '../times.ts'
import { availableMinutes, mondayOf, personMinutes, workLeft } from '../weeks.ts'

/** Pieces and needs of plans older than these are dropped; what each plan said of the launches is kept. */
const KEEP = 50

type Requests = Loaded['requests']
export type Made = { at: Date; tookMs: number }

const json = (value: unknown) => value as Prisma.InputJsonValue

/** The shape in which a plan is kept and compared. */
export function stored(plan: Plan, loaded: Loaded, at: number): Omit<StoredPlan, 'id' | 'coversRequest' | 'causes' | 'moves' | 'suggestions'> {
  return {
    madeAt: at,
    fromAt: loaded.problem.now,
    pieces: plan.pieces.map((p) => ({
      pieceId: p.id, buildId: p.buildId, taskId: p.taskId, start: p.start, end: p.end, people: p.people, supervisor: p.supervisor, placeId: p.placeId,
      fixed: p.fixed, projected: p.projected, binding: p.binding, float: p.float, freeFloat: p.freeFloat,
    })),
    builds: plan.builds.map((b) => ({ buildId: b.buildId, launch: b.launch, lowerBound: b.lowerBound, late: b.late, chain: b.chain })),
    unplanned: plan.unplanned,
    missed: plan.missed.map(({ linkId, opens, closes, why }) => ({ linkId, opens, closes, why })),
    met: plan.met,
    dropped: [...loaded.dropped, ...plan.dropped],
  }
}

export async function savePlan(tx: Tx, loaded: Loaded, plan: Plan, loose: Plan | null, made: Made): Promise<bigint> {
  const after = stored(plan, loaded, Math.floor(made.at.getTime() / 60_000))
  const moves = loaded.previous ? movesBetween(loaded, loaded.previous, after) : []
  const suggestions: Suggestion[] = loose ? suggestionsFrom(after.pieces, stored(loose, loaded, after.madeAt).pieces, loaded.begun, loaded.problem.now, loaded.siteOf) : []
  const row = await tx.plan.create({
    data: {
      madeAt: made.at, fromAt: toDate(after.fromAt), coversRequest: newestOf(loaded.requests), causes: causesOf(loaded.requests), schedules: plan.schedules, tookMs: Math.round(made.tookMs),
      status: plan.status, score: json(plan.score), unplanned: json(after.unplanned), dropped: json(after.dropped), missed: json(after.missed), met: json(after.met),
      moves: json(moves), suggestions: json(suggestions),
      builds: {
        create: after.builds.map((b) => ({
          buildId: b.buildId, launchAt: b.launch === null ? null : toDate(b.launch), lowerBound: b.lowerBound === null ? null : toDate(b.lowerBound), lateMin: b.late, chain: [...b.chain],
        })),
      },
    },
    select: { id: true },
  })
  const linkTo = new Map(loaded.builds.links.map((l) => [l.id, l.to]))
  await answer(tx, loaded.requests, row.id)
  await tx.planPiece.createMany({ data: after.pieces.map((p) => pieceRow(row.id, p, linkTo)) })
  await tx.planNeed.createMany({ data: needRows(row.id, plan, loaded) })
  await keepWeek(tx, loaded, after.pieces, after.builds)
  await prune(tx, row.id)
  return row.id
}

function movesBetween(loaded: Loaded, before: StoredPlan, after: ReturnType<typeof stored>): Move[] {
  const { tasks, links } = loaded.builds
  const buildOf = new Map(tasks.map((t) => [t.id, t.buildId]))
  const zone = loaded.problem.zone
  return diffPlans({
    before, after, lastWork: loaded.lastWork, buildOf,
    finished: new Set(tasks.filter((t) => t.finished !== null).map((t) => t.id)),
    linkTo: new Map(links.map((l) => [l.id, { to: l.to, buildId: buildOf.get(l.to) ?? '' }])),
    localDate: (t) => instantToLocal(zone, instant(t)).date,
  })
}

function pieceRow(planId: bigint, p: StoredPiece, linkTo: ReadonlyMap<string, string>): Prisma.PlanPieceCreateManyInput {
  const washLinkId = linkOfWash(p.taskId)
  const taskId = washLinkId === null ? p.taskId : linkTo.get(washLinkId)
  if (taskId === undefined) throw new Error(`the plan has a wash of no link: ${p.taskId}`)
  return {
    planId, pieceId: p.pieceId, buildId: p.buildId, taskId, washLinkId, startsAt: toDate(p.start), endsAt: toDate(p.end), people: [...p.people], supervisorId: p.supervisor,
    placeId: p.placeId, fixed: p.fixed, projected: p.projected, binding: json(p.binding), floatMin: p.float, freeFloatMin: p.freeFloat,
  }
}

/** What each task still takes from the stores and how it is served; what is taken away since the question was read says nothing any more. */
function needRows(planId: bigint, plan: Plan, loaded: Loaded): Prisma.PlanNeedCreateManyInput[] {
  const buildOf = new Map(loaded.builds.tasks.map((t) => [t.id, t.buildId]))
  return plan.needs.flatMap((n): Prisma.PlanNeedCreateManyInput[] => {
    const buildId = buildOf.get(n.taskId)
    if (buildId === undefined || n.amount <= 0) return []
    return [{
      planId, taskId: n.taskId, itemId: n.materialId, buildId, structural: n.structural, amountMilli: BigInt(n.amount),
      wantedAt: n.wanted === null ? null : toDate(n.wanted), coveredAt: toDate(n.covered), shortMilli: BigInt(n.short),
    }]
  })
}

/** What this week began with: the first plan of the week stands, later ones don't touch it. */
async function keepWeek(tx: Tx, loaded: Loaded, pieces: readonly StoredPiece[], launches: StoredPlan['builds']): Promise<void> {
  const { zone, now, people, builds } = loaded.problem
  const monday = mondayOf(zone, now)
  const presence = new Map(people.map((p) => [p.id, p.presence]))
  const rows = builds.filter((b) => !b.paused).map((b) => {
    const launch = launches.find((l) => l.buildId === b.id)?.launch ?? null
    const tasks = loaded.problem.tasks.filter((t) => t.buildId === b.id)
    const ids = new Set(tasks.map((t) => t.id))
    return {
      buildId: b.id, monday: dateColumn(monday),
      availableMin: availableMinutes(zone, presence, b.team).get(monday) ?? 0,
      plannedMin: personMinutes(zone, pieces.filter((p) => p.buildId === b.id)).get(monday) ?? 0,
      leftMin: workLeft(tasks, washes(loaded.builds).filter((x) => ids.has(x.to)).map((x) => x.wash)),
      launchAt: launch === null ? null : toDate(launch),
      meant: json(meantPieces(loaded, pieces.filter((p) => p.buildId === b.id && mondayOf(zone, p.start) === monday))),
    }
  })
  await tx.buildWeek.createMany({ data: rows, skipDuplicates: true })
}

/** As it is kept: with the names of that day, so that it can be read when tasks are long gone. */
function meantPieces(loaded: Loaded, pieces: readonly StoredPiece[]): MeantPiece[] {
  const linkTo = new Map(loaded.builds.links.map((l) => [l.id, l.to]))
  return pieces.map((p) => {
    const washLinkId = linkOfWash(p.taskId)
    const taskId = washLinkId === null ? p.taskId : (linkTo.get(washLinkId) ?? '')
    return { taskId, washLinkId, name: loaded.builds.names.tasks.get(taskId)?.name ?? '', start: toDate(p.start).toISOString(), end: toDate(p.end).toISOString(), people: [...p.people], placeId: p.placeId }
  })
}

async function prune(tx: Tx, planId: bigint): Promise<void> {
  const [oldest] = await tx.$queryRaw<{ id: bigint | null }[]>`
    select min(id) as id from (select id from plan where status = any(${SHOWN}) and id <= ${planId} order by id desc limit ${KEEP}) newest`
  if (!oldest?.id) return
  await tx.planPiece.deleteMany({ where: { planId: { lt: oldest.id } } })
  await tx.planNeed.deleteMany({ where: { planId: { lt: oldest.id } } })
}

/** The requests are answered, if only by saying that the plan before stands. */
export async function saveFailure(tx: Tx, requests: Requests, failed: Failed, made: Made): Promise<void> {
  const row = await tx.plan.create({
    data: {
      madeAt: made.at, fromAt: made.at, coversRequest: newestOf(requests), causes: causesOf(requests), schedules: 0, tookMs: Math.round(made.tookMs),
      status: FAILED, score: json(failed), unplanned: [], dropped: [], missed: [], met: [], moves: [],
    },
    select: { id: true },
  })
  await answer(tx, requests, row.id)
}

async function answer(tx: Tx, requests: Requests, planId: bigint): Promise<void> {
  await tx.planRequest.updateMany({ where: { id: { in: requests.map((r) => r.id) } }, data: { planId } })
}

const newestOf = (requests: Requests): bigint => requests.reduce((newest, r) => (r.id > newest ? r.id : newest), 0n)
const causesOf = (requests: Requests): string[] => [...new Set(requests.map((r) => r.cause))].slice(-50)
