/** Places the jobs of one unit: as early as links, windows and lags among them allow, pushing earlier ones back where a later one comes too late. */
import type { UnplannedReason } from './answer.ts'
import { broken, earliest, wanted, type Broken, type Modes } from './links.ts'
import { placement } from './place.ts'
import { FAILED, PLACED, type State } from './state.ts'
import type { Unit } from './units.ts'

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

/** `limit`: how often an earlier job may be pushed back. `pins`: gets the jobs whose kept pieces left no room for what comes before them. Null: over the ceiling. */
export function layOut(st: State, order: readonly number[], modes: Modes, limit: number, pins: Set<number>, ceiling: Ceiling | null = null): Failures | null {
  const { model } = st
  const out: Failures = new Map()
  const position = new Map(order.map((k, i) => [k, i]))
  const kept = new Set(order.filter((k) => st.status[k] === PLACED))
  // Jobs that are partly done by kept pieces can't start later than those.
  const firstKept = new Map(order.filter((k) => !kept.has(k) && st.drafts[k]!.length > 0).map((k) => [k, st.drafts[k]![0]!.start]))
  const begin = st.mark()
  let steps = 0
  // The later end of a broken link is left out, unless it is kept by fact; then what would have to be earlier, and the kept piece is named.
  const victim = (b: Broken, k: number): number => {
    if (position.has(b.link.to) && !kept.has(b.link.to)) return b.link.to
    if (k !== b.link.to) pins.add(b.link.to)
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
        st.setStatus(k, FAILED)
        failures.set(k, need.fail)
        at++
        continue
      }
      const job = model.jobs[k]!
      const p = placement(st, job, Math.max(need.at, least.get(k) ?? 0))
      if (!p) {
        const pushed = raisedBy.get(k)
        if (pushed) {
          out.set(victim(pushed, k), reasonOf(pushed))
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
      const b = broken(st, k, modes)
      if (!b) { at++; continue }
      steps++
      const back = position.get(b.job)
      const fixed = b.job === k ? firstKept.get(k) : undefined
      if (fixed !== undefined && b.to > fixed) pins.add(k)
      if (back === undefined || back > at || kept.has(b.job) || steps > limit || b.to > model.horizon || (fixed !== undefined && b.to > fixed)) {
        out.set(victim(b, k), reasonOf(b))
        st.undo(begin)
        steps = Math.min(steps, limit >> 1)
        continue restart
      }
      least.set(b.job, b.to)
      raisedBy.set(b.job, b)
      st.undo(marks[back]!)
      at = back
    }
    return failures
  }
}

function reasonOf(b: Broken): UnplannedReason {
  if (b.link.kind === 'window') return { kind: 'window', linkId: b.link.id }
  return { kind: 'lag', linkId: b.link.id }
}
