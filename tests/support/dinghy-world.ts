/**
 * A made-up club building a dinghy, a third of the work done. Its laws are others than the forecast's: work of a task is lognormal about the estimate,
 * its pace is drawn once from a gamma law and shared by all tasks, kinds of work differ evenly between two bounds, good and bad weeks follow each other
 * as a two-state chain, each person comes to each session or doesn't, months are colder or warmer by an even draw.
 * What has to be done again is one club's lot more than another's.
 */
import type { Craft } from '../../src/core/forecast/types.ts'
import { CRAFTS, type AttendanceEvidence, type PaceEvidence, type Rework, type ThreePoints } from '../../src/core/forecast/types.ts'
import { leftPoints } from '../../src/features/planning/forecast/evidence.ts'
import { pertMean, pertSd } from '../../src/core/forecast/pert.ts'
import type { Link, Person, Place, Presence, Problem, TaskSpec, Work } from '../../src/core/schedule/problem.ts'
import { instant, minutes } from '../../src/core/units/index.ts'
import { makeClimate, makeProduct } from './cure.ts'
import { dinghy, type DinghyTask } from './dinghy.ts'
import { normalDice, type NormalDice } from './normal-dice.ts'

const WEEK = 7 * 1440
const HORIZON_WEEKS = 104
const BUILD = 'swift'

export interface DinghyWorld {
  /** A third done: what the planner is asked. Its presence is what people mean to do. */
  readonly problem: Problem
  readonly buildId: string
  readonly left: ReadonlyMap<string, ThreePoints>
  readonly craft: ReadonlyMap<string, Craft>
  readonly phase: ReadonlyMap<string, string>
  readonly pace: readonly PaceEvidence[]
  readonly attendance: readonly AttendanceEvidence[]
  readonly finished: readonly { readonly craft: Craft; readonly reworked: boolean }[]
  /** What really comes: work of each task and wash, the people who come, the weather. */
  readonly truth: { readonly left: ReadonlyMap<string, ThreePoints>; readonly rework: Rework; readonly problem: Problem }
}

/** What has to be done again: the usual chance by kind of work, which each club has more or less of, and the share of the task's own work. */
const AGAIN: Readonly<Record<Craft, number>> = { wood: 0.06, resin: 0.1, sanding: 0.06, finish: 0.11, handling: 0.02 }
const AGAIN_SHARE: ThreePoints = { low: 0.15, likely: 0.4, high: 0.9 }

interface Planned { readonly spec: DinghyTask; readonly points: ThreePoints; readonly truth: number }
interface Pace { readonly of: (craft: Craft) => number }

/** Gamma with this mean and coefficient of variation: Marsaglia and Tsang, ACM TOMS 26 (2000) 363 (from memory), for shapes of 1 and more. */
function gamma(d: NormalDice, mean: number, cv: number): number {
  const shape = 1 / cv ** 2
  const a = shape - 1 / 3
  for (;;) {
    const x = d.normal()
    const v = (1 + x / Math.sqrt(9 * a)) ** 3
    if (v > 0 && Math.log(1 - d.roll()) < 0.5 * x * x + a - a * v + a * Math.log(v)) return (a * v * mean) / shape
  }
}

const even = (d: NormalDice, low: number, high: number): number => low + (high - low) * d.roll()

function paceOf(d: NormalDice, club: number): Pace {
  const common = club * gamma(d, 1, 0.25)
  const kinds = new Map(CRAFTS.map((craft) => [craft, even(d, 0.75, 1.25)]))
  return { of: (craft) => common * kinds.get(craft)! }
}

function estimate(d: NormalDice, likely: number): ThreePoints {
  return { low: Math.round(likely * even(d, 0.6, 0.85)), likely: Math.round(likely), high: Math.round(likely * even(d, 1.3, 2.2)) }
}

