/** Serial schedule generation: units are placed one after another by priority, each as early as it can be; nothing placed is moved again. */
import type { Random } from './random.ts'
import type { Follow } from './follow.ts'
import { layOut, orderOf, type Failures } from './lay-out.ts'
import { IGNORED, MET, MISSED, type Modes, type Window } from './links.ts'
import type { Model } from './model.ts'
import { FAILED, OPEN, PLACED, State } from './state.ts'
import type { Tails } from './tails.ts'
import { CHOOSE, MISS } from './choices.ts'
import { ancestors, unitsOf, type Tie, type Unit } from './units.ts'
import type { UnplannedReason } from './answer.ts'

/** What one schedule is made from; the search varies it. */
export interface Genes {
  /** Per job; the least goes first. A unit has the key of its most urgent job. */
  readonly key: Float64Array
  readonly windows: Uint8Array
  /** Place builds that hold contended things to the end of the hold before anything else (keeps crossing holds from locking each other). */
  readonly drain: boolean
  /** Jobs to be placed in one unit although nothing ties them: see unitsOf. */
  readonly ties: readonly Tie[]
  /** One unit of all jobs (problems of unattended tasks with maximum lags only). */
  readonly merged: boolean
  /** Pieces to be kept where they still fit; null: every piece as early as it can be. */
  readonly follow: Follow | null
}

export interface Outcome {
  readonly state: State
  readonly modes: Modes
  readonly reasons: ReadonlyMap<number, UnplannedReason | null>
  /** Jobs whose kept pieces left no room for what must come before. */
  readonly pins: ReadonlySet<number>
  /** Things held by one build and wanted by another locked each other. */
  readonly locked: boolean
}

const TRIES = 8
const LAYOUTS = 64
const COSTLY = 1e12

/** The units for one choice of windows that are missed, and what follows from them. */
interface Layout {
  readonly units: readonly Unit[]
  readonly of: Int32Array
  /** What kept pieces wait for. */
  readonly urgent: Uint8Array
  readonly closers: Map<number, Uint8Array>
}

export class Generator {
  readonly model: Model
  readonly tails: Tails
  private readonly layouts = new Map<string, Layout>()
  /** Per resource: the most that any one job or hold asks. */
  private readonly mostAsked: number[]

  constructor(model: Model, tails: Tails) {
    this.model = model
    this.tails = tails
    const most = new Array<number>(model.resources.length).fill(0)
    for (const j of model.jobs) for (const n of j.needs) most[n.resource] = Math.max(most[n.resource]!, n.asked)
    for (const h of model.holds) most[h.resource] = Math.max(most[h.resource]!, h.amount)
    this.mostAsked = most
  }

  /** Some jobs are tied both ways. */
  hasTies(): boolean { return this.layout(new Uint8Array(0), false, []).units.some((u) => u.jobs.length > 1) }

  private layout(windows: Uint8Array, merged: boolean, ties: readonly Tie[]): Layout {
    const missed: number[] = []
    windows.forEach((w, l) => { if (w === MISS) missed.push(l) })
    const key = merged ? 'merged' : `${missed.join()} ${ties.join(';')}`
    let found = this.layouts.get(key)
    if (found) return found
    const { units, of } = unitsOf(this.model, new Set(missed), merged, ties)
    const fixed = this.model.fixed.flatMap((f) => (f.job >= 0 && of[f.job]! >= 0 ? [of[f.job]!] : []))
    found = { units, of, urgent: ancestors(units, fixed), closers: new Map() }
    if (this.layouts.size >= LAYOUTS) this.layouts.clear()
    this.layouts.set(key, found)
    return found
  }

