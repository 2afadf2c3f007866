import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { launchSlot } from '../diff.ts'
import type { Failed, NameBook, Slot, StoredDropped, StoredMissed, StoredUnplanned } from '../model.ts'
import type { Actor } from '../../../platform/write.ts'
import { nameBook } from './names.ts'
import { currentPlan, newestFailure } from './plans.ts'
import { pieceViews, windowViews, type PieceView, type WindowView } from './shown.ts'
import { visibleBuilds } from './visible.ts'

export type PinView = { readonly id: string; readonly taskId: string; readonly start: number; readonly end: number }

export type BuildPlan = {
  readonly names: NameBook
  readonly build: { readonly id: string; readonly name: string; readonly state: 'active' | 'paused' | 'launched'; readonly launchTarget: string | null }
  readonly pieces: readonly PieceView[]
  /** The pieces that keep the launch where it is, earliest first. */
  readonly chain: readonly PieceView[]
  readonly launch: Slot | null
  readonly lowerBound: number | null
  readonly late: number
  readonly windows: readonly WindowView[]
  readonly missed: readonly StoredMissed[]
  readonly unplanned: readonly StoredUnplanned[]
  readonly dropped: readonly StoredDropped[]
  readonly pins: readonly PinView[]
  readonly madeAt: number | null
  readonly failure: Failed | null
}

export async function buildPlan(db: Reader, member: Actor, buildId: string): Promise<BuildPlan> {
  const build = found(await db.build.findUnique({ where: { id: buildId }, select: { id: true, name: true, state: true, launchTarget: true } }))
  // Work of builds that this person may not see stays without a name.
  const seen = (await visibleBuilds(db, member)).map((b) => b.id)
  const [names, plan, failure, pins, done] = await Promise.all([
    nameBook(db, [...new Set([...seen, buildId])]),
    currentPlan(db, { buildId }),
    newestFailure(db),
    db.pin.findMany({ where: { task: { buildId, finishedAt: null } }, select: { id: true, taskId: true, startsAt: true, endsAt: true }, orderBy: [{ startsAt: 'asc' }, { id: 'asc' }] }),
    db.task.findMany({ where: { buildId, finishedAt: { not: null } }, select: { id: true } }),
  ])
  const pieces = plan ? pieceViews(plan, names) : []
  const outcome = plan?.builds.find((b) => b.buildId === buildId)
  const byId = new Map(pieces.map((p) => [p.pieceId, p]))
  const ofBuild = (taskId: string) => names.tasks.get(taskId.startsWith('wash:') ? (names.links.get(taskId.slice(5))?.to ?? '') : taskId)?.buildId === buildId
  return {
    names,
    build: { ...build, launchTarget: build.launchTarget?.toISOString().slice(0, 10) ?? null },
    pieces,
    chain: (outcome?.chain ?? []).flatMap((id) => byId.get(id) ?? []),
    launch: plan && launchSlot(plan, buildId),
    lowerBound: outcome?.lowerBound ?? null,
    late: outcome?.late ?? 0,
    windows: plan ? windowViews(plan, names, new Set(done.map((t) => t.id))).filter((w) => w.buildId === buildId) : [],
    missed: (plan?.missed ?? []).filter((m) => ofBuild(`wash:${m.linkId}`)),
    unplanned: (plan?.unplanned ?? []).filter((u) => ofBuild(u.taskId)),
    dropped: (plan?.dropped ?? []).filter((d) => ofBuild(d.taskId)),
    pins: pins.map((p) => ({ id: p.id, taskId: p.taskId, start: Math.floor(p.startsAt.getTime() / 60_000), end: Math.floor(p.endsAt.getTime() / 60_000) })),
    madeAt: plan?.madeAt ?? null,
    failure,
  }
}
