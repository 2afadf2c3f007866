import type { Reader } from '../../../platform/database.ts'
import type { Actor } from '../../../platform/write.ts'
import { loadSystems } from '../../stores/public.ts'
import { buyingList, type BuyGroup } from '../buying.ts'
import type { Ahead } from '../outlook.ts'
import { DAY } from '../times.ts'
import { partOf, stockPage, systemsOf, type PartOf, type StockPage } from './outlook.ts'
import { aheadOf, loadStock, type Stock } from './stock.ts'

/** `weeks`: null, to the end of the plan. */
export type BuyingAsk = { readonly weeks: number | null; readonly undated: boolean }
export type BuyingPage = StockPage & {
  readonly ask: BuyingAsk
  /** So far the list looks. */
  readonly horizon: number
  readonly groups: readonly BuyGroup[]
  /** Systems that items are a part of. */
  readonly parts: ReadonlyMap<string, readonly PartOf[]>
  /** What is for work without a day, and left out unless asked for. */
  readonly undated: readonly Ahead[]
}

export async function buyingPage(db: Reader, member: Actor, ask: BuyingAsk, at: Date): Promise<BuyingPage> {
  const stock = await loadStock(db, at, { packs: true })
  const { horizon, ahead } = buyAhead(stock, ask)
  const systems = systemsOf(await loadSystems(db), ahead)
  const parts = new Map(ahead.map((a) => [a.item.id, partOf(systems, a.item.id)]))
  return { ...(await stockPage(db, member, stock)), ask, horizon, groups: buyingList(ahead), parts, undated: ahead.filter((a) => a.undated > 0) }
}

export function buyAhead(stock: Stock, ask: BuyingAsk): { horizon: number; ahead: Ahead[] } {
  const horizon = ask.weeks === null ? stock.until : stock.days.now + ask.weeks * 7 * DAY
  return { horizon, ahead: aheadOf(stock, horizon, ask.undated) }
}
