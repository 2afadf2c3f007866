/**
 * Jobs that must be placed together: those tied both ways, by a window or a maximum lag, and everything between them
 * (strongly connected components; Tarjan 1972). Units form no circle, so they can be placed one after another.
 */
import type { Model } from './model.ts'

export interface Unit {
  readonly index: number
  readonly jobs: readonly number[]
  /** Per job of the unit: jobs of the unit that come before it. */
  readonly before: ReadonlyMap<number, readonly number[]>
  /** Open window links within the unit, whose mode is to be chosen. */
  readonly windows: readonly number[]
  /**
   * Least start-to-start distances between its jobs along all paths (Floyd 1962, Warshall 1962), row by row in order of `jobs`; NONE: no path.
   * Null where lengths aren't known beforehand (people, cure).
   */
  readonly apart: Float64Array | null
  readonly preds: readonly number[]
  readonly succs: readonly number[]
}

export type Tie = readonly [number, number]

export const NONE = -Infinity

export interface Units { readonly units: readonly Unit[]; /** per job: its unit, or -1 */ readonly of: Int32Array }

/** `missed`: window links decided to be missed; they tie nothing together any more, so that other work may come between.
 * `merged`: one unit of all jobs, so that jobs tied by lags may be placed in any order among the others. `ties`: pairs of jobs put into one
 * unit, with what lies between them, so that one may come between the coats of the other's chain. */
export function unitsOf(model: Model, missed: ReadonlySet<number> = new Set(), merged = false, ties: readonly Tie[] = []): Units {
  const n = model.jobs.length
  const live = (k: number): boolean => !model.jobs[k]!.done && !model.jobs[k]!.paused
  const next: number[][] = Array.from({ length: n }, () => [])
  const order: number[][] = Array.from({ length: n }, () => [])
  const arc = (a: number, b: number): void => { if (a !== b && live(a) && live(b)) next[a]!.push(b) }
  const before = (a: number, b: number): void => { if (a !== b && live(a) && live(b)) order[b]!.push(a) }
  const windows: number[] = []
  for (const [a, b] of ties) {
    arc(a, b)
    arc(b, a)
  }
  for (const l of model.links) {
    arc(l.from, l.to)
    if (l.kind !== 'lag' || (l.min !== null && l.min > 0)) before(l.from, l.to)
    if (l.kind === 'lag' && l.max !== null) arc(l.to, l.from)
    if (l.kind !== 'window') continue
    const decided = missed.has(l.index)
    if (!decided && (l.state === 'open' || l.state === 'hard')) arc(l.to, l.from)
    if (!decided && l.state === 'open' && live(l.to)) windows.push(l.index)
    if (l.wash < 0 || !live(l.to)) continue
    arc(l.from, l.wash)
    arc(l.wash, l.to)
    before(l.from, l.wash)
    before(l.wash, l.to)
    if (!decided && l.state === 'open') arc(l.to, l.wash)
  }
  const of = merged ? Int32Array.from(model.jobs, (j) => (live(j.index) ? 0 : -1)) : components(next, live)
  const lists: number[][] = []
  for (let k = 0; k < n; k++) if (of[k]! >= 0) (lists[of[k]!] ??= []).push(k)
  const preds = lists.map(() => new Set<number>())
  const succs = lists.map(() => new Set<number>())
  next.forEach((row, a) => row.forEach((b) => {
    if (of[a] === of[b]) return
    preds[of[b]!]!.add(of[a]!)
    succs[of[a]!]!.add(of[b]!)
  }))
  const inside: number[][] = lists.map(() => [])
  for (const l of windows) inside[of[model.links[l]!.to]!]!.push(l)
  const units = lists.map((jobs, index): Unit => ({
    index, jobs, windows: inside[index]!, apart: apartOf(model, jobs), preds: [...preds[index]!], succs: [...succs[index]!],
    before: new Map(jobs.map((k) => [k, order[k]!.filter((a) => of[a] === index)])),
  }))
  return { units, of }
}

function apartOf(model: Model, jobs: readonly number[]): Float64Array | null {
  const n = jobs.length
  if (n < 2 || n > 400 || jobs.some((k) => model.jobs[k]!.kind !== 'unattended')) return null
  const at = new Map(jobs.map((k, i) => [k, i]))
  const d = new Float64Array(n * n).fill(NONE)
  for (let i = 0; i < n; i++) d[i * n + i] = 0
  const arc = (a: number, b: number, least: number): void => { if (least > d[a * n + b]!) d[a * n + b] = least }
  for (const k of jobs) {
    for (const l of model.jobs[k]!.outOf) {
      const link = model.links[l]!
      const b = at.get(link.to)
      if (b === undefined) continue
      const a = at.get(k)!
      const length = model.jobs[k]!.work
      if (link.kind === 'finish') arc(a, b, length + link.lag)
      else if (link.kind !== 'lag') return null
      else {
        const edge = link.edge === 'start' ? 0 : length
        if (link.min !== null) arc(a, b, edge + link.min)
        if (link.max !== null) arc(b, a, -edge - link.max)
      }
    }
  }
  for (let m = 0; m < n; m++) {
    for (let i = 0; i < n; i++) {
      const im = d[i * n + m]!
      if (im === NONE) continue
      for (let j = 0; j < n; j++) {
        const via = im + d[m * n + j]!
        if (via > d[i * n + j]!) d[i * n + j] = via
      }
    }
  }
  return d
}

/** Component of each live node, numbered by their first node; -1 for the others. */
function components(next: readonly (readonly number[])[], live: (k: number) => boolean): Int32Array {
  const n = next.length
  const index = new Int32Array(n).fill(-1)
  const low = new Int32Array(n)
  const on = new Uint8Array(n)
  const comp = new Int32Array(n).fill(-1)
  const stack: number[] = []
  let count = 0
  let found = 0
  for (let root = 0; root < n; root++) {
    if (!live(root) || index[root]! >= 0) continue
    const path: number[] = [root]
    const at: number[] = [0]
    index[root] = low[root] = count++
    stack.push(root)
    on[root] = 1
    while (path.length > 0) {
      const v = path[path.length - 1]!
      const w = next[v]![at[at.length - 1]!++]
      if (w !== undefined) {
        if (index[w]! < 0) {
          index[w] = low[w] = count++
          stack.push(w)
          on[w] = 1
          path.push(w)
          at.push(0)
        } else if (on[w]) low[v] = Math.min(low[v]!, index[w]!)
        continue
      }
      path.pop()
      at.pop()
      const up = path[path.length - 1]
      if (up !== undefined) low[up] = Math.min(low[up]!, low[v]!)
      if (low[v] !== index[v]) continue
      for (;;) {
        const x = stack.pop()!
        on[x] = 0
        comp[x] = found
        if (x === v) break
      }
      found++
    }
  }
  // By first job, so that the numbering says nothing about the walk.
  const name = new Map<number, number>()
  for (let k = 0; k < n; k++) if (comp[k]! >= 0 && !name.has(comp[k]!)) name.set(comp[k]!, name.size)
  return comp.map((c) => (c < 0 ? -1 : name.get(c)!))
}

/** The units that must come before these, these included. */
export function ancestors(units: readonly Unit[], from: readonly number[]): Uint8Array {
  const seen = new Uint8Array(units.length)
  const todo = [...from]
  while (todo.length > 0) {
    const u = todo.pop()!
    if (seen[u]) continue
    seen[u] = 1
    todo.push(...units[u]!.preds)
  }
  return seen
}
