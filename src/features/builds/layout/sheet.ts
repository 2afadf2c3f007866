import { MaxRectsBin, Rectangle } from 'maxrects-packer/dist/maxrects-packer.mjs'

/** A rectangle to be sawn, whole mm; length along the sheet's length (its face grain) unless it may be turned. */
export interface Part {
  readonly id: string
  readonly lengthMm: number
  readonly widthMm: number
  readonly mayTurn: boolean
}

/** A sheet and how it is sawn, whole mm. */
export interface Stock {
  readonly lengthMm: number
  readonly widthMm: number
  /** Width of the saw cut between parts. */
  readonly kerfMm: number
  /** Taken off all round. */
  readonly trimMm: number
}

export interface Placed {
  readonly part: Part
  /** From the sheet's corner: x along its length. */
  readonly x: number
  readonly y: number
  readonly isTurned: boolean
}

/** How the library picks a gap for a part: 0 least area left over, 1 least edge left over, 2 row by row. Its other options size an atlas, which a sheet is not. */
export type Way = 0 | 1 | 2
export const WAYS: readonly Way[] = [1, 0, 2]

type Box = Rectangle & { part: Part }

/** One sheet being filled by the packing library. */
export class OpenSheet {
  private readonly bin: MaxRectsBin<Box>
  /** mm² of parts on it. */
  used = 0
  private readonly stock: Stock

  constructor(stock: Stock, way: Way) {
    this.stock = stock
    // The library's padding is our kerf, its border the trim; grain is kept part by part.
    this.bin = new MaxRectsBin<Box>(stock.lengthMm, stock.widthMm, stock.kerfMm, { smart: false, pot: false, square: false, allowRotation: false, border: stock.trimMm, logic: way })
  }

  get left(): number {
    return (this.stock.lengthMm - 2 * this.stock.trimMm) * (this.stock.widthMm - 2 * this.stock.trimMm) - this.used
  }

  add(part: Part): boolean {
    const area = part.lengthMm * part.widthMm
    if (area > this.left) return false
    const box = Object.assign(new Rectangle(part.lengthMm, part.widthMm, 0, 0, false, part.mayTurn), { part })
    if (this.bin.add(box) === undefined) return false
    this.used += area
    return true
  }

  placed(): Placed[] {
    return this.bin.rects.map((r) => ({ part: r.part, x: r.x, y: r.y, isTurned: r.rot }))
  }

  parts(): Part[] {
    return this.bin.rects.map((r) => r.part)
  }
}

/** Whether a part fits an empty sheet at all. */
export function fits(part: Part, { lengthMm, widthMm, trimMm }: Stock): boolean {
  const [l, w] = [lengthMm - 2 * trimMm, widthMm - 2 * trimMm]
  return (part.lengthMm <= l && part.widthMm <= w) || (part.mayTurn && part.widthMm <= l && part.lengthMm <= w)
}
