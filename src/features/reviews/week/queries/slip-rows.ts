/** What the books have on tasks that did not come off: goods, tools, the air. */
import { celsius } from '../../../../core/units/index.ts'
import { dewPoint, gateAt } from '../../../../core/cure/index.ts'
import type { Reader } from '../../../../platform/database.ts'
import { dateColumn, isoDate } from '../../../../platform/times.ts'
import type { NeedRange } from '../../../builds/public.ts'
import { narrower, type Limits } from '../../../planning/public.ts'
import { CLUB_HOLDER } from '../../../stores/public.ts'
import type { ReviewWords } from '../../../../../views/reviews/review-words.ts'
import type { ToolOut, WantedItem } from '../facts/slips.ts'
import type { Asked, TaskRow } from './rows.ts'
import { together } from './together.ts'

export type SlippedTask = { task: TaskRow; /** local day, and instant (epoch minutes) it was meant for */ day: string; start: number; placeId: string | null }

/** What each still needed on its day, and what of it the club had then; what was promised for it by then and came later. */
export async function wantedRows(db: Reader, { now }: Asked, slipped: readonly SlippedTask[], needs: ReadonlyMap<string, ReadonlyMap<string, NeedRange>>): Promise<Map<string, WantedItem[]>> {
  const itemIds = [...new Set(slipped.flatMap((s) => [...(needs.get(s.task.id)?.keys() ?? [])]))]
  if (itemIds.length === 0) return new Map()
  type Entry = { itemId: string; taskId: string | null; onDate: Date; held: number; drawn: number }
  const [items, entries, orders, arrivals] = await together(db, [
    () => db.item.findMany({ where: { id: { in: itemIds } }, select: { id: true, name: true } }),
    () => db.$queryRaw<Entry[]>`
      select item_id as "itemId", case when task_id = any(${slipped.map((s) => s.task.id)}::uuid[]) then task_id end as "taskId", on_date as "onDate",
        sum(case when holder_id = ${CLUB_HOLDER}::uuid then qty_milli else 0 end)::float8 as held, (-sum(qty_milli))::float8 as drawn
      from stock_entry where item_id = any(${itemIds}::uuid[]) and at <= ${now} group by 1, 2, 3`,
    () => db.orderLine.findMany({
      where: { itemId: { in: itemIds }, order: { state: { not: 'cancelled' } } }, select: { itemId: true, order: { select: { id: true, orderedOn: true, expectedOn: true } } },
      orderBy: [{ order: { expectedOn: 'asc' } }, { id: 'asc' }],
    }),
    () => db.stockEntry.groupBy({ by: ['itemId', 'orderId'], where: { itemId: { in: itemIds }, orderId: { not: null }, kind: 'receipt', at: { lte: now } }, _min: { onDate: true } }),
  ])
  const nameOf = new Map(items.map((i) => [i.id, i.name]))
  const arrived = (itemId: string, orderId: string): string | null => {
    const first = arrivals.find((a) => a.itemId === itemId && a.orderId === orderId)?._min.onDate
    return first ? isoDate(first) : null
  }
  return new Map(slipped.map(({ task, day }) => [task.id, [...(needs.get(task.id) ?? [])].map(([itemId, need]): WantedItem => {
    const mine = entries.filter((e) => e.itemId === itemId && isoDate(e.onDate) <= day)
    const drawn = mine.filter((e) => e.taskId === task.id).reduce((n, e) => n + e.drawn, 0)
    const late = orders
      .filter((o) => o.itemId === itemId && isoDate(o.order.orderedOn) <= day)
      .map((o) => ({ expectedOn: isoDate(o.order.expectedOn), arrivedOn: arrived(itemId, o.order.id) }))
      .find((o) => o.arrivedOn === null || o.arrivedOn > day)
    return { item: nameOf.get(itemId) ?? '', wantMilli: need.likely - drawn, thereMilli: mine.reduce((n, e) => n + e.held, 0), order: late ?? null }
  })]))
}

