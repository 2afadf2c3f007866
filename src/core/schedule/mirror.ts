/**
 * Time turned round, for problems of unattended tasks and lags alone: what is placed early in the mirror is late in the plan.
 * One pass back and one forward (Li & Willis 1992; "double justification", Valls, Ballestin & Quintanilla 2005) often shortens a plan.
 */
import { Generator, type Genes, type Outcome } from './generate.ts'
import type { Model, MLink } from './model.ts'
import type { Random } from './random.ts'
import { PLACED, State } from './state.ts'
import { tailsOf } from './tails.ts'

/** Nothing but lengths, lags and steady capacities. */
export function isPure(model: Model): boolean {
  return model.holds.length === 0 && model.fixed.length === 0 && model.impossible.length === 0 && model.jobs.length > 0
    && model.jobs.every((j) => j.kind === 'unattended' && !j.done && !j.paused && j.release === 0 && !j.waits && j.startedAt === null && j.product < 0
      && j.options.length === 1 && j.options[0]!.place < 0)
    && model.links.every((l) => l.kind === 'finish' || l.kind === 'lag')
    && model.resources.every((r) => r.capacity.least(0, model.horizon) === r.most)
}

export class Mirror {
  private readonly model: Model
  private readonly back: Generator
  private readonly base: State
  private readonly count: number

  constructor(model: Model) {
    this.model = model
    const length = (k: number): number => model.jobs[k]!.work
    const links = model.links.map((l): MLink => {
      const turned = { index: l.index, id: l.id, from: l.to, to: l.from }
      if (l.kind === 'finish') return { ...turned, kind: 'finish', lag: l.lag }
      if (l.kind !== 'lag') throw new Error('only lags have a mirror')
      // From start to start becomes from finish to finish, told by starts again.
      const by = l.edge === 'finish' ? 0 : length(l.to) - length(l.from)
      return { ...turned, kind: 'lag', edge: l.edge, min: l.min === null ? null : l.min + by, max: l.max === null ? null : l.max + by }
    })
    const turned: Model = {
      ...model, links, jobs: model.jobs.map((j) => ({ ...j, into: j.outOf, outOf: j.into })),
      resources: model.resources.map((r) => ({ ...r, capacity: steady(r.capacity, r.most) })),
    }
    this.back = new Generator(turned, tailsOf(turned))
    this.base = new State(turned)
    this.count = model.jobs.length
  }

  /** Keys by which the plan is made again from its latest starts; null when the way back doesn't fit. */
  justify(outcome: Outcome, genes: Genes, rand: Random): { readonly key: Float64Array; readonly assignments: number } | null {
    const { model } = this
    const { state: st } = outcome
    const key = new Float64Array(this.count)
    for (let k = 0; k < this.count; k++) key[k] = st.status[k] === PLACED ? model.horizon - st.end[k]! : model.horizon
    const back = this.back.run(this.base, { ...genes, key }, rand)
    for (let k = 0; k < this.count; k++) {
      if (back.state.status[k] !== PLACED) return null
      key[k] = model.horizon - back.state.end[k]!
    }
    return { key, assignments: back.state.assignments }
  }
}

/** The same count for all time: in the mirror, now is the far end. */
function steady<P extends { clone(): P; readonly left: Int32Array; size: number }>(profile: P, most: number): P {
  const p = profile.clone()
  p.left[0] = most
  p.size = 1
  return p
}
