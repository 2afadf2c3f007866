/** The lines of an estimate with the tasks that take them, what they are in the stores, what they cost and what was drawn. Pure. */
import { addSpread, sumSpreads } from '../../../core/estimate/index.ts'
import type { Line, RuleKey, Spread } from '../../../core/estimate/types.ts'
import { inUnitOf } from './amounts.ts'
import { guessed, type Choice, type StoreItem } from './material-choice.ts'
import { centsFor, mixPrice, unitPrice, type PricedItem, type UnitPrice } from './prices.ts'

export type Mixable = {
  readonly name: string
  readonly kind: string
  /** Null: nobody has said which resin and hardener it is. ratio null: by mass it is not known. */
  readonly parts: { readonly resinId: string; readonly hardenerId: string; readonly ratio: { readonly a: number; readonly b: number } | null } | null
}
/** What the stores know: all items with their prices, and the cure products. */
export type StoresView = {
  readonly items: ReadonlyMap<string, PricedItem & StoreItem>
  readonly mixes: ReadonlyMap<string, Mixable>
  /** What the club has said that names stand for. */
  readonly known: ReadonlyMap<string, Choice>
}
/** isGuess: by the words of its name alone, nobody has said so. */
export type LineTie = { readonly is: 'item' | 'mix'; readonly id: string; readonly name: string; readonly isGuess: boolean }

/** One task's share of a line, in the line's unit; `id` is null where only the option that is being looked at has the task. */
export type Taker = { readonly id: string | null; readonly name: string; readonly isDone: boolean; readonly amount: Spread }

export type PricedLine = Line & {
  /** Net and waste, as it is taken from the stores. */
  readonly gross: Spread
  /** Of plywood: the sheets to buy. */
  readonly sheets: Spread | null
  readonly tie: LineTie | null
  readonly price: UnitPrice | null
  readonly cents: Spread | null
  readonly tasks: readonly Taker[]
  /** So far on its tasks, returns taken off; null: it can't be said in the line's unit. */
  readonly drawn: number | null
}

/** A material of a task as its row has it; of a task that only an option has, as the list would make it. */
export type TakenRow = Spread & {
  readonly line: string | null
  readonly name: string
  readonly unit: string
  readonly itemId: string | null
  readonly productId: string | null
  readonly structural: boolean
}
export type TakingTask = {
  readonly id: string | null
  readonly name: string
  readonly isDone: boolean
  readonly productId: string | null
  readonly materials: readonly TakenRow[]
}

/** Thousandths drawn by task and item. */
export type Drawn = ReadonlyMap<string, ReadonlyMap<string, number>>

export const grossOf = (line: Pick<Line, 'net' | 'waste'>): Spread => addSpread(line.net, line.waste)

/** Sheets are bought whole: of each kind the line's own number rounded up, or as many as the layout has found. */
export function wholeSheets(gross: Spread, laidOut: number | null): Spread {
  const up = (n: number) => Math.ceil(n - 1e-9)
  const likely = laidOut ?? up(gross.likely)
  return { low: Math.min(up(gross.low), likely), likely, high: Math.max(up(gross.high), likely) }
}

/** A guess by the name alone is of the right kind at least: a tape is no cloth, whatever words they share. */
const KIND_OF: Partial<Record<RuleKey, string>> = { cloth: 'cloth', tape: 'tape', ply: 'ply', timber: 'timber', paint: 'paint', abrasive: 'abrasive' }

type Named = Pick<Line, 'material' | 'unit' | 'key'> & { readonly rule?: RuleKey }
/** @param mixedBy the product that most of her mixed amounts are of, for what no task has tied. */
export function tieOfLine(line: Named, tasks: readonly TakingTask[], stores: StoresView, mixedBy: string | null): LineTie | null {
  const taking = tasks.flatMap((t) => t.materials.map((row) => ({ row, task: t })))
  const tied = ({ row }: (typeof taking)[number]) => row.itemId !== null || row.productId !== null
  const row = (taking.find((x) => x.row.line === line.key && tied(x)) ?? taking.find((x) => x.row.name === line.material && tied(x)))?.row
  if (row?.itemId) return itemTie(row.itemId, stores, false)
  if (row?.productId) return mixTie(row.productId, stores, false)
  const product = taking.find((x) => x.row.line === line.key && x.task.productId !== null)?.task.productId ?? mixedBy
  const said = stores.known.get(line.material)
  const kind = line.rule && KIND_OF[line.rule]
  const likely = [...stores.items.values()].filter((i) => kind === undefined || i.kind === kind)
  return byChoice(said ?? guessed(line.material, [line.unit], likely), product, stores, said === undefined)
}

