import type { BuildSpec, FixedPiece, Hold, Link, MaterialNeed, TaskSpec } from '../../../core/schedule/problem.ts'
import type { CureStage } from '../../../core/cure/types.ts'
import type { Instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { offsetTable } from '../../../platform/zone.ts'
import { bayId, endOfDay, linkSpec, placesOf, taskSpec, type ShapeContext } from '../facts/core-shape.ts'
import { toDate, toInstant } from '../../../platform/times.ts'
import { dustyEnds, linkRows, loggedByTask, taskRows, type TaskRow } from './rows.ts'
import { taskNeeds } from './task-needs.ts'

export type PlanningWindow = { now: Instant; from: Instant; until: Instant }

/** All that planning must know of the club's builds; launched ones are left out. */
export type BuildsForPlanning = {
  builds: BuildSpec[]
  tasks: TaskSpec[]
  links: Link[]
  holds: Hold[]
  pins: FixedPiece[]
  /** End of the last dusty work already done in each place. */
  lastDust: Map<string, Instant>
  names: BuildNames
}
export type BuildNames = {
  builds: Map<string, string>
  tasks: Map<string, { name: string; buildId: string }>
  links: Map<string, { from: string; to: string; kind: string; stage: CureStage | null }>
}

/** Dust of earlier days has settled, whatever the place. */
const DUST_DAYS = 3

export async function loadBuildsForPlanning(db: Reader, w: PlanningWindow): Promise<BuildsForPlanning> {
  const club = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })
  const builds = await db.build.findMany({
    where: { state: { not: 'launched' } },
    select: {
      id: true, name: true, state: true, priority: true, launchTarget: true, launchTaskId: true, placeId: true,
      team: { select: { memberId: true }, where: { member: { isActive: true } }, orderBy: { memberId: 'asc' } },
    },
    orderBy: { id: 'asc' },
  })
  const ids = builds.map((b) => b.id)
  const [tasks, links, logged, places, tools] = [
    await taskRows(db, ids),
    await linkRows(db, ids),
    await loggedByTask(db, ids),
    await db.place.findMany({ where: { isActive: true }, select: { id: true, siteId: true }, orderBy: { id: 'asc' } }),
    await db.tool.findMany({ select: { id: true, competenceId: true } }),
  ]
  const zone = offsetTable(club.zone, w.from, w.until)
  const byId = new Map(tasks.map((t) => [t.id, t]))
  const c: ShapeContext = {
    zone, logged,
    placeOf: new Map(builds.map((b) => [b.id, b.placeId])),
    anywhere: places.map((p) => p.id),
    toolCompetence: new Map(tools.map((t) => [t.id, t.competenceId])),
    needs: await needsOf(db, tasks),
  }
  const holds = await db.hold.findMany({ where: { buildId: { in: ids } }, orderBy: { id: 'asc' } })
  return {
    builds: builds.map((b) => ({
      id: b.id,
      priority: b.priority,
      launchTarget: b.launchTarget === null ? null : endOfDay(zone, b.launchTarget),
      paused: b.state === 'paused',
      team: b.team.map((m) => m.memberId),
      launchTaskId: b.launchTaskId,
    })),
    tasks: tasks.map((t) => taskSpec(t, c)),
    links: links.map((l) => linkSpec(l, byId.get(l.fromId)!, byId.get(l.toId)!, c)),
    holds: holds.map((h) => ({
      id: h.id, buildId: h.buildId, resourceId: h.toolId ?? bayId(c.placeOf.get(h.buildId)!), amount: h.amount, fromTask: h.fromTaskId, toTask: h.toTaskId,
    })),
    pins: await pinsOf(db, ids, w, byId),
    lastDust: await lastDustOf(db, w, byId, c, new Map(places.map((p) => [p.id, p.siteId]))),
    names: {
      builds: new Map(builds.map((b) => [b.id, b.name])),
      tasks: new Map(tasks.map((t) => [t.id, { name: t.name, buildId: t.buildId }])),
      links: new Map(links.map((l) => [l.id, { from: l.fromId, to: l.toId, kind: l.kind, stage: l.stage }])),
    },
  }
}

/** What unfinished tasks still take from the stores: their likely amounts less what was drawn for them. */
async function needsOf(db: Reader, tasks: readonly TaskRow[]): Promise<Map<string, MaterialNeed[]>> {
  const needs = await taskNeeds(db, tasks.filter((t) => t.finishedAt === null).map((t) => t.id))
  return new Map([...needs].map(([taskId, of]) => [
    taskId, of.filter((n) => n.leftMilli > 0).map((n) => ({ materialId: n.itemId, amount: n.leftMilli, structural: n.structural })),
  ]))
}

/** Pins of unfinished tasks that are not over; people who left the club are left out, and a pin without anybody with them. */
async function pinsOf(db: Reader, buildIds: string[], w: PlanningWindow, tasks: ReadonlyMap<string, TaskRow>): Promise<FixedPiece[]> {
  const rows = await db.pin.findMany({
    where: { task: { buildId: { in: buildIds }, finishedAt: null, build: { state: 'active' } }, endsAt: { gt: toDate(w.now) } },
    orderBy: [{ startsAt: 'asc' }, { id: 'asc' }],
  })
  const here = new Set((await db.member.findMany({ where: { isActive: true }, select: { id: true } })).map((m) => m.id))
  return rows.flatMap((pin): FixedPiece[] => {
    const people = pin.people.filter((id) => here.has(id)).sort()
    if (people.length === 0 && tasks.get(pin.taskId)?.kind !== 'unattended') return []
    const supervisor = pin.supervisorId !== null && here.has(pin.supervisorId) ? pin.supervisorId : null
    return [{ taskId: pin.taskId, start: toInstant(pin.startsAt), end: toInstant(pin.endsAt), people, supervisor, placeId: pin.placeId, why: 'pinned' }]
  })
}

/** Where a log does not say the place, its dust counts in every place of that site where the task may be done. */
async function lastDustOf(
  db: Reader, w: PlanningWindow, tasks: ReadonlyMap<string, TaskRow>, c: ShapeContext, siteOf: ReadonlyMap<string, string>,
): Promise<Map<string, Instant>> {
  const last = new Map<string, Instant>()
  for (const dust of await dustyEnds(db, toDate(w.now - DUST_DAYS * 1440))) {
    const task = tasks.get(dust.taskId)
    if (!task) continue
    const end = toInstant(dust.end)
    for (const placeId of placesOf(task, c)) {
      if (dust.siteId !== null && siteOf.get(placeId) !== dust.siteId) continue
      if (end > (last.get(placeId) ?? -Infinity)) last.set(placeId, end)
    }
  }
  return last
}
