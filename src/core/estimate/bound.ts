import type { SheetSize } from './split.ts'

/** A rectangle to cut. Length lies along the sheet's length unless it may be turned. */
export interface Rectangle {
  readonly lengthMm: number
  readonly widthMm: number
  readonly mayTurn: boolean
}

/** What no layout can be below. */
export interface SheetBound {
  /** Σ area ÷ area of a sheet, not rounded. */
  readonly area: number
  /** The same rounded up: whole sheets. */
  readonly sheets: number
  /** Whole sheets by dual feasible functions: never below `sheets`. */
  readonly strong: number
}

/**
 * Lower bounds of the sheets that rectangles need. `strong` is the best of Σ f(length)·g(width) over pairs of dual feasible functions of the sizes'
 * shares of the sheet (Fekete and Schepers, "New classes of fast lower bounds for bin packing problems", 2001, from memory): sizes above half
 * can't stand side by side, and so on. A rectangle that may be turned counts as whichever way is less.
 * @throws RangeError where a rectangle fits no sheet.
 */
export function sheetBound(parts: readonly Rectangle[], sheet: SheetSize): SheetBound {
  const share = parts.map((p) => {
    const ways = [[p.lengthMm / sheet.lengthMm, p.widthMm / sheet.widthMm] as const, ...(p.mayTurn ? [[p.widthMm / sheet.lengthMm, p.lengthMm / sheet.widthMm] as const] : [])]
    const fitting = ways.filter(([x, y]) => x > 0 && y > 0 && x <= 1 + EPSILON && y <= 1 + EPSILON).map(([x, y]) => [Math.min(1, x), Math.min(1, y)] as const)
    if (fitting.length === 0) throw new RangeError(`${p.lengthMm} × ${p.widthMm} mm is on no sheet of ${sheet.lengthMm} × ${sheet.widthMm} mm`)
    return fitting
  })
  const area = parts.reduce((sum, p) => sum + (p.lengthMm / sheet.lengthMm) * (p.widthMm / sheet.widthMm), 0)
  const sheets = whole(area)
  const tables = [0, 1].map((axis) => functions(share.flat().map((way) => way[axis]!)).map((f) => share.map((ways) => ways.map((way) => f(way[axis]!)))))
  let strong = sheets
  for (const f of tables[0]!) {
    for (const g of tables[1]!) {
      let sum = 0
      for (let i = 0; i < share.length; i++) {
        const [a, b] = [f[i]!, g[i]!]
        sum += a.length === 1 ? a[0]! * b[0]! : Math.min(a[0]! * b[0]!, a[1]! * b[1]!)
      }
      strong = Math.max(strong, whole(sum))
    }
  }
  return { area, sheets, strong }
}

const EPSILON = 1e-9
const whole = (n: number): number => Math.max(0, Math.ceil(n - EPSILON))

/** Dual feasible functions: whenever sizes add up to at most 1, so do their values. */
function functions(sizes: readonly number[]): ((x: number) => number)[] {
  const small = [...new Set(sizes.map((x) => Math.min(x, 1 - x)).filter((x) => x > 0 && x <= 0.5))].sort((a, b) => a - b)
  return [
    (x) => x,
    // Whole multiples of 1/k: u^(k)(x) = x where (k+1)x is whole, else floor((k+1)x)/k.
    ...[1, 2, 3, 4, 5].map((k) => (x: number) => (isWhole((k + 1) * x) ? x : Math.floor((k + 1) * x) / k)),
    // What is longer than 1 − λ fills the sheet, what is shorter than λ counts for nothing.
    ...small.map((least) => (x: number) => (x > 1 - least + EPSILON ? 1 : x < least - EPSILON ? 0 : x)),
  ]
}
const isWhole = (x: number): boolean => Math.abs(x - Math.round(x)) < EPSILON
