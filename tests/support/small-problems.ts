/** Random problems of at most seven tasks, small enough that a general solver proves their optimum. One build, one place, even warmth. */
import type { CureProduct } from '../../src/core/cure/types.ts'
import type { Link, Person, Problem, TaskSpec, Wash, Work } from '../../src/core/schedule/problem.ts'
import { celsius, instant, minutes } from '../../src/core/units/index.ts'
import { makeProduct } from './cure.ts'
import { dice, type Dice } from './dice.ts'
import { UTC } from './zones.ts'

const DAY = 1440
const DAYS = 12

export function smallProblem(seed: number): Problem {
  const d = dice(seed + 500)
  const now = instant(d.between(0, 40) * 1000)
  const air = celsius(d.pick([14, 18, 20, 24]))
  const midnight = now - d.pick([0, 300, 480])
  const days = Array.from({ length: DAYS }, (_, i) => i).filter((i) => i === 0 || d.chance(0.6))
  const people = Array.from({ length: d.between(1, 3) }, (_, i): Person => ({
    id: `p${i + 1}`, helpsAnyone: true, competences: [],
    presence: days.filter(() => i === 0 || d.chance(0.7)).flatMap((day) => {
      const start = instant(Math.max(now, midnight + day * DAY + 540 + d.pick([0, 0, 60])))
      const end = instant(midnight + day * DAY + d.pick([900, 1020, 1140]))
      return start < end ? [{ start, end, siteId: 'club', sessionId: null, projected: false }] : []
    }),
  }))
  const product: CureProduct = makeProduct({
    id: 'epoxy', filmEnergyLow: d.pick([18, 40]), filmEnergyHigh: d.pick([40, 55]), closesCap: d.pick([null, minutes(1440)]),
    stages: {
      dustFree: minutes(180), opens: minutes(d.pick([60, 150, 300])), closes: minutes(d.pick([300, 480, 1600])),
      sandable: minutes(d.pick([600, 960])), handleable: minutes(d.pick([240, 480])),
    },
  })
  const { tasks, links } = tasksOf(d, people.length)
  return {
    now, horizon: instant(now + DAYS * DAY), zone: UTC, people, materials: [], products: [product],
    places: [
      {
        id: 'shop', siteId: 'club', closures: [], climate: [{ from: now, value: { air, dewPoint: celsius(-40) } }], surfaceOffset: celsius(-2),
        settle: minutes(d.pick([0, 60])), lastDust: null,
      },
    ],
    resources: [
      { id: 'saw', siteId: null, capacity: [{ from: instant(now + d.pick([0, 0, 700, 2000])), count: 1 }] },
      { id: 'clamps', siteId: null, capacity: [{ from: now, count: 4 }] },
    ],
    builds: [{ id: 'b', priority: 1, launchTarget: null, paused: false, team: people.map((p) => p.id), launchTaskId: null }],
    tasks, links, holds: [], fixed: [], previous: [], missedWindowCost: minutes(d.pick([0, 200, 1440])),
  }
}

function tasksOf(d: Dice, people: number): { tasks: TaskSpec[]; links: Link[] } {
  const n = d.between(3, 7)
  const tasks: TaskSpec[] = []
  const links: Link[] = []
  const linkId = (): string => `l${links.length + 1}`
  const work = (most: number): Work => {
    const handsTo = d.between(1, people)
    if (d.chance(0.2)) return { kind: 'together', minutes: minutes(d.between(2, most / 10) * 10), hands: handsTo }
    return { kind: 'shared', work: minutes(d.between(3, most / 10) * 10), handsFrom: d.between(1, handsTo), handsTo }
  }
  const add = (over: Partial<TaskSpec> & { readonly work: Work }): TaskSpec => {
    const task: TaskSpec = {
      id: `t${tasks.length + 1}`, buildId: 'b', smallest: null, setUp: minutes(d.pick([0, 0, 10])), clearUp: minutes(d.pick([0, 0, 10])),
      places: ['shop'],
      resources: [], competences: [], gate: null, dusty: false, release: null, productId: null, materials: [],
      startedAt: null, finished: null, ...over,
    }
    tasks.push(task)
    return task
  }
  const link = (from: string, to: string): void => {
    if (d.chance(0.75)) links.push({ id: linkId(), kind: 'finish', from, to, lag: minutes(d.pick([0, 0, 60, -20])) })
    else links.push(
      {
        id: linkId(), kind: 'lag', from, to, edge: d.pick(['start', 'finish']), min: minutes(0),
        max: d.chance(0.5) ? minutes(d.pick([600, 2000])) : null,
      }
    )
  }
  // Two or three coats with windows, then whatever else.
  const coats = Array.from({ length: Math.min(n, d.between(2, 3)) }, () => add({
    work: work(140), productId: 'epoxy', resources: d.chance(0.3) ? [{ resourceId: 'clamps', amount: d.between(1, 3), until: 'handleable' }] : [],
  }))
  coats.slice(1).forEach((to, i) => {
    const id = linkId()
    const wash: Wash = {
      id: `${id}-wash`, work: work(90), smallest: null, setUp: minutes(0), clearUp: minutes(d.pick([0, 10])),
      places: ['shop'], resources: [], competences: [], gate: null, dusty: true, state: 'if-missed',
    }
    links.push({ id, kind: 'window', from: coats[i]!.id, to: to.id, wash: d.chance(0.85) ? wash : null })
  })
  while (tasks.length < n) {
    const before = d.pick(tasks)
    const isUnattended = d.chance(0.2)
    const task = isUnattended
      ? add({ work: { kind: 'unattended', minutes: minutes(d.pick([0, 300, 1440])) }, places: [], setUp: minutes(0), clearUp: minutes(0) })
      : add({ work: work(300), dusty: d.chance(0.4), resources: d.chance(0.4) ? [{ resourceId: 'saw', amount: 1, until: null }] : [] })
    if (before.productId !== null && d.chance(0.5)) {
      links.push({ id: linkId(), kind: 'stage', from: before.id, to: task.id, stage: d.pick(['handleable', 'sandable']) })
    } else if (d.chance(0.7)) link(before.id, task.id)
  }
  // Something may have to come before the coats.
  const last = tasks.at(-1)!
  if (last.productId === null && d.chance(0.4) && !links.some((l) => l.to === last.id)) link(last.id, coats[0]!.id)
  return { tasks, links }
}
