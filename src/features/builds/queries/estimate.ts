/** What she takes: the lines of her estimate with tasks, prices, draws and what is still to buy. */
import { ok, type Result } from '../../../core/result.ts'
import type { Spread } from '../../../core/estimate/types.ts'
import type { Reader } from '../../../platform/database.ts'
import { CLUB_HOLDER, drawnOn, loadSystems, stockOf, type Systems } from '../../stores/public.ts'
import { toBuyOf, type Left, type ToBuy } from '../facts/estimate-buying.ts'
import { swingsOf, thingsOf, type MeasuredThing, type Swing } from '../facts/estimate-guesses.ts'
import { estimatedHours, type EstimatedHours } from '../facts/estimate-hours.ts'
import { priceLines, type Drawn, type Mixable, type PricedLine, type StoresView, type TakingTask } from '../facts/estimate-lines.ts'
import { restOf, totalsOf, type RestRow, type Totals } from '../facts/estimate-totals.ts'
import { isStructural, type StoreItem } from '../facts/material-choice.ts'
import type { PricedItem } from '../facts/prices.ts'
import { layoutOf } from '../layout/layout.ts'
import { boatView, type BoatChange, type BoatView } from './boat.ts'
import { weighNudged } from '../facts/estimate-nudge.ts'
import { sizesOf } from './layout.ts'
import { knownNames } from './store-choices.ts'
import { needsLeft } from './task-needs.ts'

export type EstimateModel = {
  view: BoatView
  lines: PricedLine[]
  /** Materials that her tasks ask for and no line is about: typed by people, or kept from before a change. */
  rest: RestRow[]
  totals: Totals & { hours: Spread; byPhase: EstimatedHours['byPhase'] }
  toBuy: ToBuy[]
  things: MeasuredThing[]
}

/** Messages by field. */
type Fields = Readonly<Record<string, string>>
type Read = { model: EstimateModel; stores: StoresView }

/**
 * @param change measurements and choices that are looked at instead of hers; `measured` is merged over her own.
 * @param today which lots are still fit to use; left out: as they were last judged.
 */
export async function estimateOf(db: Reader, buildId: string, change?: BoatChange, today = '0001-01-01'): Promise<Result<EstimateModel, Fields>> {
  const read = await readEstimate(db, buildId, change, today)
  return read.ok ? ok(read.value.model) : read
}

/** Guesses by how much they matter; some tens of estimates, so only for the page that shows it. */
export const guessesOf = ({ model: { view, lines, things }, stores }: Read): Swing[] => {
  const { base, reckon } = weighNudged(view, lines, stores)
  return swingsOf(things, base, reckon)
}

export async function readEstimate(db: Reader, buildId: string, change: BoatChange | undefined, today: string): Promise<Result<Read, Fields>> {
  const asked = await boatView(db, buildId, change)
  if (!asked.ok) return asked
  const view = asked.value
  const stored = await tasksOf(db, buildId)
  const [systems, drawn] = [await loadSystems(db), await drawnOn(db, stored.map((t) => t.id))]
  const { stores, here, coming } = await storesView(db, systems, today)
  const isBegun = (t: Stored) => t.startedAt !== null || t.isDone || drawn.has(t.id)
  const tasks = change === undefined ? stored : changedTasks(view, stored, isBegun)
  const { counts: sheets } = layoutOf(view, await sizesOf(db, buildId, view.lines))
  const lines = priceLines({ lines: view.lines, tasks, drawn, stores, mixedBy: usualMix(stored), sheets })
  const rest = restOf(view.lines, view.draft.tasks, tasks, stores)
  const hours = estimatedHours(view.draft.phases, view.draft.tasks, stored.filter((t) => t.listKey === null || tasks.some((k) => k.id === t.id)))
  const model: EstimateModel = {
    view, lines, rest, things: thingsOf(view.figures, view.boat),
    totals: { ...totalsOf(lines, rest), hours: inHours(hours.minutes), byPhase: hours.byPhase },
    toBuy: toBuyOf(leftOf(lines, tasks, systems, stores, drawn), stores.items, here, coming),
  }
  return ok({ model, stores })
}

const inHours = (m: Spread): Spread => ({ low: m.low / 60, likely: m.likely / 60, high: m.high / 60 })

type Stored = Awaited<ReturnType<typeof tasksOf>>[number]

async function tasksOf(db: Reader, buildId: string) {
  const rows = await db.task.findMany({
    where: { buildId },
    select: {
      id: true, listKey: true, name: true, startedAt: true, finishedAt: true, productId: true, kind: true, workLowMin: true, workLikelyMin: true, workHighMin: true, handsFrom: true,
      phase: { select: { name: true } },
      materials: {
        select: { line: true, name: true, unit: true, low: true, likely: true, high: true, itemId: true, productId: true, structural: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }],
      },
    },
    orderBy: [{ phase: { position: 'asc' } }, { position: 'asc' }, { id: 'asc' }],
  })
  return rows.map(({ finishedAt, phase, ...t }) => ({ ...t, phase: phase.name, isDone: finishedAt !== null }))
}

/** The cure product that most of her mixed amounts are of. */
function usualMix(tasks: readonly TakingTask[]): string | null {
  const sums = new Map<string, number>()
  for (const { productId, unit, likely } of tasks.flatMap((t) => t.materials)) if (productId !== null && unit === 'g') sums.set(productId, (sums.get(productId) ?? 0) + likely)
  return [...sums].sort((a, b) => b[1] - a[1])[0]?.[0] ?? null
}

