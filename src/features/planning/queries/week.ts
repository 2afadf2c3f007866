/** What a week was meant for, and what is next: for the week review. */
import type { Reader } from '../../../platform/database.ts'
import { washId, type MeantPiece } from '../model.ts'
import { dateColumn, toInstant } from '../times.ts'
import { coverOf, type Cover } from './build-stock.ts'
import { SHOWN } from './plans.ts'

/** As the week began; minutes are those of all hands. */
export type MeantWeek = {
  readonly pieces: readonly MeantPiece[]
  /** Minutes that the team could come. */
  readonly availableMin: number
  readonly plannedMin: number
  /** Hands-on work left then. */
  readonly leftMin: number
  readonly launchAt: number | null
}

/** Null: no plan was made in that week. */
export async function meantWeek(db: Reader, buildId: string, monday: string): Promise<MeantWeek | null> {
  const row = await db.buildWeek.findUnique({ where: { buildId_monday: { buildId, monday: dateColumn(monday) } } })
  if (!row) return null
  return {
    // Written by savePlan from this very type.
    pieces: row.meant as unknown as MeantPiece[],
    availableMin: row.availableMin, plannedMin: row.plannedMin, leftMin: row.leftMin, launchAt: row.launchAt && toInstant(row.launchAt),
  }
}

/** What the air must be when it starts: of the task's own limits and its product's the narrower. */
export type Limits = { readonly minAir: number | null; readonly maxAir: number | null; readonly maxHumidity: number | null; readonly dewPointMargin: number | null }

export type NextNeed = { readonly itemId: string; readonly item: string; readonly unit: string; readonly milli: number; readonly cover: Cover }
/** All that is next of one task: several pieces of it are one line. Times are instants. */
export type NextPiece = {
  /** The task, or `wash:<linkId>`. */
  readonly key: string
  readonly name: string
  readonly start: number
  readonly end: number
  readonly pieces: number
  readonly projected: boolean
  readonly people: readonly string[]
  readonly placeId: string | null
  readonly limits: Limits | null
  readonly needs: readonly NextNeed[]
}

type Row = {
  readonly taskId: string
  readonly washLinkId: string | null
  readonly startsAt: Date
  readonly endsAt: Date
  readonly people: readonly string[]
  readonly placeId: string | null
  readonly projected: boolean
}

/**
 * The next `count` tasks of a build that are worked at after `from`, by the plan that was shown at `at`, with what they need of the air
 * and of the stores. Where that plan's pieces were dropped long since: as that week began. The needs are the plan's, less what was drawn
 * from it on until `at`.
 */
export async function nextPieces(db: Reader, buildId: string, from: Date, at: Date, count = 5): Promise<NextPiece[]> {
  const plan = await db.plan.findFirst({ where: { status: { in: SHOWN }, madeAt: { lte: at } }, orderBy: { id: 'desc' }, select: { id: true, fromAt: true } })
  const found = plan && (await db.planPiece.findMany({
    where: { planId: plan.id, buildId, endsAt: { gt: from } }, orderBy: [{ startsAt: 'asc' }, { endsAt: 'asc' }, { pieceId: 'asc' }], take: 40,
    select: { taskId: true, washLinkId: true, startsAt: true, endsAt: true, people: true, placeId: true, projected: true },
  }))
  const rows: readonly Row[] = found && found.length > 0 ? found : await asItBegan(db, buildId, from, at)
  const groups = new Map<string, Row[]>()
  for (const row of rows) {
    const key = row.washLinkId === null ? row.taskId : washId(row.washLinkId)
    const mine = groups.get(key)
    if (mine) mine.push(row)
    else if (groups.size < count) groups.set(key, [row])
  }
  const ids = [...new Set([...groups.values()].flatMap((g) => g.map((r) => r.taskId)))]
  if (ids.length === 0) return []
  const [tasks, needs] = [await taskFacts(db, ids), plan ? await needsOf(db, plan, ids, at) : new Map<string, NextNeed[]>()]
  return [...groups].map(([key, mine]) => {
    const first = mine[0]!
    const task = tasks.get(first.taskId)
    const isWash = first.washLinkId !== null
    // A piece beyond the week of the first is another week's.
    const near = mine.filter((r) => r.startsAt.getTime() < first.startsAt.getTime() + 4 * 86_400_000)
    return {
      key, name: isWash ? `Wash and sand before ${task?.name ?? 'the coat'}` : (task?.name ?? 'A task that is gone'),
      start: toInstant(first.startsAt), end: toInstant(near.at(-1)!.endsAt), pieces: near.length, projected: first.projected,
      people: [...new Set(near.flatMap((r) => r.people))], placeId: first.placeId,
      limits: isWash ? null : (task?.limits ?? null), needs: isWash ? [] : (needs.get(first.taskId) ?? []),
    }
  })
}