/** Tools that were away on the day, or had not come to the club yet. */
export async function toolRows(db: Reader, slipped: readonly SlippedTask[]): Promise<Map<string, ToolOut[]>> {
  const toolIds = [...new Set(slipped.flatMap((s) => s.task.tools.map((t) => t.toolId)))]
  if (toolIds.length === 0) return new Map()
  const days = slipped.map((s) => s.day).sort()
  const outages = await db.toolOutage.findMany({
    where: { toolId: { in: toolIds }, fromOn: { lte: dateColumn(days.at(-1)!) }, OR: [{ toOn: null }, { toOn: { gte: dateColumn(days[0]!) } }] },
    select: { toolId: true, fromOn: true, toOn: true, why: true }, orderBy: { id: 'asc' },
  })
  return new Map(slipped.map(({ task, day }) => [task.id, task.tools.flatMap(({ toolId, tool }): ToolOut[] => {
    if (tool.arrivesOn !== null && tool.arrivesOn > day) return [{ tool: tool.name, why: 'not in the club yet' }]
    const out = outages.find((o) => o.toolId === toolId && isoDate(o.fromOn) <= day && (o.toOn === null || isoDate(o.toOn) >= day))
    return out ? [{ tool: tool.name, why: out.why }] : []
  })]))
}

/** A reading counts for work that was to begin so many hours before or after it. */
const NEAR_MS = 4 * 3_600_000

/** Where what was measured nearest to the start lay outside what the work stands. */
export async function outsideRows(db: Reader, { week, asOf }: Asked, slipped: readonly SlippedTask[], w: ReviewWords): Promise<Map<string, { words: string }>> {
  const limited = slipped.flatMap((s) => {
    const limits = narrower(s.task, s.task.product)
    return limits === null || s.placeId === null ? [] : [{ ...s, limits, placeId: s.placeId }]
  })
  if (limited.length === 0) return new Map()
  const [readings, club] = await together(db, [
    () => db.placeReading.findMany({
      where: { placeId: { in: limited.map((s) => s.placeId) }, at: { gte: new Date(week.from.getTime() - NEAR_MS), lt: new Date(asOf.getTime() + NEAR_MS) } },
      select: { placeId: true, at: true, air: true, humidity: true, place: { select: { name: true } } }, orderBy: [{ at: 'asc' }, { id: 'asc' }],
    }),
    () => db.club.findUniqueOrThrow({ where: { id: 1 }, select: { surfaceOffset: true } }),
  ])
  return new Map(limited.flatMap(({ task, start, placeId, limits }) => {
    const away = (r: (typeof readings)[number]) => Math.abs(r.at.getTime() - start * 60_000)
    const near = readings.filter((r) => r.placeId === placeId && away(r) <= NEAR_MS).toSorted((a, b) => away(a) - away(b))[0]
    const words = near && outsideWords(near, limits, club.surfaceOffset, w)
    return words ? [[task.id, { words: `${words} in ${near.place.name}` }]] : []
  }))
}

/** "11 °C at Sat 6 June 10:00, and it wants 15 °C or more"; null where the air was right, or what was read doesn't say. */
function outsideWords(r: { at: Date; air: number; humidity: number | null }, limits: Limits, surfaceOffset: number, w: ReviewWords): string | null {
  const gate = {
    minAir: limits.minAir === null ? null : celsius(limits.minAir), maxAir: limits.maxAir === null ? null : celsius(limits.maxAir),
    // Without a humidity nothing is said of it.
    maxHumidity: r.humidity === null ? null : limits.maxHumidity, dewPointMargin: r.humidity === null ? null : limits.dewPointMargin,
  }
  const air = celsius(r.air)
  const why = gateAt(gate, { air, dewPoint: celsius(r.humidity === null || r.humidity <= 0 ? r.air - 30 : dewPoint(r.air, r.humidity)) }, celsius(surfaceOffset))
  const at = w.at(Math.floor(r.at.getTime() / 60_000))
  switch (why) {
    case 'cold': return `${w.temperature(r.air)} at ${at}, and it wants ${w.temperature(limits.minAir ?? 0)} or more`
    case 'hot': return `${w.temperature(r.air)} at ${at}, and it wants ${w.temperature(limits.maxAir ?? 0)} or less`
    case 'humid': return `${Math.round(r.humidity ?? 0)} % humidity at ${at}, and it wants ${limits.maxHumidity} % or less`
    case 'dew': return `surfaces too near the dew point at ${at}`
    case null: return null
  }
}
