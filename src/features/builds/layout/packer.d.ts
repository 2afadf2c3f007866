/** What we use of the packing library. Its plain entry is no module that Node can read by name, and its own types name each other without endings: both need a bundler. */
declare module 'maxrects-packer/dist/maxrects-packer.mjs' {
  export class Rectangle {
    constructor(width?: number, height?: number, x?: number, y?: number, rot?: boolean, allowRotation?: boolean)
    x: number
    y: number
    width: number
    height: number
    /** Turned by a right angle; width and height are swapped then. */
    rot: boolean
  }
  export class MaxRectsBin<T extends Rectangle> {
    constructor(
      maxWidth: number, maxHeight: number, padding: number,
      options: { smart: boolean; pot: boolean; square: boolean; allowRotation: boolean; border: number; logic: 0 | 1 | 2 },
    )
    readonly rects: T[]
    /** undefined where it has no gap for it. */
    add(rect: T): T | undefined
  }
}