async function asItBegan(db: Reader, buildId: string, from: Date, at: Date): Promise<Row[]> {
  const row = await db.buildWeek.findFirst({ where: { buildId, monday: { gte: new Date(from.getTime() - 86_400_000), lte: at } }, orderBy: { monday: 'asc' }, select: { meant: true } })
  return ((row?.meant ?? []) as unknown as MeantPiece[])
    .map((p) => ({ ...p, startsAt: new Date(p.start), endsAt: new Date(p.end), projected: false }))
    .filter((p) => p.endsAt > from)
    .sort((a, b) => a.startsAt.getTime() - b.startsAt.getTime())
}

const LIMITS = { minAir: true, maxAir: true, maxHumidity: true, dewPointMargin: true } as const

async function taskFacts(db: Reader, ids: readonly string[]): Promise<Map<string, { name: string; limits: Limits | null }>> {
  const rows = await db.task.findMany({ where: { id: { in: [...ids] } }, select: { id: true, name: true, ...LIMITS, product: { select: LIMITS } } })
  return new Map(rows.map(({ id, name, product, ...own }) => [id, { name, limits: narrower(own, product) }]))
}

/** Of two sets of limits the narrower; null where neither has any. */
export function narrower(a: Limits, b: Limits | null): Limits | null {
  const of = (pick: (...n: number[]) => number, key: keyof Limits) => {
    const said = [a[key], b?.[key] ?? null].filter((n) => n !== null)
    return said.length === 0 ? null : pick(...said)
  }
  const limits = { minAir: of(Math.max, 'minAir'), maxAir: of(Math.min, 'maxAir'), maxHumidity: of(Math.min, 'maxHumidity'), dewPointMargin: of(Math.max, 'dewPointMargin') }
  return Object.values(limits).every((n) => n === null) ? null : limits
}

async function needsOf(db: Reader, plan: { id: bigint; fromAt: Date }, ids: readonly string[], at: Date): Promise<Map<string, NextNeed[]>> {
  const rows = await db.planNeed.findMany({
    where: { planId: plan.id, taskId: { in: [...ids] } }, orderBy: [{ taskId: 'asc' }, { item: { name: 'asc' } }, { structural: 'desc' }],
    select: { taskId: true, itemId: true, amountMilli: true, wantedAt: true, coveredAt: true, shortMilli: true, item: { select: { name: true, unit: true } } },
  })
  if (rows.length === 0) return new Map()
  const since = await db.stockEntry.groupBy({ by: ['taskId', 'itemId'], where: { taskId: { in: [...ids] }, at: { gte: plan.fromAt, lte: at } }, _sum: { qtyMilli: true } })
  const drawn = new Map(since.map((s) => [`${s.taskId} ${s.itemId}`, -Number(s._sum.qtyMilli ?? 0n)]))
  const needs = new Map<string, NextNeed[]>()
  for (const r of rows) {
    const key = `${r.taskId} ${r.itemId}`
    const had = Math.min(Number(r.amountMilli), Math.max(0, drawn.get(key) ?? 0))
    drawn.set(key, (drawn.get(key) ?? 0) - had)
    const milli = Number(r.amountMilli) - had
    if (milli <= 0) continue
    const short = Math.min(milli, Number(r.shortMilli))
    const cover = coverOf({ at: r.wantedAt && toInstant(r.wantedAt), covered: toInstant(r.coveredAt), short }, toInstant(plan.fromAt))
    needs.set(r.taskId, [...(needs.get(r.taskId) ?? []), { itemId: r.itemId, item: r.item.name, unit: r.item.unit, milli, cover }])
  }
  return needs
}
