/** Better plans within the budget: other rules, windows the other way, and neighbours of the best plan's own order. */
import type { Budget, Score } from './answer.ts'
import { CHOOSE, MEET, MISS } from './choices.ts'
import type { Generator, Genes, Outcome } from './generate.ts'
import { MISSED } from './links.ts'
import type { Job, Model } from './model.ts'
import { below, type Random } from './random.ts'
import { compareScores, type Scorer } from './score.ts'
import { isPure, Mirror } from './mirror.ts'
import { OFF, PLACED, type State } from './state.ts'
import type { Tie } from './units.ts'

export interface Found { readonly genes: Genes; readonly outcome: Outcome; readonly score: Score }

export interface Search {
  readonly model: Model
  readonly generator: Generator
  readonly scorer: Scorer
  /** The kept pieces, placed. */
  readonly base: State
  readonly keys: readonly Float64Array[]
  readonly first: Found
  /** Window links that are missed by what is kept. */
  readonly washed: readonly number[]
  readonly rand: Random
  readonly budget: Budget
  /** Of the caller's time, what may be used by the end of this search. */
  readonly share: number
  /** Jobs to place: so many assignments count as one schedule. */
  readonly count: number
  /** Assignments made so far. */
  readonly assignments: number
  readonly valid: (o: Outcome) => boolean
  readonly enough: (s: Score) => boolean
}

export function improve(s: Search): Found & { readonly assignments: number } {
  const { generator, scorer, budget, rand } = s
  let best = s.first
  // Equally good plans are walked through, but only a better one is shown: nothing moves for nothing.
  let at = s.first
  let assignments = s.assignments
  budget.onBetter?.(best.score)
  const mirror = isPure(s.model) ? new Mirror(s.model) : null
  const tied = mirror !== null && generator.hasTies()
  const over = (): boolean => assignments >= budget.maxSchedules * s.count || s.enough(best.score) || (budget.stop?.(s.share) ?? false)
  const attempt = (genes: Genes): boolean => {
    let outcome = generator.run(s.base, genes, rand)
    assignments += Math.max(1, outcome.state.assignments)
    if (!s.valid(outcome)) return false
    if (mirror && outcome.reasons.size === 0) {
      const back = mirror.justify(outcome, genes, rand)
      if (back) {
        assignments += back.assignments
        const again = generator.run(s.base, { ...genes, key: back.key }, rand)
        assignments += again.state.assignments
        // With maximum lags the way back and forth may also end later.
        if (compareScores(scorer.score(again.state, again.modes), scorer.score(outcome.state, outcome.modes)) <= 0) outcome = again
      }
    }
    const score = scorer.score(outcome.state, outcome.modes)
    if (compareScores(score, at.score) <= 0) at = { genes, outcome, score }
    if (compareScores(score, best.score) >= 0) return false
    best = at
    budget.onBetter?.(score)
    return true
  }
  for (const key of s.keys) {
    if (key === s.first.genes.key && s.first.genes.follow === null) continue
    if (over()) break
    attempt({ ...at.genes, follow: null, key })
    if (!over() && best.outcome.locked) attempt({ ...at.genes, follow: null, key, drain: true })
  }
  flipWindows(s, () => at, attempt, over)
  let idle = 0
  while (!over()) {
    const improved = attempt(mirror ? { ...shaken(s, at), merged: tied && rand() < 0.7 } : neighbour(s, at, idle))
    idle = improved ? 0 : idle + 1
    if (improved || idle % 40 === 39) flipWindows(s, () => at, attempt, over)
  }
  return { ...best, assignments }
}

/** Each window the other way than the plan has it; and all that are missed decided so, which lets other work come between. */
function flipWindows(s: Search, at: () => Found, attempt: (g: Genes) => boolean, over: () => boolean): void {
  const kept = new Set(s.washed)
  for (const l of s.model.links) {
    if (over()) return
    const { genes, outcome } = at()
    if (l.kind !== 'window' || l.state !== 'open' || kept.has(l.index) || outcome.state.status[l.to] !== PLACED) continue
    const windows = genes.windows.slice()
    windows[l.index] = outcome.modes[l.index] === MISSED ? MEET : MISS
    attempt({ ...genes, windows, follow: null })
  }
  if (!over()) attempt(decided(s, at()))
}

/** The plan's own windows as genes, so that they need not be weighed up again. */
function decided(s: Search, from: Found): Genes {
  const kept = new Set(s.washed)
  const windows = from.genes.windows.slice()
  for (const l of s.model.links) {
    if (l.kind !== 'window' || l.state !== 'open' || kept.has(l.index)) continue
    windows[l.index] = from.outcome.state.status[l.to] !== PLACED ? CHOOSE : from.outcome.modes[l.index] === MISSED ? MISS : MEET
  }
  return { ...from.genes, windows, follow: null }
}