/** Task by task: estimated, and what it really takes. */
function tasksOf(d: NormalDice, pace: Pace, size: number): Planned[] {
  const noise = even(d, 0.25, 0.45)
  return dinghy.map((spec) => {
    const likely = spec.hours * 60 * spec.hands[0] * (spec.product === null ? size : 1)
    const points = estimate(d, likely)
    return { spec, points, truth: Math.max(5, pertMean(points) * pace.of(spec.craft) * d.lognormal(noise)) }
  })
}

/** Tasks of builds that the club finished before. */
function records(d: NormalDice, club: number, builds: number): PaceEvidence[] {
  return Array.from({ length: builds }, (_, i) => tasksOf(d, paceOf(d, club), 1).filter(() => d.chance(0.5)).map(evidenceOf(`before ${i}`))).flat()
}
const evidenceOf = (buildId: string) => ({ spec, points, truth }: Planned): PaceEvidence =>
  ({ buildId, craft: spec.craft, estimated: pertMean(points), worked: truth, sd: pertSd(points) })

interface Visit { readonly week: number; readonly personId: string; readonly start: number; readonly end: number; readonly came: boolean }

/** Saturdays, and in some clubs an evening too; who means to come, and who does. */
function visitsOf(d: NormalDice): Visit[] {
  const people = d.between(2, 4)
  const [opens, shuts] = d.pick([[9, 16], [9, 17], [10, 16]] as const)
  const evening = d.chance(0.5)
  const rhythm = Array.from({ length: people }, () => ({ every: d.pick([1, 1, 1, 2]), evening: evening && d.chance(0.7) }))
  // Weeks to come and weeks in which much comes in between, as a chain; how good and how bad they are is the club's own.
  const [good, bad] = [even(d, 0.85, 1), even(d, 0.25, 0.6)]
  const [toBad, toGood] = [even(d, 0.05, 0.3), even(d, 0.35, 0.7)]
  let isGood = d.chance(toGood / (toBad + toGood))
  return Array.from({ length: HORIZON_WEEKS * 2 }, (_, week) => {
    isGood = isGood ? !d.chance(toBad) : d.chance(toGood)
    const share = isGood ? good : bad
    return rhythm.flatMap(({ every, evening: comesLate }, p) => {
      if (week % every !== 0) return []
      const visit = (day: number, from: number, to: number): Visit => ({
        week, personId: `p${p}`, start: week * WEEK + day * 1440 + from * 60, end: week * WEEK + day * 1440 + to * 60, came: d.chance(share),
      })
      return [...(comesLate ? [visit(2, 18, 21)] : []), visit(5, opens, shuts)]
    })
  }).flat()
}

const people = (visits: readonly Visit[]): Person[] =>
  [...new Set(visits.map((v) => v.personId))].sort().map((id) => ({
    id, helpsAnyone: true, competences: [],
    presence: visits.filter((v) => v.personId === id).map((v): Presence => ({
      start: instant(v.start), end: instant(v.end), siteId: 'site', sessionId: null, projected: false,
    })),
  }))

const PRODUCTS = [
  makeProduct({
    id: 'epoxy', stages: {
      workable: minutes(40), dustFree: minutes(300), opens: minutes(180), closes: minutes(1440), sandable: minutes(1440), handleable: minutes(720), fullCure: minutes(10_080),
    },
  }),
  makeProduct({
    id: 'paint', stages: {
      workable: minutes(30), dustFree: minutes(120), opens: minutes(300), closes: minutes(2880), sandable: minutes(2880), handleable: minutes(1440), fullCure: minutes(10_080),
    },
  }),
]
const WASH: ThreePoints = { low: 30, likely: 45, high: 75 }

function linksOf(): Link[] {
  return dinghy.flatMap(({ id, after, on }): Link[] => [
    ...after.map((from): Link => ({ id: `${from}-${id}`, kind: 'finish', from, to: id, lag: minutes(0) })),
    ...(on === null ? [] : [on.stage === 'window'
      ? {
          id: `${on.coat}-${id}`, kind: 'window' as const, from: on.coat, to: id,
          wash: {
            id: `${id}-wash`, work: { kind: 'shared' as const, work: minutes(Math.round(pertMean(WASH))), handsFrom: 1, handsTo: 2 }, smallest: minutes(15), setUp: minutes(0),
            clearUp: minutes(10), places: [placeOf(id)], resources: [], competences: [], gate: null, dusty: true, state: 'if-missed' as const,
          },
        }
      : { id: `${on.coat}-${id}`, kind: 'stage' as const, from: on.coat, to: id, stage: on.stage }]),
  ])
}
const placeOf = (taskId: string): string => (dinghy.find((t) => t.id === taskId)!.phase === 'paint' ? 'tent' : 'shop')

