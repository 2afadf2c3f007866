/** What a run puts down: a piece that could be, and the pieces that are, each with what it waited for. */

/** Causes by number: as in CAUSES. */
export const WORK = 0, PEOPLE = 1, CURE = 2, COLD = 3, TOOL = 4, DELIVERY = 5, COMPETENCE = 6, PLACE = 7, DATE = 8

/** Where and when a piece could be. */
export class Found {
  start = 0
  end = 0
  /** Work done, in the task's unit. */
  did = 0
  n = 0
  readonly people: Int32Array
  readonly stretch: Int32Array
  supervisor = -1
  place = -1
  site = -1
  /** Minutes that each cause kept it. */
  readonly wait = new Float64Array(9)
  /** The thing that kept it last. */
  what = -1

  constructor(most: number) {
    this.people = new Int32Array(most)
    this.stretch = new Int32Array(most)
  }

  clear(): void {
    for (let i = 0; i < 9; i++) this.wait[i] = 0
    this.what = -1
  }

  copy(o: Found): void {
    this.start = o.start
    this.end = o.end
    this.did = o.did
    this.n = o.n
    for (let i = 0; i < o.n; i++) {
      this.people[i] = o.people[i]!
      this.stretch[i] = o.stretch[i]!
    }
    this.supervisor = o.supervisor
    this.place = o.place
    this.site = o.site
    for (let i = 0; i < 9; i++) this.wait[i] = o.wait[i]!
    this.what = o.what
  }
}

/** What a run leaves to be walked back: pieces with what each waited for. */
export interface Trace {
  size: number
  job: Int32Array
  start: Int32Array
  end: Int32Array
  /** From when it could have been, by what kind of cause not before, and the piece that kept it (-1: none). */
  ready: Int32Array
  why: Uint8Array
  after: Int32Array
  /** Minutes from ready to start by cause, nine a piece. */
  wait: Float32Array
  what: Int32Array
}

const START = 1024

export const newTrace = (): Trace => ({
  size: 0, job: new Int32Array(START), start: new Int32Array(START), end: new Int32Array(START), ready: new Int32Array(START), why: new Uint8Array(START),
  after: new Int32Array(START), wait: new Float32Array(9 * START), what: new Int32Array(START),
})

export function grow(t: Trace): void {
  const wider = <A extends Int32Array | Uint8Array | Float32Array>(a: A): A => {
    const b = new (a.constructor as new (n: number) => A)(a.length * 2)
    b.set(a)
    return b
  }
  t.job = wider(t.job)
  t.start = wider(t.start)
  t.end = wider(t.end)
  t.ready = wider(t.ready)
  t.why = wider(t.why)
  t.after = wider(t.after)
  t.wait = wider(t.wait)
  t.what = wider(t.what)
}
