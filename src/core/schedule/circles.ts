/** Circles of links: of work that follows work, and of lags that push a task behind itself. */
import type { Doing, Link, Problem, TaskSpec } from './problem.ts'
import type { ProblemRefusal } from './refusal.ts'

/** The least elapsed minutes from start to finish, whoever comes. */
export function shortest(d: Doing): number {
  const w = d.work
  if (w.kind === 'unattended') return w.minutes
  const worked = w.kind === 'shared' ? Math.ceil(w.work / w.handsTo) : w.minutes
  return d.setUp + Math.max(worked, 1) + d.clearUp
}

interface Arc { readonly from: number; readonly to: number; readonly least: number; readonly lagOnly: boolean }

/** Refusals, and the positive circles of unattended tasks' lags (published instances have such: they are infeasible, not bad input). */
export function circlesOf(p: Problem): { refused: ProblemRefusal[]; impossible: string[][] } {
  const index = new Map(p.tasks.map((t, i) => [t.id, i]))
  const follows: number[][] = p.tasks.map(() => [])
  const arcs: Arc[] = []
  for (const l of p.links) {
    const from = index.get(l.from)!
    const to = index.get(l.to)!
    const a = p.tasks[from]!
    const b = p.tasks[to]!
    if (l.kind !== 'lag') follows[from]!.push(to)
    if (a.finished || b.finished) continue
    arcs.push(...arcsOf(l, from, to, a, b))
  }
  const circle = circleIn(follows)
  if (circle) return { refused: [{ kind: 'circle', taskIds: circle.map((i) => p.tasks[i]!.id) }], impossible: [] }
  const refused: ProblemRefusal[] = []
  const impossible: string[][] = []
  let open = arcs
  for (;;) {
    const bad = positiveCircle(p.tasks.length, open)
    if (!bad) break
    const ids = bad.nodes.map((i) => p.tasks[i]!.id)
    if (bad.lagOnly && bad.nodes.every((i) => p.tasks[i]!.work.kind === 'unattended')) impossible.push([...ids].sort())
    else refused.push({ kind: 'lag-circle', taskIds: ids })
    // Each circle is told once: its tasks are taken out and the rest looked through again.
    const out = new Set(bad.nodes)
    open = open.filter((a) => !out.has(a.from) && !out.has(a.to))
  }
  return { refused, impossible }
}

/** Start-to-start arcs that hold in every plan. */
function arcsOf(l: Link, from: number, to: number, a: TaskSpec, b: TaskSpec): Arc[] {
  const arc = (least: number, lagOnly: boolean): Arc => ({ from, to, least, lagOnly })
  if (l.kind === 'finish') return [arc(shortest(a) + l.lag, a.work.kind === 'unattended' && b.work.kind === 'unattended')]
  if (l.kind === 'stage') return [arc(shortest(a) - a.clearUp, false)]
  if (l.kind === 'window') return [arc(shortest(a) - a.clearUp - b.setUp, false)]
  const out: Arc[] = []
  const edge = l.edge === 'start' ? 0 : shortest(a)
  if (l.min !== null) out.push(arc(edge + l.min, true))
  if (l.max !== null) {
    // start(to) - finish(from) <= max bounds the start of `from` only when its length is known.
    if (l.edge === 'start') out.push({ from: to, to: from, least: -l.max, lagOnly: true })
    else if (a.work.kind === 'unattended') out.push({ from: to, to: from, least: -l.max - a.work.minutes, lagOnly: true })
  }
  return out
}

/** A circle of a directed graph, in order, or null. */
export function circleIn(next: readonly (readonly number[])[]): number[] | null {
  const state = new Uint8Array(next.length)
  const path: number[] = []
  const place: number[] = []
  for (let root = 0; root < next.length; root++) {
    if (state[root]) continue
    path.push(root)
    place.push(0)
    state[root] = 1
    while (path.length > 0) {
      const at = path.length - 1
      const v = path[at]!
      const w = next[v]![place[at]!]
      if (w === undefined) {
        state[v] = 2
        path.pop()
        place.pop()
        continue
      }
      place[at] = place[at]! + 1
      if (state[w] === 1) return path.slice(path.indexOf(w))
      if (state[w] === 0) {
        state[w] = 1
        path.push(w)
        place.push(0)
      }
    }
  }
  return null
}

/** A circle whose arcs add up to more than 0 (label correcting, Bellman 1958), or null. */
function positiveCircle(n: number, arcs: readonly Arc[]): { nodes: number[]; lagOnly: boolean } | null {
  const dist = new Float64Array(n)
  const by: (Arc | null)[] = Array.from({ length: n }, () => null)
  let last = -1
  for (let round = 0; round <= n; round++) {
    last = -1
    for (const a of arcs) {
      const d = dist[a.from]! + a.least
      if (d <= dist[a.to]!) continue
      dist[a.to] = d
      by[a.to] = a
      last = a.to
    }
    if (last < 0) return null
  }
  for (let i = 0; i < n; i++) last = by[last]!.from
  const nodes: number[] = []
  let lagOnly = true
  for (let v = last; ;) {
    const a = by[v]!
    nodes.push(v)
    lagOnly &&= a.lagOnly
    v = a.from
    if (v === last) break
  }
  return { nodes: nodes.reverse(), lagOnly }
}
