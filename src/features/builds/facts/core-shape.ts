/** From rows of builds to what the planner asks for. Pure. */
import { addDays, localToInstant, type OffsetTable } from '../../../core/calendar/index.ts'
import type { ConditionGate, CureStage, StageOverride } from '../../../core/cure/types.ts'
import type { Finished, Link, MaterialNeed, ResourceNeed, TaskSpec, Wash, Work } from '../../../core/schedule/problem.ts'
import { celsius, minutes, type Instant } from '../../../core/units/index.ts'
import type { LinkRow, TaskRow } from '../queries/rows.ts'
import { isoDate, toInstant } from '../../../platform/times.ts'
import { nothingLogged, washLeft, workLeft, type Logged } from './work-left.ts'

export const bayId = (placeId: string): string => `bay:${placeId}`
export const washTaskId = (linkId: string): string => `wash:${linkId}`

/** Wash-and-sand work is done in pieces of half an hour or more, by one or two. */
const WASH = { smallest: 30, setUp: 5, clearUp: 10, handsTo: 2 } as const

export type ShapeContext = {
  zone: OffsetTable
  /** Where the boat of a build stands. */
  placeOf: ReadonlyMap<string, string>
  /** All places in use, for work that may be done anywhere. */
  anywhere: readonly string[]
  logged: ReadonlyMap<string, Logged>
  /** Competence that each tool asks for. */
  toolCompetence: ReadonlyMap<string, string | null>
  /** What each unfinished task still takes from the stores. */
  needs: ReadonlyMap<string, readonly MaterialNeed[]>
}

const startOfDay = (zone: OffsetTable, day: Date): Instant => localToInstant(zone, { date: isoDate(day), time: '00:00' })
/** A launch target is met until the end of its day. */
export const endOfDay = (zone: OffsetTable, day: Date): Instant => localToInstant(zone, { date: addDays(isoDate(day), 1), time: '00:00' })

const temp = (n: number | null) => (n === null ? null : celsius(n))

function gateOf(task: TaskRow): ConditionGate | null {
  const { minAir, maxAir, maxHumidity, dewPointMargin } = task
  if (minAir === null && maxAir === null && maxHumidity === null && dewPointMargin === null) return null
  return { minAir: temp(minAir), maxAir: temp(maxAir), maxHumidity, dewPointMargin }
}

export function placesOf(task: Pick<TaskRow, 'buildId' | 'kind' | 'portable' | 'places'>, c: Pick<ShapeContext, 'placeOf' | 'anywhere'>): string[] {
  if (task.places.length > 0) return task.places.map((p) => p.placeId)
  if (task.kind === 'unattended') return []
  if (task.portable && c.anywhere.length > 0) return [...c.anywhere]
  return [c.placeOf.get(task.buildId)!]
}

function competencesOf(task: TaskRow): string[] {
  const asked = task.competences.map((c) => c.competenceId)
  const byTools = task.tools.flatMap((t) => (t.tool.competenceId === null ? [] : [t.tool.competenceId]))
  return [...new Set([...asked, ...byTools])].sort()
}

function workOf(task: TaskRow, left: number): Work {
  if (task.kind === 'unattended') return { kind: 'unattended', minutes: minutes(left) }
  if (task.kind === 'together') return { kind: 'together', minutes: minutes(left), hands: task.handsFrom }
  return { kind: 'shared', work: minutes(left), handsFrom: task.handsFrom, handsTo: task.handsTo }
}

/** The latest finding of each stage counts, as it was logged. */
export function overridesOf(found: readonly { stage: CureStage; at: Date; loggedAt: Date }[]): StageOverride[] {
  const latest = new Map<CureStage, StageOverride>()
  for (const f of found) latest.set(f.stage, { stage: f.stage, at: toInstant(f.at) })
  return [...latest.values()]
}

