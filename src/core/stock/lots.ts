import { milli, type Milli } from '../units/index.ts'

/** As a person set it, or as it came. */
export type LotState = 'fresh' | 'test_first' | 'not_structural' | 'discard'

/** Dates as 'YYYY-MM-DD', local. */
export type Lot = {
  readonly id: string
  readonly left: Milli
  readonly state: LotState
  /** Last day of its shelf life; null: none is known. */
  readonly expires: string | null
  /** Last day that a person's test vouches for beyond it. */
  readonly testedUntil?: string | null
  /** The day it was opened; null: unopened. */
  readonly opened: string | null
}

export type LotPick = { readonly lotId: string; readonly qty: Milli }

export type LotPicks = {
  readonly picks: readonly LotPick[]
  readonly short: Milli
  /** Picked though nobody knows how long it keeps. */
  readonly withoutExpiry: readonly string[]
  /** What a person's test could free, in the order in which it would be taken. */
  readonly testFirst: readonly LotPick[]
}

/** Last day on which the lot counts as fresh; null: no date is known. */
export function lastDay({ expires, testedUntil }: Pick<Lot, 'expires' | 'testedUntil'>): string | null {
  if (expires === null || testedUntil == null) return expires
  return testedUntil > expires ? testedUntil : expires
}

/** The state on a day: fresh past its last day is test first. */
export function stateOn(lot: Pick<Lot, 'state' | 'expires' | 'testedUntil'>, today: string): LotState {
  const last = lastDay(lot)
  return lot.state === 'fresh' && last !== null && last < today ? 'test_first' : lot.state
}

/** Whether stock in this state may be drawn for the use. */
export const mayServe = (state: LotState, structural: boolean): boolean => state === 'fresh' || (state === 'not_structural' && !structural)

/**
 * Which lots to draw from: first expired, first out (WHO Good Distribution Practices, Annex 5; second-hand), whatever was received
 * first and whatever the cost rule is. A lot without a date comes last, with a warning; of the same date, opened before unopened, then
 * the longer opened, then by id. A use that bears no load takes what is not for structure first. What must be tested first is not
 * available, nor what is to be discarded.
 *
 * @param need from 0, in thousandths of the item's unit.
 */
export function pickLots(lots: readonly Lot[], need: Milli, { structural, today }: { structural: boolean; today: string }): LotPicks {
  const inOrder = lots
    .filter(({ left }) => left > 0)
    .map((lot) => ({ lot, state: stateOn(lot, today) }))
    .toSorted((a, b) => rank(a.state) - rank(b.state) || firstExpired(a.lot, b.lot))
  const available = inOrder.filter(({ state }) => mayServe(state, structural))
  const { picks, short } = take(available.map(({ lot }) => lot), need)
  const picked = new Set(picks.map(({ lotId }) => lotId))
  return {
    picks,
    short,
    withoutExpiry: available.filter(({ lot }) => lastDay(lot) === null && picked.has(lot.id)).map(({ lot }) => lot.id),
    testFirst: take(inOrder.filter(({ state }) => state === 'test_first').map(({ lot }) => lot), short).picks,
  }
}

/** Not for structure goes before fresh wherever both may serve. */
const rank = (state: LotState): number => (state === 'not_structural' ? 0 : 1)

function firstExpired(a: Lot, b: Lot): number {
  return compare(lastDay(a), lastDay(b)) || compare(a.opened, b.opened) || compare(a.id, b.id)
}

/** By text, what is missing last. */
function compare(a: string | null, b: string | null): number {
  if (a === b) return 0
  if (a === null) return 1
  if (b === null) return -1
  return a < b ? -1 : 1
}

function take(lots: readonly Lot[], need: Milli): { picks: LotPick[]; short: Milli } {
  const picks: LotPick[] = []
  let short = Math.max(0, need)
  for (const { id, left } of lots) {
    if (short === 0) break
    const qty = Math.min(left, short)
    picks.push({ lotId: id, qty: milli(qty) })
    short -= qty
  }
  return { picks, short: milli(short) }
}
