/**
 * How far each piece may slip with everything in its plan order: total float without moving a launch, free float without moving
 * any other piece. Critical path method (Kelley & Walker 1959) on the order of the plan, slips only into times in which the
 * piece's people are there. Cure waits keep their length.
 */
import { isIn, leastStart, mode, MET, type Modes } from './links.ts'
import { lastFrom, lastOverlap, nextInside } from './open-times.ts'
import { NEVER, type Draft, type Job } from './model.ts'
import { FOREVER } from './profile.ts'
import { launchOf } from './score.ts'
import { PLACED, type State } from './state.ts'

export interface Node { readonly job: Job; readonly n: number; readonly draft: Draft }
export interface Floats { readonly total: Int32Array; readonly free: Int32Array }

/** `wait` from the finish of a node to the start of another. */
interface Arc { readonly to: number; readonly wait: number }

export function floatsOf(st: State, modes: Modes, nodes: readonly Node[]): Floats {
  const { model } = st
  const at = new Map<string, number>()
  nodes.forEach((x, i) => at.set(`${x.job.index} ${x.n}`, i))
  const first = (k: number): number => at.get(`${k} 0`) ?? -1
  const lastOf = (k: number): number => at.get(`${k} ${st.drafts[k]!.length - 1}`) ?? -1
  const arcs: Arc[][] = nodes.map(() => [])
  const cap = new Int32Array(nodes.length).fill(model.horizon)
  const arc = (from: number, to: number, wait: number): void => { if (from >= 0 && to >= 0 && from !== to) arcs[from]!.push({ to, wait }) }
  const limit = (i: number, end: number): void => { if (i >= 0 && end < cap[i]!) cap[i] = end }

  for (const l of model.links) {
    if (st.status[l.to] !== PLACED || !isIn(st.status[l.from]!)) continue
    const to = first(l.to)
    if (to < 0) continue
    const d = nodes[to]!.draft
    if (l.kind === 'lag' && l.max !== null) limit(to, (l.edge === 'start' ? st.start[l.from]! : st.end[l.from]!) + l.max + d.end - d.start)
    if (l.kind === 'window' && mode(l, modes) === MET) {
      const closes = st.stage(l.from, 'closes')
      if (closes !== NEVER) limit(to, closes + nodes[to]!.job.clearUp)
    }
    if (st.status[l.from] !== PLACED) continue
    const missed = l.kind === 'window' && mode(l, modes) !== MET
    if (missed && l.wash >= 0) {
      arc(lastOf(l.from), first(l.wash), st.stage(l.from, 'sandable') - st.end[l.from]!)
      arc(lastOf(l.wash), to, 0)
      continue
    }
    const need = leastStart(st, l, modes)
    if (need.kind !== 'at' || (l.kind === 'lag' && l.min === null)) continue
    const from = l.kind === 'lag' && l.edge === 'start' ? first(l.from) : lastOf(l.from)
    if (from >= 0) arc(from, to, need.at - nodes[from]!.draft.end)
  }
  nodes.forEach((x, i) => { if (x.n > 0) arc(at.get(`${x.job.index} ${x.n - 1}`)!, i, 0) })
  peopleArcs(st, nodes, arc)
  dustArcs(st, nodes, arc)
  thingArcs(st, nodes, lastOf, arc, limit)
  model.builds.forEach((b, bi) => {
    const launch = launchOf(st, bi)
    if (launch === null) return
    const jobs = b.launchJob >= 0 ? [b.launchJob] : b.jobs
    for (const k of jobs) limit(lastOf(k), launch)
    // A wash is no task of the build, but the coat it serves is.
  })

  const draft = (i: number): Draft => nodes[i]!.draft
  const order = nodes.map((_, i) => i).sort((a, b) => draft(b).start - draft(a).start || draft(b).end - draft(a).end || b - a)
  const late = Int32Array.from(nodes, (x) => x.draft.start)
  const known = new Uint8Array(nodes.length)
  const total = new Int32Array(nodes.length)
  const free = new Int32Array(nodes.length)
  // A zero-length piece may stand before or after its like: walked until nothing is waiting.
  for (const i of topological(order, arcs)) {
    const { draft } = nodes[i]!
    let end = cap[i]!
    let near = cap[i]!
    for (const a of arcs[i]!) {
      const start = nodes[a.to]!.draft.start
      end = Math.min(end, (known[a.to] ? late[a.to]! : start) - a.wait)
      near = Math.min(near, start - a.wait)
    }
    known[i] = 1
    if (draft.fixed >= 0) continue
    total[i] = slip(st, nodes[i]!, Math.max(end, draft.end))
    free[i] = Math.min(total[i]!, slip(st, nodes[i]!, Math.max(near, draft.end)))
    late[i] = draft.start + total[i]!
  }
  return { total, free }
}

/** Successors before their predecessors as far as arcs allow; the given order decides between others. */
function topological(order: readonly number[], arcs: readonly (readonly Arc[])[]): number[] {
  const out: number[] = []
  const seen = new Uint8Array(arcs.length)
  for (const root of order) {
    if (seen[root]) continue
    const path = [root]
    const place = [0]
    seen[root] = 1
    while (path.length > 0) {
      const v = path[path.length - 1]!
      const next = arcs[v]![place[place.length - 1]!++]
      if (!next) {
        out.push(v)
        path.pop()
        place.pop()
      } else if (!seen[next.to]) {
        seen[next.to] = 1
        path.push(next.to)
        place.push(0)
      }
    }
  }
  return out
}

