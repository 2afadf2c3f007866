/** What would bring a launch forward: more hours a week, one more helper, a warmer shop; or what binds when none of them does. */
import type { Plan } from '../schedule/answer.ts'
import type { Problem } from '../schedule/problem.ts'
import { instant, minutes, type Instant } from '../units/index.ts'
import { compileForecast, type Compiled } from './compile.ts'
import { Draws } from './draws.ts'
import { newWay, walkBack } from './drivers.ts'
import type { Extra } from './presence.ts'
import { COLD, COMPETENCE, CURE, DELIVERY, PEOPLE, PLACE, TOOL, WORK } from './found.ts'
import { Run } from './run.ts'
import { launchesOf, type Runs } from './simulate.ts'
import { CAUSES, type CatchUp, type Uncertainty } from './types.ts'

/** Extra hours are looked for in steps of half an hour, up to twenty. */
const STEP = 30
const MOST_STEPS = 40
const WARMEST = 15
/** Degrees are tried in strides first: each asks for cure times of its own, the dearest part of it all. */
const STRIDE = 5

export interface Target extends Runs { readonly target: Instant; readonly share: number }

/** Sorted launches of what was asked about one forecast, for the other share asks much the same. */
const known = new WeakMap<Uncertainty, { readonly problem: Problem; readonly plan: Plan; readonly launches: Map<string, Float64Array> }>()

/**
 * All questions meet the same luck, so that a difference is the question's own. Extra hours are bisected: more of them contain the fewer, and what the
 * simulation makes of them is in order but for a stray run. Degrees are gone through in strides and then one by one, for warmth also closes windows
 * sooner: a warmth within a stride that makes it where the stride's end does not is passed over.
 * @throws RangeError unless 0 < share <= 1
 */
export function catchUp(problem: Problem, plan: Plan, buildId: string, uncertainty: Uncertainty, { target, share, runs, seed }: Target): CatchUp {
  if (!(share > 0 && share <= 1)) throw new RangeError(`a share above 0 and at most 1, got ${share}`)
  const at = Math.max(0, Math.ceil(share * runs - 1e-9) - 1)
  let memo = known.get(uncertainty)
  if (!memo || memo.problem !== problem || memo.plan !== plan) known.set(uncertainty, (memo = { problem, plan, launches: new Map() }))
  const { launches } = memo
  const compiled = (whatIf: Extra): Compiled => compileForecast(problem, plan, buildId, uncertainty, whatIf)
  const launch = (whatIf: Extra): Instant | null => {
    const key = `${buildId} ${runs} ${seed} ${JSON.stringify(whatIf)}`
    let found = launches.get(key)
    if (!found) {
      const c = compiled(whatIf)
      launches.set(key, (found = launchesOf(c, { runs, seed }).map((t) => t + c.origin).sort()))
    }
    const t = found[at]!
    return t === Infinity ? null : instant(t)
  }
  const makes = (t: Instant | null): boolean => t !== null && t <= target

  const now = launch({})
  if (makes(now)) return { target, share, extraPerWeek: null, helper: null, warmer: null, binds: null, launches: { now, extra: null, helper: null, warmer: null } }
  if (compiled({}).launchJob === null) {
    return {
      target, share, extraPerWeek: 'not by hours', helper: false, warmer: 'not by warmth', binds: { cause: 'date', taskId: null, what: null },
      launches: { now, extra: null, helper: null, warmer: null },
    }
  }

  const extraAt = (steps: number): Instant | null => launch({ extraPerWeek: minutes(steps * STEP) })
  let steps: number | null = null
  if (makes(extraAt(MOST_STEPS))) {
    let [low, high] = [0, MOST_STEPS]
    while (high - low > 1) {
      const middle = (low + high) >> 1
      if (makes(extraAt(middle))) high = middle
      else low = middle
    }
    steps = high
  }
  const helped = launch({ helper: true })
  // Were everything cured at once and no gate shut, and still too late: no degree is worth trying.
  let degrees: number | null = null
  if (makes(launch({ cured: true }))) {
    for (let to = STRIDE; to <= WARMEST && degrees === null; to += STRIDE) {
      if (!makes(launch({ warmer: to }))) continue
      for (let d = to - STRIDE + 1; d <= to && degrees === null; d++) if (makes(launch({ warmer: d }))) degrees = d
    }
  }
  const warm = launch({ warmer: degrees ?? WARMEST })
  const nothing = steps === null && !makes(helped) && degrees === null
  return {
    target, share, extraPerWeek: steps === null ? 'not by hours' : minutes(steps * STEP), helper: makes(helped), warmer: degrees ?? 'not by warmth',
    binds: nothing ? bindsOf(compiled({ always: true }), { target, share, runs, seed }, at) : null,
    launches: { now, extra: extraAt(steps ?? MOST_STEPS), helper: helped, warmer: earlier(warm, now) },
  }
}

/** Nobody has to heat: a window that warmth closes too soon is no launch of theirs. */
const earlier = (a: Instant | null, b: Instant | null): Instant | null => (a === null || (b !== null && b < a) ? b : a)

/** With everybody of hers there day and night: what most of the way to the launch at this share is then. */
function bindsOf(c: Compiled, { target, runs, seed }: Target, at: number): CatchUp['binds'] {
  const launches = launchesOf(c, { runs, seed })
  const order = Int32Array.from(launches, (_, i) => i).sort((a, b) => (launches[a]! < launches[b]! ? -1 : launches[a]! > launches[b]! ? 1 : a - b))
  const pick = order[at]!
  if (launches[pick]! + c.origin <= target) return { cause: 'people', taskId: null, what: null }
  const run = new Run(c, new Draws(c, seed, runs))
  const t = run.go(pick)
  if (t === Infinity) return { cause: 'date', taskId: null, what: null }
  const way = newWay(c.phases.length)
  walkBack(c, run, t, way)
  let cause = -1
  for (let k = 0; k < CAUSES.length; k++) if (k !== WORK && way.cause[k]! > 0 && (cause < 0 || way.cause[k]! > way.cause[cause]!)) cause = k
  if (cause < 0) cause = WORK
  const j = c.jobs[way.job[cause]!]
  return { cause: CAUSES[cause]!, taskId: j?.id ?? null, what: j === undefined ? null : whatOf(c, cause, j.index, way.what[cause]!) }
}

function whatOf(c: Compiled, cause: number, job: number, what: number): string | null {
  const { model } = c
  const j = c.jobs[job]!
  if (cause === TOOL) return model.resources[what]?.id ?? null
  if (cause === PLACE || cause === COLD) return model.places[what]?.id ?? null
  if (cause === CURE) return j.product < 0 ? null : model.problem.products[j.product]!.id
  if (cause === DELIVERY) return j.materialId
  if (cause === COMPETENCE || cause === PEOPLE) return j.competences.length > 0 ? model.competences[j.competences[0]!]! : null
  return null
}
