/** One random build: jobs in an order that could be a real one, their links, holds, facts and fixed pieces. */
import type { CureProduct, CureStage } from '../../src/core/cure/types.ts'
import type { BuildSpec, FixedPiece, Hold, Link, Person, ResourceNeed, TaskSpec, Wash, Work } from '../../src/core/schedule/problem.ts'
import { celsius, instant, minutes, type Instant } from '../../src/core/units/index.ts'
import type { Dice } from './dice.ts'

/** Everything about the club that its builds draw from. */
export interface Ground {
  readonly now: Instant
  readonly horizon: Instant
  readonly people: readonly Person[]
  readonly sessions: readonly { readonly start: Instant; readonly end: Instant; readonly id: string }[]
  /** Whether there are finished tasks, wet coats, tasks under way and fixed pieces. */
  readonly facts: boolean
}
export const COMPETENCES = ['bandsaw', 'router', 'spraying'] as const
/** Site of a person who works at home on some build. */
export const homeOf = (personId: string): string => `home-${personId}`

export interface BuildDraft {
  readonly build: BuildSpec
  readonly tasks: TaskSpec[]
  readonly links: Link[]
  readonly holds: Hold[]
  readonly fixed: FixedPiece[]
}

export function buildOf(d: Dice, ground: Ground, id: string, count: number, products: readonly CureProduct[], paused: boolean): BuildDraft {
  const team = ground.people.filter((p, i) => i === 0 || d.chance(0.6)).map((p) => p.id)
  const owner = ground.people[0]!.id
  const atHome = ground.people[0]!.presence.some((r) => r.siteId === homeOf(owner)) && d.chance(0.2)
  const tasks: TaskSpec[] = []
  const links: Link[] = []
  const draft = new Draft(d, id, atHome ? [`garage-${owner}`] : null, products, tasks, links)
  while (tasks.length < count) draft.next(count - tasks.length)
  const holds = draft.holds()
  if (ground.facts) draft.facts(ground)
  const fixed = ground.facts && !paused ? draft.fixedPieces(ground, team) : []
  const launchTaskId = d.chance(0.6) ? tasks.at(-1)!.id : null
  if (launchTaskId !== null && d.chance(0.7)) draft.gather(launchTaskId)
  const build: BuildSpec = {
    id, priority: d.pick([1, 1, 2, 0.5]), paused, team, launchTaskId,
    launchTarget: d.chance(0.5) ? instant(ground.now + d.between(1, 16) * 7 * 1440) : null,
  }
  return { build, tasks, links, holds, fixed }
}

class Draft {
  private readonly d: Dice
  private readonly buildId: string
  private readonly home: readonly string[] | null
  private readonly products: readonly CureProduct[]
  private readonly tasks: TaskSpec[]
  private readonly links: Link[]

  constructor(d: Dice, buildId: string, home: readonly string[] | null, products: readonly CureProduct[], tasks: TaskSpec[], links: Link[]) {
    this.d = d
    this.buildId = buildId
    this.home = home
    this.products = products
    this.tasks = tasks
    this.links = links
  }

  /** Adds the next job: one task, a glue-up or a stack of coats. */
  next(room: number): void {
    const { d } = this
    const before = this.tasks.length
    const kind = d.between(0, 9)
    if (kind < 2 && room >= 3) this.coats(Math.min(room - 1, d.between(2, 4)))
    else if (kind === 2 && room >= 2) this.glueUp()
    else if (kind === 3) {
      this.add(
        {
          work: { kind: 'unattended', minutes: minutes(d.pick([0, 60, 1440, 4320])) }, setUp: minutes(0), clearUp: minutes(0), smallest: null,
          places: [], dusty: false, resources: [], competences: [],
        }
      )
    } else this.add(this.plain())
    // Hang it behind something earlier; a quarter stay free.
    if (before > 0 && !d.chance(0.25)) this.follow(this.tasks[before]!.id, this.tasks[d.between(Math.max(0, before - 4), before - 1)]!.id)
  }

  private follow(to: string, from: string): void {
    const { d } = this
    const id = this.linkId()
    if (d.chance(0.06)) {
      this.links.push(
        {
          id, kind: 'lag', from, to, edge: d.pick(['start', 'finish']), min: minutes(d.pick([0, 60])),
          max: d.chance(0.5) ? minutes(d.between(14, 40) * 1440) : null,
        }
      )
    } else this.links.push({ id, kind: 'finish', from, to, lag: minutes(d.pick([0, 0, 0, 0, 30, 600, -60])) })
  }