function byChoice(choice: Choice, product: string | null, stores: StoresView, isGuess: boolean): LineTie | null {
  switch (choice.is) {
    case 'item': return itemTie(choice.id, stores, isGuess)
    case 'product': return mixTie(choice.id, stores, isGuess)
    case 'mixed': return product === null ? null : mixTie(product, stores, isGuess)
    case 'not': return null
  }
}
function itemTie(id: string, { items }: StoresView, isGuess: boolean): LineTie | null {
  const item = items.get(id)
  return item === undefined ? null : { is: 'item', id, name: item.name, isGuess }
}
function mixTie(id: string, { mixes }: StoresView, isGuess: boolean): LineTie | null {
  const mix = mixes.get(id)
  return mix === undefined ? null : { is: 'mix', id, name: mix.name, isGuess }
}

export function priceOf(tie: LineTie | null, { items, mixes }: StoresView): UnitPrice | null {
  if (tie === null) return null
  if (tie.is === 'item') return unitPrice(items.get(tie.id)!)
  const parts = mixes.get(tie.id)!.parts
  const [resin, hardener] = [items.get(parts?.resinId ?? ''), items.get(parts?.hardenerId ?? '')]
  return !parts?.ratio || !resin || !hardener ? null : mixPrice({ resin, hardener, ratio: parts.ratio })
}

/** The goods that a tie stands for, as their amounts are converted. */
export const goodsOf = (tie: LineTie | null, { items }: StoresView) =>
  (tie?.is === 'item' ? items.get(tie.id) : undefined) ?? { unit: 'g', density: null, widthMm: null }

export type Asked = {
  readonly lines: readonly Line[]
  readonly tasks: readonly TakingTask[]
  readonly drawn: Drawn
  readonly stores: StoresView
  readonly mixedBy: string | null
  /** What the buying layout found, by the line's part. */
  readonly sheets: ReadonlyMap<string, number>
}

export function priceLines({ lines, tasks, drawn, stores, mixedBy, sheets }: Asked): PricedLine[] {
  return lines.map((line) => {
    const gross = grossOf(line)
    const tie = tieOfLine(line, tasks, stores, mixedBy)
    const price = priceOf(tie, stores)
    const whole = line.rule === 'ply' ? wholeSheets(gross, sheets.get(line.part) ?? null) : null
    const taking = tasks.filter((t) => t.materials.some((m) => m.line === line.key))
    return {
      ...line, gross, sheets: whole, tie, price,
      cents: price === null ? null : centsFor(whole ?? gross, line.unit, price, goodsOf(tie, stores)),
      tasks: taking.map((t): Taker => ({ id: t.id, name: t.name, isDone: t.isDone, amount: sumSpreads(t.materials.filter((m) => m.line === line.key)) })),
      drawn: drawnFor(line, taking, tie, drawn, stores),
    }
  })
}

/**
 * What was drawn of the line's goods on its tasks. Where a task takes several lines of the same goods, its draws are shared between them
 * by what each asks for: nobody says at the scale which coat a cup was for.
 */
function drawnFor({ key, unit: said }: Pick<Line, 'key' | 'unit'>, taking: readonly TakingTask[], tie: LineTie | null, drawn: Drawn, stores: StoresView): number | null {
  if (tie === null) return null
  const unit = tie.is === 'item' ? goodsOf(tie, stores).unit : 'g'
  let sum = 0
  for (const task of taking) {
    const on = task.id === null ? undefined : drawn.get(task.id)
    if (on === undefined) continue
    const inGoods = (m: TakenRow) => (tie.is === 'item' ? (inUnitOf(m.likely, m.unit, goodsOf(tie, stores)) ?? 0) : m.likely)
    const same = task.materials.filter((m) => (tie.is === 'item' ? m.itemId === tie.id : m.productId === tie.id && m.unit === 'g'))
    const all = same.reduce((n, m) => n + inGoods(m), 0)
    const mine = same.filter((m) => m.line === key).reduce((n, m) => n + inGoods(m), 0)
    if (all > 0) sum += (drawnOfTie(on, tie, stores) * mine) / all
  }
  return fromGoods(sum, unit, said, goodsOf(tie, stores))
}

/** In the item's unit; of a mix, grams of resin and hardener together. */
function drawnOfTie(on: ReadonlyMap<string, number>, tie: LineTie, { items, mixes }: StoresView): number {
  if (tie.is === 'item') return (on.get(tie.id) ?? 0) / 1000
  const parts = mixes.get(tie.id)!.parts
  return (parts === null ? [] : [parts.resinId, parts.hardenerId]).reduce((sum, id) => {
    const item = items.get(id)
    return item === undefined ? sum : sum + (fromGoods((on.get(id) ?? 0) / 1000, item.unit, 'g', item) ?? 0)
  }, 0)
}

/** An amount in the goods' unit said in another; null where that is not exact. */
function fromGoods(amount: number, unit: string, wanted: string, goods: { density: number | null; widthMm: number | null }): number | null {
  return inUnitOf(amount, unit, { ...goods, unit: wanted })
}
