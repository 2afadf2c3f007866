/** What the stores look like over the coming weeks: facts of one item, from rows and the work plan. Amounts are thousandths of its unit. */
import { addDays, dayOf } from '../../core/calendar/index.ts'
import { reorderPoint, stockLevel, usePerDay, type Cover, type DatedUse, type LevelStep } from '../../core/stock/index.ts'
import { instant, milli, type Instant } from '../../core/units/index.ts'
import type { StockItem, StockNeed, StockOrder, There } from './stock-model.ts'

/** The club's calendar, handed in. */
export type Days = {
  readonly now: Instant
  readonly today: string
  dateAt(t: number): string
  /** The moment at which a local day is over. */
  endOf(date: string): Instant
}

export type Question = {
  readonly item: StockItem
  readonly there: There
  readonly orders: readonly StockOrder[]
  readonly needs: readonly StockNeed[]
  /** Past draws by local day, for items that no task asks for; null: not looked at. */
  readonly draws: readonly DatedUse[] | null
  /** The first day of which the books know the item. */
  readonly since: string | null
}

export type Ahead = Omit<Question, 'draws' | 'since'> & {
  readonly onOrder: number
  /** What tasks with a date ask for in all, and those without one. */
  readonly needed: number
  readonly undated: number
  readonly steps: readonly LevelStep[]
  readonly covers: readonly Cover[]
  /** The first need that is not covered when it is due; `until`: what is on order makes it good then, null: nothing does. */
  readonly runOut: { readonly at: number; readonly taskId: string; readonly missing: number; readonly until: number | null } | null
  /** What should be ordered, beyond what is on order; 0: nothing. */
  readonly buy: number
  /** From when on it would be below safety stock, as far as ordering helps. */
  readonly fallsAt: number | null
  /** Last day on which an order still arrives before that, local. */
  readonly orderBy: string | null
  readonly isLate: boolean
  /** Day on which an order of today is here, local. */
  readonly arrives: string
  /** The statistical reorder point; null: tasks ask for it, or too little was drawn to go by. */
  readonly reorder: Reorder | null
}

export type Reorder = {
  readonly point: number
  readonly perDay: number
  /** Days looked back on. */
  readonly days: number
  /** On hand and on order, for any use. */
  readonly position: number
  /** Use that is bought for, beyond the point, in days. */
  readonly coverDays: number
}

/** Looked back on for use that nothing plans. */
export const LOOK_BACK_DAYS = 182
/** With less there is no saying what the use a day is. */
const FEWEST_DAYS = 28
const FEWEST_DRAWS = 3
/** Chance of not running out while an order is under way. */
export const SERVICE_LEVEL = 0.95
/** Use that nothing plans is bought for at most so long. */
export const MOST_COVER_DAYS = 56

/**
 * @param until only needs before this instant count; null: all
 * @param withUndated what no plan has a date for counts as needed at the end
 */
export function lookAhead(asked: Question, days: Days, until: number | null = null, withUndated = false): Ahead {
  const { item, there, orders } = asked
  const dated = asked.needs.filter((n) => n.at !== null && (until === null || n.at < until))
  const undated = asked.needs.filter((n) => n.at === null)
  const last = Math.max(days.now, until ?? 0, ...dated.map((n) => n.at ?? 0), ...orders.map((o) => o.at))
  const counted = withUndated ? [...dated, ...undated.map((n) => ({ ...n, at: last }))] : dated
  const level = stockLevel({
    from: days.now,
    onHand: milli(there.fresh), onHandNotStructural: milli(there.notStructural),
    orders: orders.map((o) => ({ at: instant(o.at), qty: milli(o.milli) })),
    needs: counted.map((n) => ({ at: instant(n.at ?? last), qty: milli(n.milli), taskId: n.taskId, structural: n.structural })),
    safety: milli(item.safetyMilli), leadDays: item.leadDays,
  })
  const arrives = addDays(days.today, item.leadDays)
  const gap = shortfall(level.steps, item.safetyMilli, days.endOf(arrives))
  const reorder = asked.needs.length === 0 && asked.draws ? reorderOf(asked, days, until) : null
  const atPoint = reorder && reorder.position <= reorder.point ? wholeUp(reorder.point + reorder.perDay * reorder.coverDays - reorder.position) : 0
  const orderBy = orderDay(gap.fallsAt, reorder, item.leadDays, days)
  const { runOut } = level
  return {
    item, there, orders, needs: asked.needs,
    onOrder: sum(orders.map((o) => o.milli)),
    needed: sum(dated.map((n) => n.milli)),
    undated: sum(undated.map((n) => n.milli)),
    steps: level.steps, covers: level.covers,
    runOut: runOut && { ...runOut, until: level.steps.find((s) => s.at > runOut.at && s.level >= 0)?.at ?? null },
    buy: Math.max(gap.buy, atPoint),
    fallsAt: gap.fallsAt,
    orderBy, isLate: orderBy !== null && orderBy < days.today, arrives,
    reorder,
  }
}

