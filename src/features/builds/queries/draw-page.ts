import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { localDate } from '../../../platform/times.ts'
import { drawnOn, loadSystems, taskEntries, type EntryPair } from '../../stores/public.ts'
import { needsLeft, measures, type TaskNeed } from './task-needs.ts'
import { shelf, type Shelf } from './shelf.ts'

/** One need of a task with what is there for it. `key` names its fields: s or a (for structure, any), and the item. */
export type NeedLine = TaskNeed & { key: string; item: Shelf; thereMilli: number }
export type UntiedLine = { id: string; name: string; unit: string; low: number; likely: number; high: number; why: string | null }

export type StoresOfTask = {
  lines: NeedLine[]
  /** Asked for, and not from the stores; why, where it was meant to be. */
  untied: UntiedLine[]
  /** Drawn though it is not asked for. */
  extra: { itemId: string; name: string; unit: string; milli: number }[]
  entries: EntryPair[]
  /** The task mixes a product whose resin and hardener are known. */
  isMixed: boolean
}

export const lineKey = (itemId: string, structural: boolean): string => `${structural ? 's' : 'a'}.${itemId}`

/** Resin before its hardener, as they are weighed. */
const rank = (kind: string): number => (kind === 'resin' ? 0 : kind === 'hardener' ? 1 : 2)

/** What a task takes from the stores: needed, drawn, there, and every entry. */
export async function storesOfTask(db: Reader, taskId: string, today: string): Promise<StoresOfTask> {
  const rows = await db.taskMaterial.findMany({
    where: { taskId },
    select: { id: true, name: true, itemId: true, productId: true, unit: true, low: true, likely: true, high: true, structural: true, product: { select: { name: true } } },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const [items, systems, drawn] = [await measures(db), await loadSystems(db), (await drawnOn(db, [taskId])).get(taskId) ?? new Map<string, number>()]
  const needs = needsLeft(rows, items, systems, drawn)
  const stock = await shelf(db, today, [...new Set([...needs.map((n) => n.itemId), ...drawn.keys()])])
  const lines = needs.map((n): NeedLine => {
    const item = found(stock.get(n.itemId))
    return { ...n, key: lineKey(n.itemId, n.structural), item, thereMilli: n.structural ? item.structureMilli : item.anyMilli }
  })
  const untied = rows.filter((r) => needsLeft([{ ...r, likely: Math.max(r.likely, 1) }], items, systems, new Map()).length === 0)
  return {
    lines: lines.toSorted((a, b) => rank(a.item.kind) - rank(b.item.kind) || a.item.name.localeCompare(b.item.name) || Number(b.structural) - Number(a.structural)),
    untied: untied.map(({ product, itemId, productId, ...r }) => ({
      id: r.id, name: r.name, unit: r.unit, low: r.low, likely: r.likely, high: r.high,
      why: itemId !== null ? 'its unit can’t be worked out into the item’s any more: look at both' : productId !== null ? `nobody has said what resin and hardener “${product?.name}” is, and at which ratio by mass` : null,
    })),
    extra: [...drawn].flatMap(([itemId, milli]) => {
      const item = stock.get(itemId)
      return milli > 0 && item && !needs.some((n) => n.itemId === itemId) ? [{ itemId, name: item.name, unit: item.unit, milli }] : []
    }),
    entries: await taskEntries(db, taskId),
    isMixed: rows.some((r) => r.productId !== null && systems.get(r.productId)?.massRatio),
  }
}

/** The page of a draw for a task. */
export async function drawPage(db: Reader, buildId: string, taskId: string, memberId: string, now: Date) {
  const { zone } = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })
  const today = localDate(zone, now)
  const task = found(await db.task.findFirst({ where: { id: taskId, buildId }, select: { id: true, name: true, finishedAt: true, product: { select: { hazard: true } } } }))
  const build = await db.build.findUniqueOrThrow({ where: { id: buildId }, select: { id: true, name: true } })
  const stores = await storesOfTask(db, taskId, today)
  const items = await db.item.findMany({ where: { isActive: true }, select: { id: true, name: true, unit: true, shelf: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  const accounts = await db.stockAccount.findMany({ where: { holder: { memberId }, qtyMilli: { gt: 0 } }, select: { qtyMilli: true, item: { select: { name: true, unit: true } } }, orderBy: { item: { name: 'asc' } } })
  const own = accounts.map((a) => ({ name: a.item.name, unit: a.item.unit, milli: Number(a.qtyMilli) }))
  return { build, own, today, task: { id: task.id, name: task.name, isFinished: task.finishedAt !== null, hazard: task.product?.hazard ?? '' }, items, ...stores }
}
export type DrawPageModel = Awaited<ReturnType<typeof drawPage>>
