import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import type { Actor } from '../../../platform/write.ts'
import type { StockItem, StockNeed } from '../stock-model.ts'
import { loadStock } from './stock.ts'
import { stockPage, type StockPage } from './outlook.ts'

/** on hand · coming in time · coming, but after it is wanted · short: not there and not on order. */
export type Cover = 'there' | 'coming' | 'late' | 'short'
export type NeedView = StockNeed & { readonly item: StockItem; readonly cover: Cover }
export type TaskCover = {
  readonly taskId: string; readonly phase: string; readonly at: number | null; readonly isCovered: boolean; readonly needs: readonly NeedView[],
}
export type ItemShare = {
  readonly item: StockItem
  readonly needed: number
  /** Of it, from what is there or on order. */
  readonly covered: number
  readonly short: number
  /** What is there and on order is promised to other builds, in so much. */
  readonly others: number
}

export type BuildStock = StockPage & {
  readonly build: { readonly id: string; readonly name: string; readonly state: 'active' | 'paused' | 'launched' }
  /** Tasks that take something, in the order of their phases. */
  readonly phases: readonly { readonly name: string; readonly tasks: readonly TaskCover[] }[]
  readonly items: readonly ItemShare[]
  readonly now: number
}

/** What of the stores is promised to a build: the needs of her tasks as the work plan serves them. */
export async function buildStock(db: Reader, member: Actor, buildId: string, at: Date): Promise<BuildStock> {
  const build = found(await db.build.findUnique({ where: { id: buildId }, select: { id: true, name: true, state: true } }))
  const stock = await loadStock(db, at)
  const madeAt = stock.planId === null ? null : await db.plan.findUnique({ where: { id: stock.planId }, select: { fromAt: true } })
  const now = madeAt ? Math.ceil(madeAt.fromAt.getTime() / 60_000) : stock.days.now
  const phases = await db.phase.findMany({
    where: { buildId }, orderBy: [{ position: 'asc' }, { id: 'asc' }],
    select: { name: true, tasks: { select: { id: true }, orderBy: [{ position: 'asc' }, { id: 'asc' }] } },
  })
  const views = stock.questions.flatMap(
    ({ item, needs }) => needs.filter((n) => n.buildId === buildId).map((n): NeedView => ({ ...n, item, cover: coverOf(n, now) }))
  )
  return {
    ...(await stockPage(db, member, stock)),
    build, now,
    phases: phases.flatMap(({ name, tasks }) => {
      const taken = tasks.flatMap(({ id }): TaskCover[] => {
        const needs = views.filter((n) => n.taskId === id)
        // A shortage of one part of a system is a shortage of the system: a task has all it takes, or it waits.
        return needs.length === 0 ? [] : [
          { taskId: id, phase: name, at: needs[0]!.at, isCovered: needs.every((n) => n.cover === 'there' || n.cover === 'coming'), needs },
        ]
      })
      return taken.length === 0 ? [] : [{ name, tasks: taken }]
    }),
    items: stock.questions.flatMap(({ item, needs }): ItemShare[] => {
      const own = needs.filter((n) => n.buildId === buildId)
      if (own.length === 0) return []
      const covered = (list: readonly StockNeed[]) => list.reduce((sum, n) => sum + n.milli - n.short, 0)
      return [{
        item, needed: own.reduce((sum, n) => sum + n.milli, 0), covered: covered(own), short: own.reduce((sum, n) => sum + n.short, 0),
        others: covered(needs.filter((n) => n.buildId !== buildId)),
      }]
    }),
  }
}

export function coverOf(n: Pick<StockNeed, 'at' | 'covered' | 'short'>, now: number): Cover {
  if (n.short > 0) return 'short'
  if (n.covered <= now) return 'there'
  return n.at === null || n.covered <= n.at ? 'coming' : 'late'
}