/** Each person's pieces in a row. */
function peopleArcs(st: State, nodes: readonly Node[], arc: (from: number, to: number, wait: number) => void): void {
  const rows: number[][] = st.model.people.map(() => [])
  nodes.forEach((x, i) => {
    for (const p of x.draft.people) rows[p]!.push(i)
    if (x.draft.supervisor >= 0 && !x.draft.people.includes(x.draft.supervisor)) rows[x.draft.supervisor]!.push(i)
  })
  for (const row of rows) {
    row.sort((a, b) => nodes[a]!.draft.start - nodes[b]!.draft.start || nodes[a]!.draft.end - nodes[b]!.draft.end)
    for (let i = 0; i < row.length; i++) {
      const after = row.slice(i + 1).find((j) => nodes[j]!.draft.start >= nodes[row[i]!]!.draft.end)
      if (after !== undefined) arc(row[i]!, after, 0)
    }
  }
}

/** The next dusty work after a film, the next film after dusty work. */
function dustArcs(st: State, nodes: readonly Node[], arc: (from: number, to: number, wait: number) => void): void {
  const { model } = st
  const rows: number[][] = model.places.map(() => [])
  nodes.forEach((x, i) => { if (x.draft.place >= 0 && (x.job.dusty || x.job.sensitive)) rows[x.draft.place]!.push(i) })
  rows.forEach((row, place) => {
    row.sort((a, b) => nodes[a]!.draft.start - nodes[b]!.draft.start || nodes[a]!.draft.end - nodes[b]!.draft.end)
    row.forEach((i, at) => {
      const x = nodes[i]!
      if (x.job.sensitive) {
        const f = st.stage(x.job.index, 'dustFree')
        const after = row.slice(at + 1).find((j) => nodes[j]!.job.dusty && f !== NEVER && nodes[j]!.draft.start >= f)
        if (after !== undefined) arc(i, after, f - x.draft.end)
      }
      if (x.job.dusty) {
        const settle = model.places[place]!.settle
        const after = row.slice(at + 1).find((j) => nodes[j]!.job.sensitive && nodes[j]!.draft.start >= x.draft.end + settle)
        if (after !== undefined) arc(i, after, settle)
      }
    })
  })
}

/** Things in short supply: a piece, or the end of a hold, may slip until the next user needs the thing. */
function thingArcs(st: State, nodes: readonly Node[], lastOf: (k: number) => number, arc: (from: number, to: number, wait: number) => void,
  limit: (i: number, end: number) => void): void {
  const { model } = st
  const starts = new Map<string, number[]>()
  const use = (r: number, t: number, i: number): void => { const k = `${r} ${t}`; starts.set(k, [...(starts.get(k) ?? []), i]) }
  nodes.forEach((x, i) => {
    for (const n of x.job.needs) use(n.resource, x.draft.start, i)
    if (x.n === 0) for (const h of x.job.opens) use(model.holds[h]!.resource, x.draft.start, i)
  })
  const bound = (i: number, r: number, until: number, amount: number): void => {
    if (until >= FOREVER) return
    const short = st.avail[r]!.shortFrom(until, amount)
    if (short >= FOREVER) return
    const end = nodes[i]!.draft.end
    const next = starts.get(`${r} ${short}`)?.filter((j) => j !== i) ?? []
    if (next.length === 0) limit(i, short - (until - end))
    for (const j of next) arc(i, j, until - end)
  }
  nodes.forEach((x, i) => {
    if (x.draft.end > x.draft.start) for (const n of x.job.needs) bound(i, n.resource, st.neededUntil(x.job, n.until, x.draft), n.asked)
  })
  for (const h of model.holds) if (st.held[h.index] === 2 && lastOf(h.to) >= 0) bound(lastOf(h.to), h.resource, st.end[h.to]!, h.amount)
}

/** The most the piece can slip so that it ends by `bound` in times that its people, place and gate allow. */
function slip(st: State, x: Node, bound: number): number {
  const { model } = st
  const { draft, job } = x
  const length = draft.end - draft.start
  const option = job.options.find((o) => o.place === draft.place)
  const place = draft.place >= 0 ? model.places[draft.place]! : null
  const watch = draft.supervisor >= 0 ? [...draft.people, draft.supervisor] : draft.people
  for (let t = bound - length; t > draft.start;) {
    let earlier = t
    for (const p of watch) {
      const rows = model.people[p]!.rows
      let i = lastFrom(rows.start, t)
      while (i >= 0 && (rows.site[i] !== place?.site || rows.end[i]! - rows.start[i]! < length)) i--
      earlier = Math.min(earlier, i < 0 ? draft.start : rows.end[i]! - length)
    }
    if (place) {
      const i = lastFrom(place.closed.start, t + length - 1)
      if (i >= 0 && lastOverlap(place.closed, t, t + length) >= 0) earlier = Math.min(earlier, place.closed.start[i]! - length)
      if (option?.gate && nextInside(option.gate, t + job.setUp) !== t + job.setUp) {
        const g = lastFrom(option.gate.start, t + job.setUp)
        earlier = Math.min(earlier, g < 0 ? draft.start : option.gate.end[g]! - 1 - job.setUp)
      }
    }
    if (earlier >= t) return t - draft.start
    t = earlier
  }
  return 0
}