/** Statistics know no half a disc: up to the next whole unit. */
const wholeUp = (milliUnits: number): number => Math.ceil(milliUnits / 1000) * 1000
const sum = (amounts: readonly number[]): number => amounts.reduce((a, b) => a + b, 0)

/**
 * What is missing to safety stock from the arrival of an order on that is made today: what is short before that no order helps, unless
 * nothing on order makes it good. `fallsAt`: when that shortfall begins.
 */
function shortfall(steps: readonly LevelStep[], safety: number, arrives: number): { buy: number; fallsAt: number | null } {
  let lowest = Infinity
  let fallsAt: number | null = null
  let begins: number | null = null
  for (const [n, { at, level }] of steps.entries()) {
    begins = level < safety ? (begins ?? at) : null
    if ((steps[n + 1]?.at ?? Infinity) <= arrives) continue
    lowest = Math.min(lowest, level)
    fallsAt ??= begins
  }
  return { buy: Math.max(0, safety - lowest), fallsAt }
}

/** An order comes by the end of its last day, so it must be made one day sooner than lead time before the day on which it is missed. */
function orderDay(fallsAt: number | null, reorder: Reorder | null, leadDays: number, { today, dateAt }: Days): string | null {
  if (fallsAt !== null) return addDays(dateAt(fallsAt), -leadDays - 1)
  if (!reorder || reorder.perDay <= 0) return null
  // At the point an order is made that day; before it, once so much has been used.
  return addDays(today, Math.max(0, Math.floor((reorder.position - reorder.point) / reorder.perDay)))
}

function reorderOf({ item, there, orders, draws, since }: Question, { today, now, dateAt }: Days, until: number | null): Reorder | null {
  const oldest = addDays(today, -LOOK_BACK_DAYS)
  const from = since !== null && since > oldest ? since : oldest
  const days = dayOf(today) - dayOf(from) + 1
  if (draws === null || since === null || days < FEWEST_DAYS || new Set(draws.filter((d) => d.qty > 0).map((d) => d.day)).size < FEWEST_DRAWS) {
    return null
  }
  const use = usePerDay(draws, { from: dayOf(from), to: dayOf(today) })
  if (use.mean <= 0) return null
  const { leadDemand, safety } = reorderPoint({ perDay: use.mean, sdPerDay: use.sd, leadDays: item.leadDays, serviceLevel: SERVICE_LEVEL })
  return {
    point: wholeUp(leadDemand + Math.max(safety, item.safetyMilli)),
    perDay: use.mean, days,
    position: there.fresh + there.notStructural + sum(orders.map((o) => o.milli)),
    coverDays: Math.min(MOST_COVER_DAYS, until === null ? MOST_COVER_DAYS : Math.max(0, dayOf(dateAt(until)) - dayOf(dateAt(now)))),
  }
}

/** A lot with the last day on which it counts as fresh. */
export type DatedLot = { readonly id: string; readonly number: number; readonly lastDay: string; readonly milli: number }

/**
 * What is still left of lots when their day has passed, drawn first expired first: from then on it must be tested before it counts. The
 * level counts it all the way, so it says what would be missing besides.
 */
export function leftPastDate(
  lots: readonly DatedLot[], needs: readonly StockNeed[], { endOf }: Pick<Days, 'endOf'>, until: number,
): (DatedLot & { readonly left: number })[] {
  let taken = 0
  const inOrder = lots.filter((l) => endOf(l.lastDay) < until).sort(
    (a, b) => (a.lastDay < b.lastDay ? -1 : a.lastDay > b.lastDay ? 1 : a.number - b.number)
  )
  return inOrder.flatMap((lot) => {
    const asked = sum(needs.filter((n) => n.at !== null && n.at < endOf(lot.lastDay)).map((n) => n.milli))
    const used = Math.min(lot.milli, Math.max(0, asked - taken))
    taken += used
    return used < lot.milli ? [{ ...lot, left: lot.milli - used }] : []
  })
}
