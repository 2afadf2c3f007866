/** Small questions to the planner, right by themselves; a test says only what it is about. Hours count from Saturday 00:00, now. */
import type { Binding, Piece, Plan } from '../../src/core/schedule/answer.ts'
import { check } from '../../src/core/schedule/check.ts'
import { plan } from '../../src/core/schedule/plan.ts'
import type { BuildSpec, Link, Person, Place, Problem, TaskSpec, Wash, Work } from '../../src/core/schedule/problem.ts'
import { celsius, instant, minutes, type Instant } from '../../src/core/units/index.ts'
import { makeClimate } from './cure.ts'

export const hour = (h: number): Instant => instant(Math.round(h * 60))
export const shared = (work: number, handsFrom = 1, handsTo = handsFrom): Work => ({ kind: 'shared', work: minutes(work), handsFrom, handsTo })
export const together = (length: number, hands: number): Work => ({ kind: 'together', minutes: minutes(length), hands })
export const unattended = (length: number): Work => ({ kind: 'unattended', minutes: minutes(length) })

export const task = (id: string, over: Partial<TaskSpec> = {}): TaskSpec => ({
  id, buildId: 'boat', release: null, productId: null, materials: [], startedAt: null, finished: null, work: shared(60), smallest: null,
  setUp: minutes(0), clearUp: minutes(0), places: ['shop'], resources: [], competences: [], gate: null, dusty: false, ...over,
})
export const wash = (id: string, over: Partial<Wash> = {}): Wash => ({
  id, work: shared(60), smallest: null, setUp: minutes(0), clearUp: minutes(0), places: ['shop'], resources: [], competences: [], gate: null,
  dusty: true, state: 'if-missed', ...over,
})

/** Someone who is in the shop over each [from hour, to hour). */
export const person = (id: string, ...hours: readonly (readonly [number, number])[]): Person => ({
  id, helpsAnyone: true, competences: [],
  presence: hours.map(([a, b]) => ({ start: hour(a), end: hour(b), siteId: 'site', sessionId: null, projected: false })),
})
export const place = (id = 'shop', over: Partial<Place> = {}): Place => ({
  id, siteId: 'site', closures: [], climate: makeClimate([-100_000, 20]), surfaceOffset: celsius(0), settle: minutes(0), lastDust: null, ...over,
})
export const build = (id = 'boat', over: Partial<BuildSpec> = {}): BuildSpec => ({
  id, priority: 1, launchTarget: null, paused: false, team: [], launchTaskId: null, ...over,
})
export const after = (from: string, to: string, lag = 0): Link => ({ id: `${from}-${to}`, kind: 'finish', from, to, lag: minutes(lag) })

export const problem = (over: Partial<Problem> = {}): Problem => ({
  now: instant(0), horizon: hour(24 * 28), zone: [{ from: instant(0), offset: 0 }], people: [person('ann', [9, 17])], places: [place()],
  resources: [], materials: [], products: [], builds: [build()], tasks: [], links: [], holds: [], fixed: [], previous: [], missedWindowCost: minutes(4320), ...over,
})

/** The plan, which the independent checker must find without fault. */
export function planned(p: Problem, schedules = 50): Plan {
  const found = plan(p, { seed: 1, maxSchedules: schedules })
  if (!found.ok) throw new Error(JSON.stringify(found.refusal))
  const faults = check(p, found.value)
  if (faults.length > 0) throw new Error(faults.map((f) => f.text).join('\n'))
  return found.value
}

export const pieces = (p: Plan, taskId: string): Piece[] => p.pieces.filter((x) => x.taskId === taskId)
export function piece(p: Plan, taskId: string): Piece {
  const [only, more] = pieces(p, taskId)
  if (!only || more) throw new Error(`${taskId} has ${pieces(p, taskId).length} pieces`)
  return only
}
/** [start hour, end hour] of each piece of a task. */
export const hours = (p: Plan, taskId: string): [number, number][] => pieces(p, taskId).map((x) => [x.start / 60, x.end / 60])
export const binding = (p: Plan, taskId: string): Binding => piece(p, taskId).binding