/** The best plan's own order, stirred within one stretch of time; or, early and now and then, a rule's order stirred all over. */
function shaken(s: Search, best: Found): Genes {
  const { model, rand } = s
  const st = best.outcome.state
  const rule = best.outcome.reasons.size > 0 || rand() < 0.15
  const key = new Float64Array(model.jobs.length)
  let span = 1
  for (let k = 0; k < key.length; k++) if (st.status[k] === PLACED) span = Math.max(span, st.end[k]!)
  const from = s.keys[below(rand, s.keys.length)]!
  const at = rand() * span
  const wide = span * (0.1 + 0.4 * rand())
  const by = rule ? span * (rand() < 0.5 ? 0.3 : 2) * rand() : wide * (0.3 + 0.7 * rand())
  for (let k = 0; k < key.length; k++) {
    const own = rule || st.status[k] !== PLACED ? from[k]! : st.start[k]!
    key[k] = rule || Math.abs(own - at) < wide ? own + (rand() - 0.5) * by : own
  }
  return { ...best.genes, key }
}

/** The plan's own order with a few jobs drawn before others or put behind them, or a whole build moved. */
function neighbour(s: Search, from: Found, idle: number): Genes {
  const { model, rand } = s
  const st = from.outcome.state
  const open = model.jobs.filter((j) => !j.done && !j.paused && st.status[j.index] !== OFF)
  if (open.length === 0) return from.genes
  const key = Float64Array.from(model.jobs, (j) => (st.status[j.index] === PLACED ? st.start[j.index]! : from.genes.key[j.index]!))
  const { windows } = decided(s, from)
  const any = (): Job => open[below(rand, open.length)]!
  const kind = rand()
  if (kind < 0.15 && model.builds.length > 1) {
    let span = 1
    for (const j of open) span = Math.max(span, st.end[j.index]!)
    const b = below(rand, model.builds.length)
    const by = (rand() * 2 - 1) * span * 0.6
    for (const j of open) if (j.build === b) key[j.index] = key[j.index]! + by
  } else {
    const many = 1 + below(rand, 2 + Math.min(4, idle >> 5))
    for (let i = 0; i < many; i++) {
      const j = any()
      const ahead = rand() < 0.6 ? aheadOf(st, j, rand) : -1
      if (ahead >= 0) {
        drawForward(model, key, j.index, key[ahead]! - rand())
        continue
      }
      const other = any()
      if (rand() < 0.7) drawForward(model, key, j.index, Math.min(key[j.index]!, key[other.index]!) - rand())
      else key[j.index] = Math.max(key[j.index]!, key[other.index]!) + rand()
    }
  }
  const choices = model.links.filter((l) => l.kind === 'window' && l.state === 'open' && !s.washed.includes(l.index))
  if (choices.length > 0 && rand() < 0.35) {
    const l = choices[below(rand, choices.length)]!.index
    windows[l] = rand() < 0.5 ? CHOOSE : windows[l] === MISS ? MEET : MISS
  }
  const ties = tied(s, from, open, key)
  return { ...from.genes, key, windows, ties, follow: null }
}

const MOST_TIES = 4

/** Now and then another job may come between the coats of a chain: it is tied to one of them, and takes its turn before it. */
function tied(s: Search, from: Found, open: readonly Job[], key: Float64Array): readonly Tie[] {
  const { model, rand } = s
  const ties = from.genes.ties
  const dice = rand()
  if (dice < 0.3) return dice < 0.2 ? [] : ties.slice(1)
  if (dice > 0.55) return ties
  const coats = model.links.filter((l) => l.kind === 'window' && from.outcome.state.status[l.to] === PLACED)
  if (coats.length === 0) return ties
  const coat = coats[below(rand, coats.length)]!.to
  const near = aheadOf(from.outcome.state, model.jobs[coat]!, rand)
  // Most often something that goes on at about the same time.
  const other = near >= 0 && rand() < 0.3 ? near : closest(from.outcome.state, open, coat, below(rand, 8))
  if (other < 0 || other === coat) return ties
  if (rand() < 0.8) drawForward(model, key, other, key[coat]! - rand())
  return [...ties.slice(ties.length >= MOST_TIES ? 1 : 0), [coat, other]]
}

/** The n-th job of the same build in order of how near its start is. */
function closest(st: State, open: readonly Job[], k: number, n: number): number {
  const { build } = st.model.jobs[k]!
  const at = st.start[k]!
  const near = open.filter((j) => j.index !== k && j.build === build && st.status[j.index] === PLACED)
    .sort((a, b) => Math.abs(st.start[a.index]! - at) - Math.abs(st.start[b.index]! - at) || a.index - b.index)
  return near[Math.min(n, near.length - 1)]?.index ?? -1
}

/** A job that has the same person, or the same thing, last before this one, or -1. */
function aheadOf(st: State, j: Job, rand: Random): number {
  const d = st.drafts[j.index]![0]
  if (!d) return -1
  const p = d.people[below(rand, Math.max(1, d.people.length))]
  const need = j.needs[below(rand, Math.max(1, j.needs.length))]
  const byThing = p === undefined || (need !== undefined && rand() < 0.3)
  let best = -1
  let end = -1
  for (const other of st.model.jobs) {
    if (other === j || other.done || st.end[other.index]! > d.start || st.end[other.index]! <= end) continue
    const meets = byThing ? other.needs.some((n) => n.resource === need?.resource) : st.drafts[other.index]!.some((x) => x.people.includes(p!))
    if (!meets) continue
    best = other.index
    end = st.end[best]!
  }
  return best
}

/** What must come before a job comes forward with it. */
function drawForward(model: Model, key: Float64Array, k: number, to: number): void {
  if (key[k]! <= to) return
  key[k] = to
  for (const l of model.jobs[k]!.into) drawForward(model, key, model.links[l]!.from, to - 0.001)
}
