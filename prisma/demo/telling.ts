/** What the story adds to a week while the past is told: what was known of the router, what was agreed, what was not done, what was found. */
import { addDays } from '../../src/core/calendar/index.ts'
import { addSnag, makeRework, usualRework } from '../../src/features/builds/public.ts'
import { toolComes } from '../../src/features/sessions/public.ts'
import { agreeBaseline } from '../../src/features/reviews/public.ts'
import type { Db, Tx } from '../../src/platform/database.ts'
import { requestReplan } from '../../src/platform/replan.ts'
import type { Ctx } from '../../src/platform/write.ts'
import { BASELINES, NOT_DONE, ROUTER, SNAGS, type StorySnag } from './story.ts'
import { must } from './must.ts'

type As = (key: string, now: Date) => Ctx

/** In the week that begins, the router is thought to come on the Friday of such a week. */
export async function knowOfRouter(tx: Tx, ctx: Ctx, week: number, thisMonday: string): Promise<void> {
  const known = ROUTER.find((r) => week <= r.untilWeek)
  if (!known) return
  const day = addDays(thisMonday, 7 * known.arrivesInWeeks + 4)
  const arrivesOn = new Date(`${day}T00:00:00Z`)
  const { count } = await tx.tool.updateMany({ where: { name: 'Router', OR: [{ arrivesOn: null }, { arrivesOn: { not: arrivesOn } }] }, data: { arrivesOn } })
  if (count > 0) await requestReplan(tx, toolComes('Router', day), ctx)
}

export async function agree(tx: Tx, as: As, week: number, now: Date): Promise<void> {
  for (const { build, by, reason } of BASELINES.filter((b) => b.week === week)) {
    must(await agreeBaseline(tx, as(by, now), { buildId: await buildNamed(tx, build), reason }), `the plan of ${build}`)
  }
}

export async function isNotDone(db: Db, week: number, piece: { taskId: string; washLinkId: string | null }): Promise<boolean> {
  const told = NOT_DONE.filter((n) => n.week === week)
  if (told.length === 0 || piece.washLinkId !== null) return false
  const { listKey, build } = await db.task.findUniqueOrThrow({ where: { id: piece.taskId }, select: { listKey: true, build: { select: { name: true } } } })
  return told.some((n) => n.task === listKey && n.build === build.name)
}

/** Notes a snag, and makes it rework where the story says so. */
export async function tellSnag(tx: Tx, ctx: Ctx, snag: StorySnag, day: string): Promise<string> {
  const buildId = await buildNamed(tx, snag.build)
  const { id: taskId } = await tx.task.findFirstOrThrow({ where: { buildId, listKey: snag.task }, select: { id: true } })
  const before = await tx.snag.count({ where: { buildId } })
  must(await addSnag(tx, ctx, { buildId, kind: snag.kind, what: snag.what, whereAt: snag.where, bad: snag.bad, foundOn: day, taskId }), snag.what)
  const { id: snagId } = await tx.snag.findUniqueOrThrow({ where: { buildId_no: { buildId, no: before + 1 } }, select: { id: true } })
  if (snag.rework) must(await makeRework(tx, ctx, await usualRework(tx, buildId, snagId)), snag.what)
  return snagId
}

export const snagsIn = (week: number): readonly StorySnag[] => SNAGS.filter((s) => s.at[0] === week)

export const buildNamed = async (tx: Tx, name: string): Promise<string> => (await tx.build.findUniqueOrThrow({ where: { name }, select: { id: true } })).id
