/** Places the jobs of one unit: as early as links, windows and lags among them allow, pushing earlier ones back where a later one comes too late. */
import type { UnplannedReason } from './answer.ts'
import { refit, type Follow } from './follow.ts'
import { broken, earliest, wanted, type Broken, type Modes } from './links.ts'
import { placement } from './place.ts'
import { FAILED, PLACED, type State } from './state.ts'
import { NONE, type Unit } from './units.ts'

/** Why a job of the unit was left out; `null`: no place was found for it, the facts will tell. */
export type Failures = Map<number, UnplannedReason | null>

/** Jobs in an order that respects what comes before what; among free ones the least key first. */
export function orderOf(unit: Unit, key: ArrayLike<number>): number[] {
  if (unit.jobs.length === 1) return [...unit.jobs]
  const order: number[] = []
  const done = new Set<number>()
  while (order.length < unit.jobs.length) {
    let pick = -1
    let waits = Infinity
    for (const k of unit.jobs) {
      if (done.has(k)) continue
      let w = 0
      for (const a of unit.before.get(k)!) if (!done.has(a)) w++
      if (w < waits || (w === waits && key[k]! < key[pick]!)) {
        pick = k
        waits = w
      }
    }
    order.push(pick)
    done.add(pick)
  }
  return order
}

/** What a lay-out may cost at most; true: it is dearer than that as soon as k is placed, and not looked at further. */
export type Ceiling = (k: number, end: number) => boolean

export interface Terms {
  readonly modes: Modes
  /** How often an earlier job may be pushed back. */
  readonly limit: number
  /** Gets the jobs whose kept pieces left no room for what comes before them. */
  readonly pins: Set<number>
  readonly ceiling: Ceiling | null
  /** Pieces to be kept where they still fit. */
  readonly follow: Follow | null
  /** Give up (null) at the first job that has to be left out. */
  readonly whole: boolean
}

/** Null: over the ceiling, or not whole. */
export function layOut(st: State, unit: Unit, given: readonly number[], terms: Terms): Failures | null {
  const { model } = st
  const { modes, limit, pins, ceiling } = terms
  const out: Failures = new Map()
  const order = [...given]
  const promoted = new Map<number, number>()
  const position = new Map(order.map((k, i) => [k, i]))
  const kept = new Set(order.filter((k) => st.status[k] === PLACED))
  // Jobs that are partly done by kept pieces can't start later than those.
  const firstKept = new Map(order.filter((k) => !kept.has(k) && st.drafts[k]!.length > 0).map((k) => [k, st.drafts[k]![0]!.start]))
  const apart = unit.apart && new Apart(st, unit)
  const begin = st.mark()
  let steps = 0
  // The later end of a broken link is left out, unless it is kept by fact; then what would have to be earlier, and the kept piece is named.
  const victim = (b: Broken, k: number): number => {
    if (!b.path && position.has(b.link.to) && !kept.has(b.link.to)) return b.link.to
    if (!b.path && k !== b.link.to) pins.add(b.link.to)
    return k
  }
  restart: for (;;) {
    const failures: Failures = new Map(out)
    const least = new Map<number, number>()
    const raisedBy = new Map<number, Broken>()
    const marks: number[] = []
    for (let at = 0; at < order.length;) {
      const k = order[at]!
      marks[at] = st.mark()
      if (kept.has(k)) {
        const b = broken(st, k, modes)
        if (b) {
          pins.add(b.link.to)
          failures.set(k, reasonOf(b))
        }
        at++
        continue
      }
      // Failed already: no plan has it.
      if (!wanted(st, k, modes) || st.status[k] === FAILED) { at++; continue }
      if (out.has(k)) {
        st.setStatus(k, FAILED)
        at++
        continue
      }
      const need = earliest(st, k, modes)
      if ('fail' in need) {
        if (dropWashes(st, k, position, kept, out)) {
          out.set(k, need.fail)
          st.undo(begin)
          continue restart
        }
        st.setStatus(k, FAILED)
        failures.set(k, need.fail)
        at++
        continue
      }
      const job = model.jobs[k]!
      const est = Math.max(need.at, least.get(k) ?? 0, apart ? apart.least(k) : 0)
      const before = terms.follow?.[k]
      const p = (before && refit(st, job, before, est)) ?? placement(st, job, est)
      if (!p) {
        const pushed = raisedBy.get(k)
        if (pushed) {
          if (terms.whole) return null
          out.set(victim(pushed, k), reasonOf(pushed))
          st.undo(begin)
          continue restart
        }
        if (terms.whole && order.length > 1) return null
        // Something was pushed back for k's sake, in vain.
        const invain = [...raisedBy.values()].find((b) => b.link.to === k)
        if (invain) {
          out.set(k, reasonOf(invain))
          st.undo(begin)
          continue restart
        }
        if (dropWashes(st, k, position, kept, out)) {
          out.set(k, null)
          st.undo(begin)
          continue restart
        }
        st.setStatus(k, FAILED)
        failures.set(k, null)
        at++
        continue
      }
      if (ceiling?.(k, p.end)) return null
      st.place(job, p.drafts, true)
      const b = broken(st, k, modes) ?? apart?.broken(k) ?? null
      if (!b) { at++; continue }
      steps++
      if (limit === 0) return null
      const fixed = b.job === k ? firstKept.get(k) : undefined
      if (fixed !== undefined && b.to > fixed) pins.add(k)
      const back = position.get(b.job)
      if (back === undefined || back > at || kept.has(b.job) || steps > limit || b.to > model.horizon || (fixed !== undefined && b.to > fixed)) {
        if (terms.whole) return null
        out.set(victim(b, k), reasonOf(b))
        st.undo(begin)
        steps = Math.min(steps, limit >> 1)
        continue restart
      }
      if (apart && b.job !== k) {
        // A job that comes too late after another takes its turn right behind that one, before others take what it needs.
        const turn = promote(unit, order, position, kept, at, back)
        if (turn < at && (promoted.get(k) ?? 0) < PROMOTIONS) {
          promoted.set(k, (promoted.get(k) ?? 0) + 1)
          order.splice(at, 1)
          order.splice(turn, 0, k)
          for (let i = turn; i <= at; i++) position.set(order[i]!, i)
          st.undo(marks[turn]!)
          at = turn
          continue
        }
      }
      least.set(b.job, b.to)
      raisedBy.set(b.job, b)
      st.undo(marks[back]!)
      at = back
    }
    return failures
  }
}

