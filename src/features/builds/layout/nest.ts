import { sheetBound, type SheetBound } from '../../../core/estimate/panels.ts'
import { below, random, type Random } from '../../../core/schedule/random.ts'
import { fits, OpenSheet, WAYS, type Part, type Placed, type Stock, type Way } from './sheet.ts'

export interface NestOptions {
  readonly seed?: number
  /** How often a part may be offered to a sheet: bounds the search, the same on every machine. */
  readonly steps?: number
  /** Only fewer sheets than this are of use: where the bound rules them out, nothing is searched. */
  readonly enough?: number
}
export const NEST_STEPS = 40_000
/** Short lists are through sooner. */
const STEPS_A_PART = 1500

export interface Layout {
  readonly sheets: readonly (readonly Placed[])[]
  /** What no layout of these parts can be below. */
  readonly bound: SheetBound
  /** Parts larger than a sheet: on none. */
  readonly tooLarge: readonly Part[]
  readonly steps: number
}

interface Search { readonly stock: Stock; readonly chance: Random; readonly budget: number; steps: number }
type State = readonly OpenSheet[]

/**
 * Parts on as few sheets as the packing library is brought to: every way it has, in several orders, then sheets taken apart by twos and threes
 * and packed anew in shuffled orders. Ends at the lower bound or when the steps are spent. The same parts, stock and options give the same layout.
 */
export function nest(parts: readonly Part[], stock: Stock, { seed = 1, steps = Math.min(NEST_STEPS, STEPS_A_PART * parts.length), enough = Infinity }: NestOptions = {}): Layout {
  const tooLarge = parts.filter((p) => !fits(p, stock))
  const wanted = parts.filter((p) => fits(p, stock))
  const search: Search = { stock, chance: random(seed), budget: steps, steps: 0 }
  const bound = boundOf(wanted, stock)
  let best: State = []
  if (wanted.length > 0) best = improve(begin(wanted, bound.strong, search), bound.strong < enough ? bound.strong : Infinity, search)
  return { sheets: [...best].sort((a, b) => b.used - a.used).map((s) => s.placed()), bound, tooLarge, steps: search.steps }
}

/** A cut goes with each part but the last of a row: sheet and parts are longer by one. */
function boundOf(parts: readonly Part[], { lengthMm, widthMm, kerfMm, trimMm }: Stock): SheetBound {
  return sheetBound(
    parts.map((p) => ({ lengthMm: p.lengthMm + kerfMm, widthMm: p.widthMm + kerfMm, mayTurn: p.mayTurn })),
    { lengthMm: lengthMm - 2 * trimMm + kerfMm, widthMm: widthMm - 2 * trimMm + kerfMm },
  )
}

const ORDERS: readonly ((p: Part) => number)[] = [
  (p) => p.lengthMm * p.widthMm, (p) => Math.max(p.lengthMm, p.widthMm), (p) => p.lengthMm, (p) => p.widthMm, (p) => p.lengthMm + p.widthMm,
]

function begin(parts: readonly Part[], least: number, search: Search): State {
  let best: State | null = null
  for (const by of ORDERS) {
    const order = [...parts].sort((a, b) => by(b) - by(a) || b.lengthMm - a.lengthMm || b.widthMm - a.widthMm || (a.id < b.id ? -1 : 1))
    for (const way of WAYS) {
      const state = pack(order, way, search)
      if (best === null || isBetter(state, best)) best = state
      // Hundreds of parts are packed one way and left at that.
      if (best.length <= least || search.steps >= search.budget) return best
    }
  }
  return best!
}

/** Each part goes to the fullest sheet that takes it; to a new one where none does. */
function pack(order: readonly Part[], way: Way, search: Search, most = Infinity): OpenSheet[] {
  const open: OpenSheet[] = []
  for (const part of order) {
    open.sort((a, b) => a.left - b.left)
    let taken = false
    for (const s of open) {
      search.steps++
      if (s.add(part)) { taken = true; break }
    }
    if (taken) continue
    if (open.length === most) return []
    const fresh = new OpenSheet(search.stock, way)
    search.steps++
    fresh.add(part)
    open.push(fresh)
  }
  return open
}

/** Fewer sheets; else waste gathered on fewer of them. */
const gathered = (s: State): number => s.reduce((sum, o) => sum + o.used ** 2, 0)
const isBetter = (a: State, b: State): boolean => a.length < b.length || (a.length === b.length && gathered(a) > gathered(b))

function improve(from: State, least: number, search: Search): State {
  const { chance } = search
  let now = [...from]
  while (now.length > least && search.steps < search.budget) {
    const count = Math.min(now.length, 2 + (chance() < 0.4 ? 1 : 0) + (chance() < 0.15 ? 1 : 0))
    const taken = pick(now, count, chance)
    const parts = taken.flatMap((s) => s.parts())
    const by = ORDERS[below(chance, ORDERS.length)]!
    const blur = chance()
    const order = parts.map((p) => ({ p, key: by(p) * (1 + blur * (chance() - 0.5) * 2) })).sort((a, b) => b.key - a.key).map((o) => o.p)
    const anew = pack(order, WAYS[below(chance, WAYS.length)]!, search, count)
    if (anew.length === 0) continue
    if (anew.length < count || gathered(anew) >= gathered(taken)) now = [...now.filter((s) => !taken.includes(s)), ...anew]
  }
  return now
}

function pick(state: State, count: number, chance: Random): OpenSheet[] {
  const pool = [...state].sort((a, b) => a.used - b.used)
  const out: OpenSheet[] = []
  // The emptiest one is taken half of the time.
  if (chance() < 0.5) out.push(pool.shift()!)
  while (out.length < count) out.push(...pool.splice(below(chance, pool.length), 1))
  return out
}