  private linkId = (): string => `${this.buildId}-l${this.links.length + 1}`

  private add(over: Partial<TaskSpec> & { readonly work: Work }): TaskSpec {
    const { d } = this
    const task: TaskSpec = {
      id: `${this.buildId}-t${this.tasks.length + 1}`, buildId: this.buildId, smallest: null,
      setUp: minutes(d.pick([0, 0, 10, 15])), clearUp: minutes(d.pick([0, 0, 5, 20])),
      places: this.places(), resources: [], competences: [], gate: null, dusty: false, release: null, productId: null, materials: [],
      startedAt: null, finished: null, ...over,
    }
    this.tasks.push(task)
    return task
  }

  private places = (): readonly string[] => this.home ?? this.d.pick([['shop'], ['shop'], ['tent'], ['shop', 'tent']])

  private plain(): Partial<TaskSpec> & { readonly work: Work } {
    const { d } = this
    const tool = this.home ? null : d.pick(['bandsaw', 'router', 'long-bench', 'planer', null, null, null, null, null])
    const divisible = d.chance(0.6)
    // At home there is one person.
    const hands = this.home ? [1, 1] as const : d.pick([[1, 1], [1, 2], [1, 3], [2, 2]] as const)
    const together = d.chance(0.15)
    const work: Work = together
      ? { kind: 'together', minutes: minutes(d.between(2, divisible ? 24 : 9) * 10), hands: this.home ? 1 : d.between(1, 2) }
      : { kind: 'shared', work: minutes(d.between(3, divisible ? 60 : 16) * d.pick([10, 7])), handsFrom: hands[0], handsTo: hands[1] }
    const competences = tool === 'bandsaw' || tool === 'router' ? [tool] : d.chance(0.05) ? [d.pick(COMPETENCES)] : []
    return {
      work, competences, smallest: divisible ? minutes(d.pick([20, 30, 60])) : null, dusty: d.chance(0.25),
      resources: tool === null ? [] : [{ resourceId: tool, amount: 1, until: null }],
      gate: d.chance(0.05) ? { minAir: celsius(8), maxAir: null, maxHumidity: null, dewPointMargin: null } : null,
    }
  }

  private coat(productId: string, places: readonly string[], resources: readonly ResourceNeed[]): TaskSpec {
    const { d } = this
    return this.add(
      { work: { kind: 'shared', work: minutes(d.between(3, 12) * 10), handsFrom: 1, handsTo: 2 }, productId, places, resources, smallest: null }
    )
  }

  /** Coats with windows between them, then sanding. */
  private coats(n: number): void {
    const { d } = this
    const productId = d.pick(['epoxy', 'epoxy', 'paint'])
    const places = this.places()
    let last = this.coat(productId, places, [])
    for (let i = 1; i < n; i++) {
      const next = this.coat(productId, places, [])
      const id = this.linkId()
      this.links.push({ id, kind: 'window', from: last.id, to: next.id, wash: d.chance(0.9) ? this.wash(`${id}-wash`, places) : null })
      last = next
    }
    const sanding = this.add(
      { work: { kind: 'shared', work: minutes(d.between(3, 12) * 10), handsFrom: 1, handsTo: 2 }, smallest: minutes(30), dusty: true, places }
    )
    this.links.push({ id: this.linkId(), kind: 'stage', from: last.id, to: sanding.id, stage: 'sandable' })
  }

  private wash(id: string, places: readonly string[]): Wash {
    const { d } = this
    return {
      id, work: { kind: 'shared', work: minutes(d.between(2, 8) * 10), handsFrom: 1, handsTo: 2 }, smallest: minutes(20),
      setUp: minutes(d.pick([0, 10])), clearUp: minutes(d.pick([0, 10])),
      places, resources: [], competences: [], gate: null, dusty: true, state: 'if-missed',
    }
  }

  private glueUp(): void {
    const { d } = this
    const places = this.places()
    const glued = this.coat('glue', places, [{ resourceId: 'clamps', amount: d.between(2, 10), until: 'handleable' }])
    const next = this.add({ ...this.plain(), places })
    this.links.push({ id: this.linkId(), kind: 'stage', from: glued.id, to: next.id, stage: d.pick<CureStage>(['handleable', 'sandable']) })
  }