function finishedOf(task: TaskRow, c: ShapeContext): Finished | null {
  if (task.finishedAt === null) return null
  const end = toInstant(task.finishedAt)
  const start = task.startedAt === null ? end : toInstant(task.startedAt)
  const { coat } = task
  // A coat that somebody ticked off without its time went on when the task was finished.
  if (coat === null) {
    const placeId = task.places[0]?.placeId ?? c.placeOf.get(task.buildId)!
    return { start, end, coat: task.productId === null ? null : { start, end, placeId, overrides: [] } }
  }
  return { start, end, coat: { start: toInstant(coat.startedAt), end: toInstant(coat.endedAt), placeId: coat.placeId, overrides: overridesOf(coat.overrides) } }
}

export function taskSpec(task: TaskRow, c: ShapeContext): TaskSpec {
  // What really went on is what cures.
  const productId = task.coat?.productId ?? task.productId
  const unattended = task.kind === 'unattended'
  const resources: ResourceNeed[] = task.tools.map((t) => ({ resourceId: t.toolId, amount: t.count, until: productId === null ? null : t.heldUntil }))
  return {
    id: task.id,
    buildId: task.buildId,
    work: workOf(task, workLeft(task, c.logged.get(task.id) ?? nothingLogged)),
    smallest: productId !== null || unattended || task.smallestMin === null ? null : minutes(task.smallestMin),
    setUp: minutes(unattended ? 0 : task.setUpMin),
    clearUp: minutes(unattended ? 0 : task.clearUpMin),
    places: placesOf(task, c),
    resources,
    competences: competencesOf(task),
    gate: gateOf(task),
    dusty: task.dusty,
    release: task.releaseOn === null ? null : startOfDay(c.zone, task.releaseOn),
    productId,
    materials: task.finishedAt === null ? (c.needs.get(task.id) ?? []) : [],
    startedAt: task.startedAt === null ? null : toInstant(task.startedAt),
    finished: finishedOf(task, c),
  }
}

function washOf(link: LinkRow, to: TaskRow, c: ShapeContext): Wash | null {
  if (link.washMin === null) return null
  const tools = link.washToolIds.filter((id) => c.toolCompetence.has(id))
  const places = placesOf(to, c)
  return {
    id: washTaskId(link.id),
    work: { kind: 'shared', work: minutes(washLeft(link)), handsFrom: 1, handsTo: WASH.handsTo },
    smallest: minutes(WASH.smallest),
    setUp: minutes(WASH.setUp),
    clearUp: minutes(WASH.clearUp),
    places: places.length > 0 ? places : [c.placeOf.get(to.buildId)!],
    resources: tools.map((resourceId) => ({ resourceId, amount: 1, until: null })),
    competences: [...new Set(tools.flatMap((id) => c.toolCompetence.get(id) ?? []))].sort(),
    gate: null,
    dusty: true,
    state: washState(link, to),
  }
}

/** Once the next coat is on, nothing can be washed before it any more: a window that was missed without a word stays so, and no work is planned for it. */
function washState(link: LinkRow, to: TaskRow): Wash['state'] {
  if (link.washDoneAt !== null) return { finished: toInstant(link.washDoneAt) }
  if (link.missedAt === null) return 'if-missed'
  return to.finishedAt === null ? 'missed' : { finished: toInstant(to.startedAt ?? to.finishedAt) }
}

/** A link whose coat lost its product asks for the finish only: nothing is left that could cure. */
export function linkSpec(link: LinkRow, from: TaskRow, to: TaskRow, c: ShapeContext): Link {
  const ends = { id: link.id, from: link.fromId, to: link.toId }
  const isCoat = (t: TaskRow) => (t.coat?.productId ?? t.productId) !== null
  if (link.kind === 'lag') {
    const edge = link.edge === 'start' ? 'start' : 'finish'
    return { ...ends, kind: 'lag', edge, min: link.minLagMin === null ? null : minutes(link.minLagMin), max: link.maxLagMin === null ? null : minutes(link.maxLagMin) }
  }
  if (link.kind === 'stage' && link.stage !== null && isCoat(from)) return { ...ends, kind: 'stage', stage: link.stage }
  if (link.kind === 'window' && isCoat(from) && isCoat(to)) return { ...ends, kind: 'window', wash: washOf(link, to, c) }
  return { ...ends, kind: 'finish', lag: minutes(link.kind === 'finish' ? link.lagMin : 0) }
}
