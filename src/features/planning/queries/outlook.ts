import { addDays } from '../../../core/calendar/index.ts'
import { lastDay } from '../../../core/stock/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import type { Actor } from '../../../platform/write.ts'
import { CLUB_HOLDER, lastDayOf, loadSystems, stockAsMass, type StoresSystem, type Systems } from '../../stores/public.ts'
import type { NameBook } from '../model.ts'
import { leftPastDate, lookAhead, type Ahead, type DatedLot } from '../outlook.ts'
import { isoDate } from '../times.ts'
import { aheadOf, loadStock, type Stock } from './stock.ts'
import { visibleBuilds, type BuildCard } from './visible.ts'

const SOON_DAYS = 7

/** What every page about the stores ahead has. Work of builds that this person may not see stays without a name. */
export type StockPage = {
  readonly names: NameBook; readonly today: string; readonly knownUntil: number; readonly until: number; readonly hasPlan: boolean,
}

export type SystemView = {
  readonly productId: string
  readonly name: string
  readonly resin: Ahead
  readonly hardener: Ahead
  /** What can be mixed of what is fit for structure, and which part sets the limit; null: its ratio or a density is not known. */
  readonly mixable: { readonly mg: number; readonly by: 'resin' | 'hardener' | null } | null
}
export type OutlookPage = StockPage & {
  /** What runs out or must be ordered first. */
  readonly items: readonly Ahead[]
  readonly systems: readonly SystemView[]
}

export async function stockPage(db: Reader, member: Actor, stock: Stock): Promise<StockPage> {
  const builds = await visibleBuilds(db, member)
  const names = await workNames(db, builds, stock.questions.flatMap((q) => q.needs.map((n) => n.taskId)))
  return { names, today: stock.days.today, knownUntil: stock.knownUntil, until: stock.until, hasPlan: stock.planId !== null }
}

/** Names of builds and of the tasks that take something; sentences about stock are about nothing else. */
async function workNames(db: Reader, builds: readonly BuildCard[], taskIds: readonly string[]): Promise<NameBook> {
  const tasks = await db.task.findMany(
    { where: { id: { in: [...new Set(taskIds)] }, buildId: { in: builds.map((b) => b.id) } }, select: { id: true, name: true, buildId: true } }
  )
  const none = new Map<string, never>()
  return {
    builds: new Map(builds.map((b) => [b.id, b.name])), tasks: new Map(tasks.map((t) => [t.id, { name: t.name, buildId: t.buildId }])),
    links: none, people: none, places: none, tools: none, competences: none, items: none,
  }
}

export async function outlookPage(db: Reader, member: Actor, at: Date): Promise<OutlookPage> {
  const stock = await loadStock(db, at)
  const ahead = aheadOf(stock)
  return {
    ...(await stockPage(db, member, stock)), items: ahead.filter(isOfInterest).sort(byUrgency), systems: systemsOf(await loadSystems(db), ahead),
  }
}

/** What is neither there nor asked for nor to be kept says nothing. */
const isOfInterest = (a: Ahead): boolean =>
  a.needs.length > 0 || a.onOrder > 0 || a.buy > 0 || a.item.safetyMilli > 0 || a.there.fresh + a.there.notStructural + a.there.testFirst > 0

/** By the day on which it must be ordered, then by the day on which it runs out, then by name. */
function byUrgency(a: Ahead, b: Ahead): number {
  const order = (x: Ahead) => (x.buy > 0 ? (x.orderBy ?? '0') : '9')
  const out = (x: Ahead) => x.runOut?.at ?? Infinity
  if (order(a) !== order(b)) return order(a) < order(b) ? -1 : 1
  return out(a) === out(b) ? (a.item.name < b.item.name ? -1 : 1) : out(a) - out(b)
}

export function systemsOf(systems: Systems, ahead: readonly Ahead[]): SystemView[] {
  const byId = new Map(ahead.map((a) => [a.item.id, a]))
  return [...systems.values()].flatMap((s): SystemView[] => {
    const resin = byId.get(s.resin.id)
    const hardener = byId.get(s.hardener.id)
    return resin && hardener ? [{ productId: s.productId, name: s.name, resin, hardener, mixable: mixableOf(s, resin, hardener) }] : []
  })
}