/** Her tasks as the change would make them: begun ones and people's own as they are, the list's anew, with the ties that the names have now. */
function changedTasks({ draft }: BoatView, stored: readonly Stored[], isBegun: (t: Stored) => boolean): TakingTask[] {
  const byKey = new Map(stored.map((t) => [t.listKey, t]))
  const tied = stored.flatMap((t) => t.materials).filter((m) => m.itemId !== null || m.productId !== null)
  const drafted = draft.tasks.map((d): TakingTask => {
    const mine = byKey.get(d.listKey)
    if (mine !== undefined && isBegun(mine)) return mine
    const materials = d.materials.map((m) => {
      const like = mine?.materials.find((x) => x.name === m.name) ?? tied.find((x) => x.line === m.line && x.line !== null) ?? tied.find((x) => x.name === m.name)
      const { itemId = null, productId = null, structural = true } = like ?? {}
      return { ...m, line: m.line ?? null, itemId, productId, structural }
    })
    return { id: mine?.id ?? null, name: mine?.name ?? d.name, isDone: false, productId: mine?.productId ?? null, materials }
  })
  const keys = new Set(draft.tasks.map((d) => d.listKey))
  return [...drafted, ...stored.filter((t) => t.listKey === null || (!keys.has(t.listKey) && isBegun(t)))]
}

/** What the club has, sells and calls things. */
async function storesView(db: Reader, systems: Systems, today: string) {
  const rows = await db.item.findMany({
    select: {
      id: true, name: true, kind: true, unit: true, density: true, widthMm: true, lengthMm: true, thicknessMm: true, arealMass: true, isActive: true,
      packs: { where: { isActive: true }, select: { name: true, qtyMilli: true, priceCents: true }, orderBy: [{ qtyMilli: 'asc' }, { id: 'asc' }] },
      accounts: { where: { holderId: CLUB_HOLDER }, select: { qtyMilli: true, valueCents: true } },
    },
    orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
  const items = new Map(rows.map(({ packs, accounts, ...item }): [string, PricedItem & StoreItem] => [item.id, {
    ...item,
    packs: packs.map((p) => ({ name: p.name, milli: Number(p.qtyMilli), priceCents: p.priceCents })),
    held: { milli: Number(accounts[0]?.qtyMilli ?? 0n), cents: Number(accounts[0]?.valueCents ?? 0n) },
  }]))
  const products = await db.cureProduct.findMany({ select: { id: true, name: true, kind: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  const mixes = new Map(products.map(({ id, name, kind }): [string, Mixable] => {
    const system = systems.get(id)
    return [id, { name, kind, parts: system ? { resinId: system.resin.id, hardenerId: system.hardener.id, ratio: system.massRatio } : null }]
  }))
  const stores: StoresView = { items, mixes, known: await knownNames(db) }
  const there = await stockOf(db, today)
  const isLoad = (id: string) => isStructural({ itemId: id, productId: null }, rows, [])
  const here = new Map([...there].map(([id, h]) => [id, h.fresh + (isLoad(id) ? 0 : h.notStructural)]))
  const coming = new Map<string, number>()
  const orders = await db.orderLine.findMany({ where: { order: { state: 'open' } }, select: { itemId: true, qtyMilli: true, receivedMilli: true }, orderBy: { id: 'asc' } })
  for (const { itemId, qtyMilli, receivedMilli } of orders) coming.set(itemId, (coming.get(itemId) ?? 0) + Math.max(0, Number(qtyMilli - receivedMilli)))
  return { stores, here, coming }
}

/** Still to draw: by the tasks that are not finished, and all of a line that no task takes. */
function leftOf(lines: readonly PricedLine[], tasks: readonly TakingTask[], systems: Systems, { items }: StoresView, drawn: Drawn): Left[] {
  const ofTasks = tasks.flatMap((t) => {
    const left = needsLeft(t.materials, items, systems, (t.id === null ? undefined : drawn.get(t.id)) ?? new Map())
    return left.map((n) => ({ itemId: n.itemId, drawnMilli: n.drawnMilli, leftMilli: t.isDone ? 0 : n.leftMilli }))
  })
  const untaken = lines.filter((l) => l.tasks.length === 0 && l.tie !== null)
    .map((l) => ({ itemId: l.tie!.is === 'item' ? l.tie!.id : null, productId: l.tie!.is === 'mix' ? l.tie!.id : null, unit: l.unit, likely: l.gross.likely, structural: true }))
  // Sheets are bought whole, and tasks ask for them by area.
  const whole = lines.flatMap((l): Left[] => {
    if (l.sheets === null || l.tie?.is !== 'item' || (l.tasks.length > 0 && l.tasks.every((t) => t.isDone))) return []
    const asked = l.tasks.length === 0 ? l.gross.likely : l.tasks.reduce((n, t) => n + t.amount.likely, 0)
    return [{ itemId: l.tie.id, drawnMilli: 0, leftMilli: Math.max(0, Math.round(1000 * (l.sheets.likely - Math.max(asked, l.drawn ?? 0)))) }]
  })
  return [...ofTasks, ...whole, ...needsLeft(untaken, items, systems, new Map()).map((n) => ({ itemId: n.itemId, drawnMilli: 0, leftMilli: n.leftMilli }))]
}

