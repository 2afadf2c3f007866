import { instant, milli, MINUTES_PER_DAY, type Instant, type Milli } from '../units/index.ts'

export type OutlookQuestion = {
  readonly from: Instant
  /** Fit for structure, or all of it where the item knows no such difference. */
  readonly onHand: Milli
  /** Of which only needs that bear no load may take; they take it first. */
  readonly onHandNotStructural?: Milli
  /** Under way. One whose date has gone by counts as arriving at `from`, and `overdue` says so. */
  readonly orders: readonly { readonly at: Instant; readonly qty: Milli }[]
  /** What coming tasks ask for, when; one from before `from` counts as at `from`. Needs of one instant are served in the order given. */
  readonly needs: readonly { readonly at: Instant; readonly qty: Milli; readonly taskId: string; readonly structural?: boolean }[]
  readonly safety: Milli
  /** From order to arrival, in days of 24 hours. */
  readonly leadDays: number
}

/** The level from this instant on: what is there less what is asked; below 0 it is what is missing. */
export type LevelStep = { readonly at: Instant; readonly level: number }

export type Cover = {
  readonly taskId: string
  readonly at: Instant
  readonly qty: Milli
  /** How much of it is missing when it is due. */
  readonly missing: Milli
}

export type Outlook = {
  /** In order of time, the first at `from`, one step an instant. Without what is not for structure. */
  readonly steps: readonly LevelStep[]
  /** The first need that is not covered. */
  readonly runOut: { readonly at: Instant; readonly taskId: string; readonly missing: Milli } | null
  readonly belowSafety: Instant | null
  /** Last instant at which an order still arrives before the level falls below safety stock (an arrival at that very instant is in time). */
  readonly orderBy: Instant | null
  /** `orderBy` has gone by: order today, and expect to be short of safety stock meanwhile. */
  readonly orderByIsPast: boolean
  /** What needs ask beyond all that is on hand and on order, sooner or later. */
  readonly totalShort: Milli
  /** What, ordered in time, keeps the level at safety stock or above all through. */
  readonly toSafety: Milli
  readonly overdue: boolean
  /** Each need in the order in which they are served: which of them what there is covers, and which not. */
  readonly covers: readonly Cover[]
}

/**
 * An item's stock projected over what the work plan asks of it. Arrivals of an instant come before needs of it; a need that is not
 * covered is served from the next arrival, before later needs.
 */
export function stockLevel({ from, onHand, onHandNotStructural, orders, needs, safety, leadDays }: OutlookQuestion): Outlook {
  const notBefore = (at: Instant): Instant => (at < from ? from : at)
  const arriving = orders.map(({ at, qty }) => ({ at: notBefore(at), qty })).sort((a, b) => a.at - b.at)
  const asked = needs.map((need) => ({ ...need, at: notBefore(need.at) })).sort((a, b) => a.at - b.at)

  let level: number = onHand
  let notStructural: number = onHandNotStructural ?? 0
  let arrived = 0
  const steps: { at: Instant; level: number }[] = [{ at: from, level }]
  const covers: Cover[] = []

  const step = (at: Instant): void => {
    const last = steps.at(-1)!
    if (last.at === at) last.level = level
    else if (last.level !== level) steps.push({ at, level })
  }
  const arriveUntil = (at: Instant): void => {
    for (; arrived < arriving.length && arriving[arrived]!.at <= at; arrived++) {
      level += arriving[arrived]!.qty
      step(arriving[arrived]!.at)
    }
  }

  // What arrives at the very start is there before the level is judged.
  arriveUntil(from)
  let lowest = level
  let belowSafety = level < safety ? from : null
  for (const { at, qty, taskId, structural } of asked) {
    arriveUntil(at)
    const set = structural === false ? Math.min(qty, notStructural) : 0
    notStructural -= set
    const before = level
    level -= qty - set
    step(at)
    covers.push({ taskId, at, qty, missing: milli(Math.max(0, -level) - Math.max(0, -before)) })
    lowest = Math.min(lowest, level)
    if (belowSafety === null && level < safety) belowSafety = at
  }
  arriveUntil(instant(Number.MAX_SAFE_INTEGER))

  const first = covers.find(({ missing }) => missing > 0)
  const orderBy = belowSafety === null ? null : instant(belowSafety - Math.ceil(leadDays * MINUTES_PER_DAY))
  return {
    steps,
    runOut: first === undefined ? null : { at: first.at, taskId: first.taskId, missing: first.missing },
    belowSafety,
    orderBy,
    orderByIsPast: orderBy !== null && orderBy < from,
    totalShort: milli(Math.max(0, -level)),
    toSafety: milli(Math.max(0, safety - lowest)),
    overdue: orders.some(({ at }) => at < from),
    covers,
  }
}
