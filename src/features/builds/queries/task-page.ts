import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { memberNames } from '../../members/public.ts'
import { localDate, toInstant } from '../../../platform/times.ts'
import { shortestApplication } from '../facts/work-left.ts'
import { snagsOfTask } from '../snags/queries/snag-page.ts'
import { buildHead } from './build-page.ts'
import { storesOfTask } from './draw-page.ts'
import { taskStates } from './task-states.ts'

const NOBODY = 'somebody who left'

/** One task with all that is known of it. */
export async function taskPage(db: Reader, buildId: string, taskId: string, now: Date) {
  const build = await buildHead(db, buildId)
  const t = found(await db.task.findFirst({
    where: { id: taskId, buildId },
    include: {
      phase: { select: { name: true } },
      product: { select: { id: true, name: true, hazard: true } },
      places: { select: { place: { select: { id: true, name: true } } }, orderBy: { placeId: 'asc' } },
      tools: { select: { count: true, heldUntil: true, tool: { select: { id: true, name: true, competence: { select: { name: true } } } } }, orderBy: { toolId: 'asc' } },
      competences: { select: { competenceId: true } },
      materials: { orderBy: [{ name: 'asc' }, { id: 'asc' }] },
      steps: { orderBy: [{ position: 'asc' }, { id: 'asc' }] },
      linksTo: { include: { from: { select: { id: true, name: true } } }, orderBy: { id: 'asc' } },
      linksFrom: { include: { to: { select: { id: true, name: true } } }, orderBy: { id: 'asc' } },
      coat: { include: { product: { select: { name: true, hazard: true } }, place: { select: { name: true } }, overrides: { orderBy: [{ at: 'asc' }, { id: 'asc' }] } } },
      pins: { orderBy: [{ startsAt: 'asc' }, { id: 'asc' }] },
      workLogs: { include: { people: true, session: { select: { date: true, title: true } } }, orderBy: [{ startedAt: 'desc' }, { loggedAt: 'desc' }, { id: 'asc' }] },
    },
  }))
  const state = found((await taskStates(db, [buildId], now)).get(taskId))
  const [names, members, tools, places, products, competences] = [
    await memberNames(db),
    await db.member.findMany({ where: { isActive: true }, select: { id: true, name: true, isMinor: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
    await db.tool.findMany({ select: { id: true, name: true, isActive: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
    await db.place.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
    await db.cureProduct.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] }),
    await db.competence.findMany({ where: { id: { in: t.competences.map((c) => c.competenceId) } }, select: { name: true }, orderBy: { name: 'asc' } }),
  ]
  const tasks = await db.task.findMany({ where: { buildId }, select: { id: true, name: true, productId: true, phase: { select: { name: true } } }, orderBy: [{ position: 'asc' }, { id: 'asc' }] })
  const who = (id: string | null) => (id === null ? null : (names.get(id) ?? NOBODY))
  const { zone } = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })
  const reversed = new Map(t.workLogs.flatMap((w) => (w.reversesId === null ? [] : [[w.reversesId, w] as const])))
  return {
    snags: await snagsOfTask(db, taskId),
    stores: await storesOfTask(db, taskId, localDate(zone, now)),
    build, state, members, tools, places, products, tasks,
    task: {
      id: t.id, name: t.name, note: t.note, caution: t.caution, kind: t.kind, phase: t.phase.name, version: t.version, portable: t.portable, dusty: t.dusty,
      workLowMin: t.workLowMin, workLikelyMin: t.workLikelyMin, workHighMin: t.workHighMin, handsFrom: t.handsFrom, handsTo: t.handsTo, smallestMin: t.smallestMin,
      setUpMin: t.setUpMin, clearUpMin: t.clearUpMin, minAir: t.minAir, maxAir: t.maxAir, maxHumidity: t.maxHumidity, dewPointMargin: t.dewPointMargin,
      releaseOn: t.releaseOn?.toISOString().slice(0, 10) ?? null, statedLeftMin: t.statedLeftMin, isFinished: t.finishedAt !== null, finishedBy: who(t.finishedBy),
      product: t.product, places: t.places.map((p) => p.place), materials: t.materials, competences: competences.map((c) => c.name), tookMin: shortestApplication(t),
      tools: t.tools.map((u) => ({ name: u.tool.name, count: u.count, heldUntil: u.heldUntil, competence: u.tool.competence?.name ?? null })),
      isLaunch: build.launchTaskId === t.id,
    },
    steps: t.steps.map((s) => ({ id: s.id, text: s.text, caution: s.caution, tickedAt: s.tickedAt, tickedBy: who(s.tickedBy) })),
    coat: t.coat && {
      startedAt: toInstant(t.coat.startedAt), endedAt: toInstant(t.coat.endedAt), version: t.coat.version, note: t.coat.note, place: t.coat.place.name, placeId: t.coat.placeId,
      product: t.coat.product.name, productId: t.coat.productId, loggedBy: who(t.coat.loggedBy),
      findings: t.coat.overrides.map((o) => ({ stage: o.stage, at: toInstant(o.at), computedAt: o.computedAt === null ? null : toInstant(o.computedAt), how: o.how, by: who(o.memberId) })),
    },
    before: t.linksTo.map(({ from, ...l }) => ({ ...l, other: from })),
    after: t.linksFrom.map(({ to, ...l }) => ({ ...l, other: to })),
    pins: t.pins.map((p) => ({
      id: p.id, start: toInstant(p.startsAt), end: toInstant(p.endsAt), people: p.people.map((id) => who(id)!), place: places.find((x) => x.id === p.placeId)?.name ?? null, by: who(p.pinnedBy),
    })),
    logs: t.workLogs.filter((w) => w.reversesId === null).map((w) => ({
      id: w.id, start: toInstant(w.startedAt), elapsedMin: w.elapsedMin, people: w.people.map((p) => who(p.memberId)!), note: w.note, by: who(w.loggedBy), isWash: w.linkId !== null,
      reversed: reversed.has(w.id) ? { by: who(reversed.get(w.id)!.loggedBy), note: reversed.get(w.id)!.note } : null,
    })),
  }
}
export type TaskPageModel = Awaited<ReturnType<typeof taskPage>>
