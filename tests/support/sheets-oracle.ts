/**
 * The fewest sheets by a way that shares nothing with the layout's search: every set of parts that one sheet might take is listed, and HiGHS (a general-purpose
 * solver of mixed integer programs) covers all parts with as few sets as can be. With sets that only pass what is necessary it is a lower bound.
 */
import highs, { type LegacyHighs } from 'highs'
import { sheetBound } from '../../src/core/estimate/panels.ts'
import { OpenSheet, WAYS, type Part, type Stock } from '../../src/features/builds/layout/sheet.ts'

// Its types describe the loader as a CommonJS module's default.
const load = highs as unknown as () => Promise<LegacyHighs>
let solver: Promise<LegacyHighs> | null = null
const loaded = (): Promise<LegacyHighs> => (solver ??= load())

/** Places in the list of parts, rising. */
type PartSet = readonly number[]

/** Whether the packing library gets them on one sheet in some order, some way. */
export function isPacked(parts: readonly Part[], stock: Stock): boolean {
  return orders(parts).some((order) => WAYS.some((way) => {
    const sheet = new OpenSheet(stock, way)
    return order.every((part) => sheet.add(part))
  }))
}

function orders<T>(list: readonly T[]): T[][] {
  return list.length <= 1 ? [[...list]] : list.flatMap((one, i) => orders([...list.slice(0, i), ...list.slice(i + 1)]).map((rest) => [one, ...rest]))
}

/** Sets that pass: any two beside or above each other, the area, the proven bound; null where there are more than `limit`. For parts that may not be turned. */
export function possibleSets(parts: readonly Part[], stock: Stock, limit: number): PartSet[] | null {
  const area = (i: number) => parts[i]!.lengthMm * parts[i]!.widthMm
  const together = (a: number, b: number) => parts[a]!.lengthMm + parts[b]!.lengthMm <= stock.lengthMm || parts[a]!.widthMm + parts[b]!.widthMm <= stock.widthMm
  const out: number[][] = []
  const grow = (set: number[], from: number, used: number): boolean => {
    for (let i = from; i < parts.length; i++) {
      if (used + area(i) > stock.lengthMm * stock.widthMm || !set.every((j) => together(i, j))) continue
      const next = [...set, i]
      if (next.length > 2 && sheetBound(next.map((j) => parts[j]!), stock).strong > 1) continue
      out.push(next)
      if (out.length > limit || !grow(next, i + 1, used + area(i))) return false
    }
    return true
  }
  return grow([], 0, 0) ? out : null
}

/** How few of the sets hold every part; null where the solver gave up. */
export async function fewestSets(sets: readonly PartSet[], count: number): Promise<number | null> {
  const kept = largest(sets, count)
  const rows = Array.from({ length: count }, (_, i) => ` part${i}: ${kept.flatMap((s, j) => (s.includes(i) ? [`s${j}`] : [])).join(' + ')} >= 1`)
  const all = kept.map((_, j) => `s${j}`)
  const { Status, ObjectiveValue } = (await loaded()).solve(`Minimize\n sheets: ${all.join(' + ')}\nSubject To\n${rows.join('\n')}\nBinary\n ${all.join(' ')}\nEnd`, { time_limit: 60 })
  return Status === 'Optimal' ? Math.round(ObjectiveValue) : null
}

/** Sets that no other one holds with one part more. */
function largest(sets: readonly PartSet[], count: number): PartSet[] {
  const has = new Set(sets.map((s) => s.join(' ')))
  return sets.filter((s) => {
    for (let i = 0; i < count; i++) if (!s.includes(i) && has.has([...s, i].sort((a, b) => a - b).join(' '))) return false
    return true
  })
}