/** What of its estimate is left, as the service takes it of a begun task that nobody said more about. */
function leftOf({ spec, points }: Planned, worked: number): ThreePoints {
  const hands = spec.together ? spec.hands[0] : 1
  const [low, likely, high] = [points.low / hands, points.likely / hands, points.high / hands]
  const left = Math.max(likely / 10, likely - worked / hands)
  return leftPoints(
    { buildId: BUILD, craft: spec.craft, kind: spec.together ? 'together' : 'shared', low, likely, high, hands, isFinished: false, isStated: false, left, steps: { of: 0, ticked: 0 } },
    { personMin: worked, elapsedMin: worked / hands },
  )
}

export function dinghyWorld(seed: number): DinghyWorld {
  const d = normalDice(seed)
  const club = Math.exp(0.05 + 0.2 * d.normal())
  const earlier = records(d, club, d.pick([0, 0, 1, 3]))
  const tasks = tasksOf(d, paceOf(d, club), even(d, 0.8, 2))
  const visits = visitsOf(d)
  const third = courseToAThird(tasks, visits, even(d, 0.75, 0.95))
  const { now, done, worked } = third

  const work = (t: Planned): Work => {
    const { spec } = t
    const left = Math.ceil(leftOf(t, worked.get(t.spec.id) ?? 0).likely)
    return spec.together
      ? { kind: 'together', minutes: minutes(Math.ceil(left / spec.hands[0])), hands: spec.hands[0] }
      : { kind: 'shared', work: minutes(left), handsFrom: spec.hands[0], handsTo: spec.hands[1] }
  }
  const specs = tasks.map((t): TaskSpec => {
    const finished = done.get(t.spec.id) ?? null
    return {
      id: t.spec.id, buildId: BUILD, release: null, productId: t.spec.product, materials: [], startedAt: worked.has(t.spec.id) ? instant(now - 1440) : null,
      finished: finished === null ? null : {
        start: instant(finished - 60), end: instant(finished),
        coat: t.spec.product === null ? null : { start: instant(finished - 60), end: instant(finished), placeId: placeOf(t.spec.id), overrides: [] },
      },
      work: work(t), smallest: t.spec.product === null && !t.spec.together ? minutes(30) : null,
      setUp: minutes(t.spec.product === null ? 0 : 10), clearUp: minutes(10), places: [placeOf(t.spec.id)], resources: [], competences: [], gate: null, dusty: t.spec.craft === 'sanding',
    }
  })
  // The shed is heated a little: a course of the year between 14 and 22 °C, and what the month really brings.
  const from = d.between(0, 11)
  const months = Array.from({ length: 26 }, (_, m) => 18 - 4 * Math.cos((2 * Math.PI * (from + m)) / 13))
  const place = (id: string, off: (month: number) => number): Place => ({
    id, siteId: 'site', closures: [], surfaceOffset: 0 as Place['surfaceOffset'], settle: minutes(120), lastDust: null,
    climate: makeClimate(...months.map((air, m): [number, number] => [now + m * 4 * WEEK, air + off(m)])),
  })
  const meant = visits.filter((v) => v.start >= now && v.start < now + HORIZON_WEEKS * WEEK)
  const problem = (came: readonly Visit[], off: (month: number) => number): Problem => ({
    now: instant(now), horizon: instant(now + HORIZON_WEEKS * WEEK), zone: [{ from: instant(0), offset: 0 }], people: people(came), places: [place('shop', off), place('tent', off)],
    resources: [], materials: [], products: PRODUCTS, tasks: specs, links: linksOf(), holds: [], fixed: [], previous: [], missedWindowCost: minutes(4320),
    builds: [{ id: BUILD, priority: 1, launchTarget: null, paused: false, team: [], launchTaskId: 'launch' }],
  })
  const clumsy = d.lognormal(0.4)
  const chance = Object.fromEntries(CRAFTS.map((craft) => [craft, AGAIN[craft] * clumsy])) as Record<Craft, number>
  const month = months.map(() => even(d, -3.4, 3.4))
  const rest = tasks.filter((t) => !done.has(t.spec.id))
  const washes = dinghy.flatMap((t) => (t.on?.stage === 'window' && !done.has(t.id) ? [`${t.id}-wash`] : []))
  const fixed = (x: number): ThreePoints => ({ low: x, likely: x, high: x })
  return {
    problem: problem(meant, () => 0), buildId: BUILD,
    left: new Map([...rest.map((t) => [t.spec.id, leftOf(t, worked.get(t.spec.id) ?? 0)] as const), ...washes.map((id) => [id, WASH] as const)]),
    craft: new Map([...tasks.map((t) => [t.spec.id, t.spec.craft] as const), ...washes.map((id) => [id, 'sanding'] as const)]),
    phase: new Map([...tasks.map((t) => [t.spec.id, t.spec.phase] as const), ...washes.map((id) => [id, dinghy.find((t) => `${t.id}-wash` === id)!.phase] as const)]),
    pace: [...earlier, ...tasks.filter((t) => done.has(t.spec.id)).map(evidenceOf(BUILD))],
    attendance: weeksOf(visits.filter((v) => v.start < now)),
    finished: tasks.filter((t) => done.has(t.spec.id)).map((t) => ({ craft: t.spec.craft, reworked: d.chance(chance[t.spec.craft]) })),
    truth: {
      left: new Map([
        ...rest.map((t) => [t.spec.id, fixed(Math.max(5, t.truth - (worked.get(t.spec.id) ?? 0)))] as const),
        ...washes.map((id) => [id, fixed(pertMean(WASH) * d.lognormal(0.3))] as const),
      ]),
      rework: { chance, share: AGAIN_SHARE, tasks: 0 },
      problem: problem(meant.filter((v) => v.came), (m) => month[m]!),
    },
  }
}

