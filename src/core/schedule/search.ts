/** The search for one question: kept pieces first, a first plan, then better ones as long as the budget lasts. */
import type { Budget, Score } from './answer.ts'
import { boundsOf, IMPOSSIBLE, type Bounds } from './bounds.ts'
import { MISS } from './choices.ts'
import { nothingLess } from './explain.ts'
import { keep, type Kept } from './fixed.ts'
import { followOf, followWindows } from './follow.ts'
import { Generator, type Genes, type Outcome } from './generate.ts'
import { improve, type Found } from './improve.ts'
import { brokenLink, isIn } from './links.ts'
import { NEVER, type Job, type Model } from './model.ts'
import { random } from './random.ts'
import { startKeys } from './rules.ts'
import { compareScores, Scorer } from './score.ts'
import { FAILED, PLACED } from './state.ts'
import { tailsOf } from './tails.ts'

export interface Solution {
  readonly best: Found
  readonly kept: Kept
  /** In this model, with what is kept. */
  readonly bounds: Bounds
  /** Jobs in order of time, for bounds. */
  readonly order: readonly number[]
  readonly schedules: number
}

/**
 * @param share of the caller's time that may be used by the end of it
 * @param warm keys of a plan of nearly the same question, tried early; null: none
 */
export function search(model: Model, budget: Budget, share: number, warm: Float64Array | null): Solution {
  const tails = tailsOf(model)
  const order = model.jobs.map((j) => j.index).sort((a, b) => tails.head[a]! - tails.head[b]! || a - b)
  const loose = boundsOf(model, order, null)
  const generator = new Generator(model, tails)
  const scorer = new Scorer(model)
  const rand = random(budget.seed)
  let assignments = 0
  const count = Math.max(1, model.jobs.filter((j) => !j.done && !j.paused && j.washOf < 0).length)
  const keys = startKeys(model, tails, loose)
  // Behind the plan before, which goes first.
  if (warm) keys.splice(model.problem.previous.length > 0 ? 1 : 0, 0, warm)

  // Kept pieces that leave no room for what must come before them are dropped, and it is begun again.
  const gone = new Map<number, string>()
  let kept: Kept
  let genes: Genes | null = null
  let outcome: Outcome | null = null
  const unlocked = (way: Genes): { genes: Genes; outcome: Outcome; bad: Set<number> } => {
    let found = { genes: way, outcome: generator.run(kept.state, way, rand) }
    if (found.outcome.locked) {
      const drain = { ...way, drain: true }
      const drained = generator.run(kept.state, drain, rand)
      const score = (o: Outcome): Score => scorer.score(o.state, o.modes)
      if (compareScores(score(drained), score(found.outcome)) < 0) found = { genes: drain, outcome: drained }
    }
    assignments += found.outcome.state.assignments
    const bad = keptInTheWay(model, found.outcome)
    if (washesForNothing(model, found.outcome)) bad.add(-1)
    return { ...found, bad }
  }
  for (;;) {
    kept = keep(model, loose, gone)
    for (const { index, done } of model.jobs) {
      if (!done && loose.finish[index]! >= IMPOSSIBLE && kept.state.drafts[index]!.length === 0) kept.state.setStatus(index, FAILED)
    }
    const windows = new Uint8Array(model.links.length)
    for (const l of kept.washed) windows[l] = MISS
    const plain = (key: Float64Array): Genes => ({ key, windows, drain: false, ties: [], merged: false, follow: null })
    const ways = keys.map(plain)
    if (model.problem.previous.length > 0) {
      const follow = followOf(model)
      // What the plan before had goes first; what is new finds its place around it.
      const key = keys[0]!.map((x, k) => (follow[k] ? x : x + NEW))
      ways.unshift({ ...plain(key), follow, windows: followWindows(model, follow, windows) })
    }
    let least = Infinity
    let inTheWay = new Set<number>()
    // The first way will do, unless kept pieces speak against it that another way could keep.
    for (const way of ways) {
      const tried = unlocked(way)
      if (!outcome || tried.bad.size < least) {
        ({ genes, outcome } = tried)
        inTheWay = tried.bad
        least = tried.bad.size
      }
      if (least === 0) break
    }
    let more = false
    model.fixed.forEach((f, i) => {
      if (!inTheWay.has(f.job) || gone.has(i)) return
      gone.set(i, 'link')
      more = true
    })
    if (!more) break
    outcome = null
  }
  if (!genes || !outcome) throw new Error('no way was tried')

  const bounds = model.fixed.length > 0 ? boundsOf(model, order, kept.state) : loose
  const valid = (o: Outcome): boolean => keptInTheWay(model, o).size === 0 && !washesForNothing(model, o)
  const best = improve({
    model, generator, scorer, base: kept.state, keys, first: { genes, outcome, score: scorer.score(outcome.state, outcome.modes) },
    washed: kept.washed, rand, budget, share, count, assignments, valid,
    enough: (score: Score) => nothingLess(model, score, bounds),
  })
  return { best, kept, bounds, order, schedules: Math.max(1, Math.ceil(best.assignments / count)) }
}

const NEW = 1e8

/** Jobs whose kept pieces break a link, or whose predecessors could not be planned. */
function keptInTheWay(model: Model, o: Outcome): Set<number> {
  const bad = new Set(o.pins)
  for (const f of model.fixed) {
    const job = model.jobs[f.job]
    if (!job || bad.has(f.job) || !o.state.drafts[f.job]!.some((d) => d.fixed >= 0)) continue
    if (job.washOf >= 0 && isTooSoon(o, job)) bad.add(f.job)
    for (const l of job.into) {
      const link = model.links[l]!
      if (!isIn(o.state.status[link.from]!)) bad.add(f.job)
      else if (brokenLink(o.state, link, o.modes)) bad.add(f.job)
    }
  }
  return bad
}

/** A kept wash whose coat is not on, or not sandable, when it starts. */
function isTooSoon(o: Outcome, wash: Job): boolean {
  const { from } = o.state.model.links[wash.washOf]!
  const start = o.state.start[wash.index]!
  if (start < 0) return false
  if (!isIn(o.state.status[from]!)) return true
  const sandable = o.state.stage(from, 'sandable')
  return sandable === NEVER || start < sandable
}

/** A wash was placed for a coat that then found no place. */
function washesForNothing(model: Model, o: Outcome): boolean {
  return model.links.some((l) => l.kind === 'window' && l.state === 'open' && l.wash >= 0 && o.state.status[l.wash] === PLACED
    && o.state.status[l.to] !== PLACED && !o.state.drafts[l.wash]!.some((d) => d.fixed >= 0))
}