/** Nobody washes for a coat that isn't put on: true when such a wash was placed; it is left out then. */
function dropWashes(st: State, k: number, position: ReadonlyMap<number, number>, kept: ReadonlySet<number>, out: Failures): boolean {
  let any = false
  for (const l of st.model.jobs[k]!.into) {
    const link = st.model.links[l]!
    if (link.kind !== 'window' || link.state !== 'open' || link.wash < 0) continue
    if (st.status[link.wash] !== PLACED || kept.has(link.wash) || !position.has(link.wash)) continue
    out.set(link.wash, null)
    any = true
  }
  return any
}

const PROMOTIONS = 2

/** The first turn after `back` that what comes before the job at `at` leaves it. */
function promote(
  unit: Unit, order: readonly number[], position: ReadonlyMap<number, number>, kept: ReadonlySet<number>, at: number, back: number,
): number {
  let turn = back + 1
  for (const a of unit.before.get(order[at]!)!) turn = Math.max(turn, position.get(a)! + 1)
  while (turn < at && kept.has(order[turn]!)) turn++
  return turn
}

/** Distances along paths through jobs not yet placed: a lag that can't be kept shows before its own ends are placed. */
class Apart {
  private readonly st: State
  private readonly jobs: readonly number[]
  private readonly d: Float64Array
  private readonly at: Map<number, number>

  constructor(st: State, unit: Unit) {
    this.st = st
    this.jobs = unit.jobs
    this.d = unit.apart!
    this.at = new Map(unit.jobs.map((k, i) => [k, i]))
  }

  least(k: number): number {
    const { st, jobs, d } = this
    const to = this.at.get(k)!
    let least = 0
    for (let i = 0; i < jobs.length; i++) {
      const gap = d[i * jobs.length + to]!
      if (gap === NONE || st.status[jobs[i]!] !== PLACED) continue
      const t = st.start[jobs[i]!]! + gap
      if (t > least) least = t
    }
    return least
  }

  broken(k: number): Broken | null {
    const { st, jobs, d } = this
    const from = this.at.get(k)!
    for (let i = 0; i < jobs.length; i++) {
      const gap = d[from * jobs.length + i]!
      const j = jobs[i]!
      if (gap === NONE || st.status[j] !== PLACED || st.start[j]! >= st.start[k]! + gap) continue
      return { link: this.nearest(k), job: j, to: st.start[k]! + gap, path: true }
    }
    return null
  }

  /** A link of k to tell of: the path's own links may lie between jobs that aren't placed. */
  private nearest(k: number): Broken['link'] {
    const { links, jobs } = this.st.model
    const job = jobs[k]!
    const mine = [...job.into, ...job.outOf].map((l) => links[l]!)
    const inside = mine.filter((l) => this.at.has(l.from) && this.at.has(l.to))
    return inside.find((l) => l.kind === 'lag' && l.max !== null) ?? inside[0] ?? mine[0]!
  }
}

function reasonOf(b: Broken): UnplannedReason {
  if (b.link.kind === 'window') return { kind: 'window', linkId: b.link.id }
  return { kind: 'lag', linkId: b.link.id }
}