function weeksOf(visits: readonly Visit[]): AttendanceEvidence[] {
  const weeks = new Map<number, { planned: number; came: number }>()
  for (const v of visits) {
    const week = weeks.get(v.week) ?? { planned: 0, came: 0 }
    week.planned += v.end - v.start
    if (v.came) week.came += v.end - v.start
    weeks.set(v.week, week)
  }
  return [...weeks.values()]
}

/**
 * The world's own course, week by week: who came works down the list, `used` of the hours on the tasks; until a third of the estimated work is done.
 * `now` is the Monday after. Finished tasks with their instants; minutes worked at the one under way.
 */
function courseToAThird(tasks: readonly Planned[], visits: readonly Visit[], used: number): { now: number; done: Map<string, number>; worked: Map<string, number> } {
  const whole = tasks.reduce((sum, t) => sum + pertMean(t.points), 0)
  const done = new Map<string, number>()
  let [at, into, earned] = [0, 0, 0]
  for (let week = 0; ; week++) {
    const hours = visits.filter((v) => v.week === week && v.came)
    let supply = used * hours.reduce((sum, v) => sum + v.end - v.start, 0)
    const last = Math.max(...hours.map((v) => v.end))
    while (supply > 0) {
      const t = tasks[at]!
      const takes = Math.min(supply, t.truth - into)
      supply -= takes
      into += takes
      if (into < t.truth - 1e-6) break
      done.set(t.spec.id, last)
      earned += pertMean(t.points)
      at++
      into = 0
    }
    if (earned >= whole / 3) return { now: (week + 1) * WEEK, done, worked: into > 0 ? new Map([[tasks[at]!.spec.id, into]]) : new Map<string, number>() }
    if (week >= HORIZON_WEEKS) throw new Error('a third is never done')
  }
}