  run(base: State, genes: Genes, rand: Random): Outcome {
    const { model } = this
    const layout = this.layout(genes.windows, genes.merged, genes.ties)
    const { units } = layout
    const st = new State(model, base)
    const modes: Modes = Uint8Array.from(genes.windows, (w) => (w === MISS ? MISSED : MET))
    const reasons = new Map<number, UnplannedReason | null>()
    const pins = new Set<number>()
    const waiting = Int32Array.from(units, (u) => u.preds.length)
    const key = Float64Array.from(units, (u) => {
      let k = Infinity
      for (const j of u.jobs) k = Math.min(k, genes.key[j]!)
      // What would be held for good, because the end of the hold can't be planned, is taken last.
      if (u.jobs.some((j) => model.jobs[j]!.opens.some((h) => base.status[model.holds[h]!.to] === FAILED))) k += COSTLY / 4
      return layout.urgent[u.index] ? k - COSTLY : k
    })
    let ready = units.filter((u) => waiting[u.index] === 0).map((u) => u.index)
    let deferred: number[] = []
    const draining: number[] = []
    let locked = false
    while (ready.length > 0 || deferred.length > 0) {
      let force = false
      if (ready.length === 0) {
        // Nothing else can go on: what waits for a held thing gets its turn and, failing, its reason.
        ready = deferred
        deferred = []
        force = true
        locked = true
      }
      while (draining.length > 0 && st.status[model.holds[draining[draining.length - 1]!]!.to] !== OPEN) draining.pop()
      const first = draining.length > 0 ? this.before(layout, draining[draining.length - 1]!) : null
      let pick = -1
      for (let i = 0; i < ready.length; i++) {
        const u = ready[i]!
        if (pick < 0) { pick = i; continue }
        const p = ready[pick]!
        if (first && first[u] !== first[p]) { if (first[u]) pick = i; continue }
        if (key[u]! < key[p]! || (key[u] === key[p] && u < p)) pick = i
      }
      const u = units[ready[pick]!]!
      ready.splice(pick, 1)
      const mark = st.mark()
      const failures = this.placeUnit(st, u, genes, modes, pins, rand)
      if (failures.size > 0 && !force && this.waitsForHold(st, layout, u, failures)) {
        st.undo(mark)
        deferred.push(u.index)
        continue
      }
      for (const [k, why] of failures) reasons.set(k, why)
      for (const s of u.succs) if (--waiting[s]! === 0) ready.push(s)
      if (force || (deferred.length > 0 && u.jobs.some((k) => model.jobs[k]!.closes.length > 0))) {
        ready.push(...deferred)
        deferred = []
      }
      if (genes.drain) for (const k of u.jobs) for (const h of model.jobs[k]!.opens) if (this.contended(st, h)) draining.push(h)
    }
    return { state: st, modes, reasons, pins, locked: locked && reasons.size > 0 }
  }

  private before(layout: Layout, hold: number): Uint8Array {
    let set = layout.closers.get(hold)
    if (!set) layout.closers.set(hold, (set = ancestors(layout.units, [layout.of[this.model.holds[hold]!.to]!].filter((u) => u >= 0))))
    return set
  }

  /** An open hold that leaves too little for somebody else. */
  private contended(st: State, h: number): boolean {
    const hold = this.model.holds[h]!
    return st.held[h] === 1 && st.status[hold.to] === OPEN && st.avail[hold.resource]!.value(this.model.horizon) < this.mostAsked[hold.resource]!
  }

  /** Some job failed that asks for a thing which another unit's hold still keeps, and will give back. */
  private waitsForHold(st: State, layout: Layout, u: Unit, failures: Failures): boolean {
    const { model } = this
    for (const [k, why] of failures) {
      if (why !== null && why.kind !== 'window' && why.kind !== 'lag') continue
      const job = model.jobs[k]!
      const asks = (r: number): boolean => job.needs.some((n) => n.resource === r) || job.opens.some((h) => model.holds[h]!.resource === r)
      for (const h of model.holds) {
        if (st.held[h.index] === 1 && st.status[h.to] === OPEN && layout.of[h.to] !== u.index && asks(h.resource)) return true
      }
    }
    return false
  }

  private placeUnit(st: State, u: Unit, genes: Genes, modes: Modes, pins: Set<number>, rand: Random): Failures {
    const order = orderOf(u, genes.key)
    if (u.windows.length > 0) return this.placeChain(st, u, order, genes, modes, pins)
    const limit = 40 + 12 * order.length
    if (order.length > 1) {
      // Hard maximum lags: another order within the unit may do where this one leaves a job out.
      const mark = st.mark()
      let next = order
      for (let i = 0; i < TRIES; i++) {
        const whole = layOut(st, u, next, { modes, limit, pins: new Set(), ceiling: null, follow: genes.follow, whole: true })
        if (whole) return whole
        st.undo(mark)
        if (i === 0) next = orderOf(u, this.tails.head)
        else {
          const shaken = genes.key.slice()
          const from = i & 1 ? genes.key : this.tails.head
          let spread = 1
          for (const k of u.jobs) spread = Math.max(spread, Math.abs(from[k]! - from[u.jobs[0]!]!))
          for (const k of u.jobs) shaken[k] = from[k]! + (rand() - 0.5) * spread * (0.2 + 0.15 * i)
          next = orderOf(u, shaken)
        }
      }
    }
    return layOut(st, u, order, { modes, limit, pins, ceiling: null, follow: genes.follow, whole: false })!
  }