/** The systems that an item is a part of, by their other part. */
export function partOf(systems: readonly SystemView[], itemId: string): PartOf[] {
  const own = systems.flatMap(
    (s) => (
      s.resin.item.id === itemId ? [{ name: s.name, other: s.hardener }] : s.hardener.item.id === itemId ? [{ name: s.name, other: s.resin }] : []
    )
  )
  return [...new Set(own.map((s) => s.other))].map((other) => ({ names: own.filter((s) => s.other === other).map((s) => s.name), other }))
}

function mixableOf({ massRatio, ...s }: StoresSystem, resin: Ahead, hardener: Ahead): SystemView['mixable'] {
  const a = stockAsMass(s.resin, resin.there.fresh)
  const b = stockAsMass(s.hardener, hardener.there.fresh)
  if (!massRatio || a === null || b === null) return null
  // In parts of the ratio: the fewer of the two can be mixed.
  const [fromResin, fromHardener] = [a / massRatio.a, b / massRatio.b]
  const mg = Math.floor(Math.min(fromResin, fromHardener) * (massRatio.a + massRatio.b))
  return { mg, by: fromResin === fromHardener ? null : fromResin < fromHardener ? 'resin' : 'hardener' }
}

export type Soon = Pick<StockPage, 'today' | 'knownUntil'> & { readonly items: readonly Ahead[] }

/** What runs out or must be ordered within a week, the most urgent first. */
export async function storesSoon(db: Reader, at: Date): Promise<Soon> {
  const stock = await loadStock(db, at)
  const last = addDays(stock.days.today, SOON_DAYS)
  const isSoon = (a: Ahead) => (a.runOut !== null && a.runOut.at < stock.days.endOf(last)) || (a.buy > 0 && a.orderBy !== null && a.orderBy <= last)
  return { today: stock.days.today, knownUntil: stock.knownUntil, items: aheadOf(stock).filter(isSoon).sort(byUrgency) }
}

/** Systems that share another part. */
export type PartOf = { readonly names: readonly string[]; readonly other: Ahead }

export type LevelPage = StockPage & {
  readonly ahead: Ahead
  /** Systems that it is a part of, with the other part’s outlook. */
  readonly partOf: readonly PartOf[]
  readonly from: number
  /** Of lots that pass their date within that time, what would be left then. */
  readonly pastDate: readonly (DatedLot & { readonly left: number })[]
}

export async function levelPage(db: Reader, member: Actor, itemId: string, at: Date): Promise<LevelPage> {
  const systems = await db.system.findMany({
    where: { OR: [{ resinItemId: itemId }, { hardenerItemId: itemId }] },
    select: { resinItemId: true, hardenerItemId: true, product: { select: { name: true } } }, orderBy: { product: { name: 'asc' } },
  })
  const others = systems.map((s) => (s.resinItemId === itemId ? s.hardenerItemId : s.resinItemId))
  const stock = await loadStock(db, at, { itemIds: [itemId, ...others] })
  const byId = new Map(stock.questions.map((q) => [q.item.id, q]))
  const own = found(byId.get(itemId))
  return {
    ...(await stockPage(db, member, stock)),
    ahead: lookAhead(own, stock.days),
    partOf: [...new Set(others)].map((id) => ({
      names: systems.filter((_, n) => others[n] === id).map((s) => s.product.name), other: lookAhead(found(byId.get(id)), stock.days),
    })),
    from: stock.days.now,
    pastDate: leftPastDate(await datedLots(db, itemId, stock.days.today), own.needs, stock.days, stock.until),
  }
}

/** Fresh lots of the club that have a last day still to come. */
async function datedLots(db: Reader, itemId: string, today: string): Promise<DatedLot[]> {
  const rows = await db.lotBalance.findMany({
    where: { holderId: CLUB_HOLDER, qtyMilli: { gt: 0 }, lot: { itemId, state: 'fresh' } },
    select: {
      qtyMilli: true,
      lot: {
        select: {
          id: true, number: true, expiresOn: true, openedOn: true, item: { select: { openedLifeDays: true } },
          tests: { where: { state: 'fresh' }, select: { expiresOn: true } },
        },
      },
    },
  })
  const iso = (d: Date | null) => d && isoDate(d)
  return rows.flatMap(({ qtyMilli, lot }): DatedLot[] => {
    const tested = lot.tests.flatMap((t) => iso(t.expiresOn) ?? []).sort().at(-1) ?? null
    const last = lastDay({ expires: lastDayOf(iso(lot.expiresOn), iso(lot.openedOn), lot.item.openedLifeDays), testedUntil: tested })
    return last === null || last < today ? [] : [{ id: lot.id, number: lot.number, lastDay: last, milli: Number(qtyMilli) }]
  })
}
