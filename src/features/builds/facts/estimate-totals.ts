/** Sums of an estimate, and what tasks ask for beside its lines. Pure. */
import { addSpread, EPOXY, NOTHING, sumSpreads } from '../../../core/estimate/index.ts'
import type { Line, Spread } from '../../../core/estimate/types.ts'
import { goodsOf, priceOf, tieOfLine, type LineTie, type PricedLine, type StoresView, type TakingTask } from './estimate-lines.ts'
import { centsFor, type UnitPrice } from './prices.ts'

/** A material that tasks ask for and no line is about: typed by a person, or of a task that was begun before a change. */
export type RestRow = {
  readonly name: string
  readonly unit: string
  readonly amount: Spread
  readonly tasks: readonly Pick<TakingTask, 'id' | 'name' | 'isDone'>[]
  readonly tie: LineTie | null
  readonly price: UnitPrice | null
  readonly cents: Spread | null
  /** Resin and hardener: it counts as mixed epoxy. */
  readonly isMixed: boolean
}

type Listed = TakingTask & { readonly listKey?: string | null }
type Drafted = { readonly listKey: string; readonly materials: readonly { readonly name: string }[] }

/**
 * An amount that somebody typed anew at a task of the list stands for a share of a line, which is reckoned as the rule says: it is no row
 * of its own here.
 */
export function restOf(lines: readonly Pick<Line, 'key'>[], draft: readonly Drafted[], tasks: readonly Listed[], stores: StoresView): RestRow[] {
  const keys = new Set(lines.map((l) => l.key))
  const listed = new Map(draft.map((d) => [d.listKey, new Set(d.materials.map((m) => m.name))]))
  const rows = tasks.flatMap((task) => task.materials
    .filter((m) => (m.line === null ? !(listed.get(task.listKey ?? '')?.has(m.name) ?? false) : !keys.has(m.line)))
    .map((m) => ({ m, task })))
  const groups = new Map<string, typeof rows>()
  for (const row of rows) {
    const key = `${row.m.name}|${row.m.unit}`
    groups.set(key, [...(groups.get(key) ?? []), row])
  }
  return [...groups.values()].map((mine) => {
    const { name, unit } = mine[0]!.m
    const amount = sumSpreads(mine.map((r) => r.m))
    const tie = tieOfLine({ key: '', material: name, unit: unit as Line['unit'] }, mine.map((r) => ({ ...r.task, materials: [r.m] })), stores, null)
    const price = priceOf(tie, stores)
    const taking = [...new Map(mine.map(({ task: t }) => [t.id ?? t.name, { id: t.id, name: t.name, isDone: t.isDone }])).values()]
    const kind = tie?.is === 'mix' ? stores.mixes.get(tie.id)?.kind : undefined
    return {
      name, unit, amount, tie, price, tasks: taking, cents: price === null ? null : centsFor(amount, unit, price, goodsOf(tie, stores)),
      isMixed: unit === 'g' && (kind === 'epoxy' || kind === 'glue'),
    }
  }).sort((a, b) => a.name.localeCompare(b.name))
}

export type Totals = {
  /** Of all that has a price. */
  readonly cents: Spread
  /** Materials without a price: they are not in `cents`. */
  readonly unpriced: readonly string[]
  readonly kg: Spread
  readonly epoxyG: Spread
  /** Likely, of all kinds together. */
  readonly sheets: number
  readonly sheetRange: Spread
  readonly clothM2: Spread
  readonly tapeM: Spread
}

export function totalsOf(lines: readonly PricedLine[], rest: readonly RestRow[]): Totals {
  const gross = (pick: (l: PricedLine) => boolean) => sumSpreads(lines.filter(pick).map((l) => l.gross))
  const said = (name: string, tie: LineTie | null) => (tie?.is === 'mix' ? `${name} (${tie.name})` : name)
  const without = [
    ...lines.filter((l) => l.cents === null && l.gross.high > 0).map((l) => said(l.material, l.tie)), ...rest.filter((r) => r.cents === null && r.amount.high > 0).map((r) => said(r.name, r.tie)),
  ]
  const sheetRange = sumSpreads(lines.flatMap((l) => l.sheets ?? []))
  return {
    cents: [...lines, ...rest].reduce((sum, l) => addSpread(sum, l.cents ?? NOTHING), NOTHING),
    unpriced: [...new Set(without)].sort((a, b) => a.localeCompare(b)),
    kg: sumSpreads(lines.map((l) => l.kg)),
    epoxyG: addSpread(gross((l) => l.material === EPOXY), sumSpreads(rest.filter((r) => r.isMixed).map((r) => r.amount))),
    sheets: sheetRange.likely, sheetRange,
    clothM2: gross((l) => l.rule === 'cloth'),
    tapeM: gross((l) => l.rule === 'tape'),
  }
}

export type MaterialSum = {
  readonly name: string
  readonly unit: string
  readonly gross: Spread
  /** Of plywood: whole ones. */
  readonly sheets: Spread | null
  readonly waste: Spread
  /** In the material's unit; null: not known. */
  readonly drawn: number | null
  readonly tie: LineTie | null
  readonly price: UnitPrice | null
  readonly cents: Spread | null
}

/** Lines and the rest by material, in the order of the alphabet. */
export function byMaterial(lines: readonly PricedLine[], rest: readonly RestRow[]): MaterialSum[] {
  const all: MaterialSum[] = [
    ...lines.map((l) => ({ name: l.material, unit: l.unit, gross: l.gross, sheets: l.sheets, waste: l.waste, drawn: l.drawn, tie: l.tie, price: l.price, cents: l.cents })),
    ...rest.map((r) => ({ name: r.name, unit: r.unit, gross: r.amount, sheets: null, waste: NOTHING, drawn: null, tie: r.tie, price: r.price, cents: r.cents })),
  ]
  const sums = new Map<string, MaterialSum>()
  for (const m of all) {
    const key = `${m.name}|${m.unit}|${m.tie?.id ?? ''}`
    const sum = sums.get(key)
    sums.set(key, sum === undefined ? m : {
      ...sum, gross: addSpread(sum.gross, m.gross), waste: addSpread(sum.waste, m.waste),
      sheets: sum.sheets === null || m.sheets === null ? null : addSpread(sum.sheets, m.sheets),
      drawn: sum.drawn === null ? m.drawn : sum.drawn + (m.drawn ?? 0),
      cents: sum.cents === null || m.cents === null ? null : addSpread(sum.cents, m.cents),
    })
  }
  return [...sums.values()].sort((a, b) => a.name.localeCompare(b.name))
}