  /** The launch waits for all that nothing else waits for. */
  gather(launchId: string): void {
    const waited = new Set(this.links.map((l) => l.from))
    for (const t of this.tasks) {
      if (t.id !== launchId && !waited.has(t.id)) this.links.push({ id: this.linkId(), kind: 'finish', from: t.id, to: launchId, lag: minutes(0) })
    }
  }

  holds(): Hold[] {
    const { d } = this
    if (this.tasks.length < 3 || this.home || !d.chance(0.5)) return []
    const last = d.chance(0.5) ? this.tasks.length - 1 : d.between(1, this.tasks.length - 1)
    const hold = {
      id: `${this.buildId}-bay`, buildId: this.buildId, resourceId: 'bay', amount: 1, fromTask: this.tasks[0]!.id, toTask: this.tasks[last]!.id,
    }
    // The end of the hold comes after its start, as in a real build.
    if (!this.links.some((l) => l.to === hold.toTask && l.from === hold.fromTask)) {
      this.links.push({ id: this.linkId(), kind: 'finish', from: hold.fromTask, to: hold.toTask, lag: minutes(0) })
    }
    return [hold]
  }

  /** The first tasks are done, the last of them lately; some coats still wet, one task part done. */
  facts(ground: Ground): void {
    const { d, tasks } = this
    if (!d.chance(0.6)) return
    const done = d.between(0, Math.floor(tasks.length * 0.7))
    const end = (i: number): Instant => instant(ground.now - (done - 1 - i) * d.between(200, 3000) - d.between(0, 300))
    for (let i = 0; i < done; i++) {
      const task = tasks[i]!
      const until = end(i)
      const start = instant(until - d.between(20, 120))
      const placeId = task.places[0]
      const found = [
        { stage: 'dustFree' as const, at: instant(until + 60) },
        { stage: 'opens' as const, at: instant(until + d.between(60, 300)) },
        ...(d.chance(0.2) ? [{ stage: 'sandable' as const, at: instant(until + d.between(300, 900)) }] : []),
      ]
      const overrides = d.chance(0.3) ? found : []
      const coat = task.productId !== null && placeId !== undefined ? { start, end: until, placeId, overrides } : null
      tasks[i] = { ...task, finished: { start, end: until, coat } }
    }
    const part = tasks[done]
    if (part && part.smallest !== null && d.chance(0.3)) tasks[done] = { ...part, startedAt: instant(ground.now - d.between(1, 5) * 1440) }
    this.links.forEach((link, i) => {
      if (link.kind !== 'window' || link.wash === null) return
      const isDone = (id: string): boolean => tasks.find((t) => t.id === id)!.finished !== null
      if (!isDone(link.from) || isDone(link.to) || !d.chance(0.4)) return
      this.links[i] = { ...link, wash: { ...link.wash, state: d.chance(0.5) ? 'missed' : { finished: instant(ground.now - d.between(0, 60)) } } }
    })
  }

  /** A person fixed a piece of a task that waits for nothing: mostly possible, sometimes not. */
  fixedPieces(ground: Ground, team: readonly string[]): FixedPiece[] {
    const { d, tasks } = this
    const free = tasks.find((t) => t.finished === null && t.work.kind === 'shared' && t.work.handsFrom === 1 &&
      t.smallest !== null && t.competences.length === 0 &&
      this.links.every((l) => l.to !== t.id || tasks.find((f) => f.id === l.from)!.finished !== null))
    if (!free || !d.chance(0.6) || free.work.kind !== 'shared') return []
    const person = ground.people.find((p) => team.includes(p.id))!
    const place = free.places[0]!
    const row = person.presence.find(
      (r) => (place.startsWith('garage') ? r.siteId === homeOf(place.slice(7)) : r.siteId === 'club') && r.end > ground.now + 60
    )
    if (!row) return []
    const length = Math.min(free.work.work, 60) + free.setUp + free.clearUp
    const underWay = row.start < ground.now
    const start = underWay ? Math.max(row.start, ground.now - 30) : row.start + d.between(0, 20)
    return [{
      taskId: free.id, start: instant(start), end: instant(start + length), people: [person.id], supervisor: null, placeId: place,
      why: underWay ? 'under-way' : d.pick(['pinned', 'frozen']),
    }]
  }
}