  /** Coats tied by windows: each met, if need be by holding the one before back, or missed on purpose, whichever costs less. */
  private placeChain(st: State, u: Unit, order: readonly number[], genes: Genes, modes: Modes, pins: Set<number>): Failures {
    const mark = st.mark()
    const limit = 60 + 12 * order.length
    const free: number[] = []
    for (const l of u.windows) {
      modes[l] = genes.windows[l] === MISS ? MISSED : MET
      if (genes.windows[l] === CHOOSE) free.push(l)
    }
    if (free.length > 0) {
      // Most often nothing has to give way.
      const plain = layOut(st, u, order, { modes, limit: 0, pins, ceiling: null, follow: genes.follow, whole: false })
      if (plain && plain.size === 0) return plain
      st.undo(mark)
      this.chooseModes(st, u, order, genes, free, modes, limit)
    }
    return layOut(st, u, order, { modes, limit, pins, ceiling: null, follow: genes.follow, whole: false })!
  }

  private chooseModes(st: State, u: Unit, order: readonly number[], genes: Genes, free: readonly number[], modes: Modes, limit: number): void {
    const { model, tails } = this
    const mark = st.mark()
    const set = (m: number): void => { for (const l of free) modes[l] = m }
    let best: Attempt = { cost: Infinity, failed: Infinity }
    const attempt = (capped: boolean): Attempt => {
      const { cost: most } = best
      const over = (k: number, end: number): boolean => model.builds[model.jobs[k]!.build]!.priority * (end + tails.tail[k]!) > most
      const ceiling = capped && best.failed < Infinity ? over : null
      const failures = layOut(st, u, order, { modes, limit, pins: new Set(), ceiling, follow: genes.follow, whole: false })
      const result = failures ? { cost: this.cost(st, u, modes), failed: failures.size } : { cost: Infinity, failed: Infinity }
      st.undo(mark)
      return result
    }
    set(IGNORED)
    const floor = attempt(false)
    set(MISSED)
    best = attempt(false)
    let chosen = free.map(() => MISSED)
    // As long as no window can be had at less, missing them all bounds what holding a coat back may cost.
    const capped = best.failed <= floor.failed
    set(MET)
    const met = attempt(capped)
    if (better(met, best) || met.failed === best.failed && met.cost <= best.cost) {
      best = met
      chosen = free.map(() => MET)
    }
    const least = Math.min(...free.map((l) => model.missedCost * model.builds[model.jobs[model.links[l]!.to]!.build]!.priority))
    const all = chosen[0] === MET ? best.cost > floor.cost + least || best.failed > floor.failed : true
    while (all) {
      let pick = -1
      for (let i = 0; i < free.length; i++) {
        free.forEach((l, x) => { modes[l] = x === i ? (chosen[x] === MET ? MISSED : MET) : chosen[x]! })
        const a = attempt(capped)
        if (better(a, best)) {
          best = a
          pick = i
        }
      }
      if (pick < 0 || free.length === 1) break
      chosen[pick] = chosen[pick] === MET ? MISSED : MET
    }
    free.forEach((l, x) => { modes[l] = chosen[x]! })
  }

  /** Weighted estimate of the launches by what was just placed, with the club's price of missed windows. */
  private cost(st: State, u: Unit, modes: Modes): number {
    const { model, tails } = this
    const launch = new Map<number, number>()
    for (const k of u.jobs) {
      if (st.status[k] !== PLACED) continue
      const b = model.jobs[k]!.build
      launch.set(b, Math.max(launch.get(b) ?? 0, st.end[k]! + tails.tail[k]!))
    }
    let cost = 0
    for (const [b, t] of launch) cost += model.builds[b]!.priority * t
    for (const l of u.windows) {
      const link = model.links[l]! as Window
      if (modes[l] === MISSED && st.status[link.to] === PLACED) cost += model.missedCost * model.builds[model.jobs[link.to]!.build]!.priority
    }
    return cost
  }
}

interface Attempt { readonly cost: number; readonly failed: number }

const better = (a: Attempt, b: Attempt): boolean => a.failed < b.failed || (a.failed === b.failed && a.cost < b.cost - 1e-9)
