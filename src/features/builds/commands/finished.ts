import type { Tx } from '../../../platform/database.ts'
import { audit, type Ctx } from '../../../platform/write.ts'
import { followRework } from '../snags/commands/snags.ts'
import { changed } from './changed.ts'

type Finishable = { id: string; buildId: string; name: string; startedAt: Date | null; build: { name: string; launchTaskId: string | null } }

/**
 * The row itself; with the launch, the build is launched; with rework, its snag is mended.
 * @returns what to say of that, or nothing
 */
export async function setFinished(tx: Tx, ctx: Ctx, task: Finishable, at: Date, startedAt = task.startedAt): Promise<string> {
  const start = startedAt === null || startedAt > at ? at : startedAt
  await tx.task.update({ where: { id: task.id }, data: { finishedAt: at, finishedBy: ctx.member.id, startedAt: start, statedLeftMin: null, statedLeftAt: null } })
  if (task.build.launchTaskId === task.id) await tx.build.update({ where: { id: task.buildId }, data: { state: 'launched', version: { increment: 1 } } })
  const mended = await followRework(tx, ctx, task, at)
  await audit(tx, ctx, { what: 'finished', entity: 'task', entityId: task.id, buildId: task.buildId, after: { finishedAt: at } })
  await changed(tx, ctx, task.buildId, `“${task.name}” finished (${task.build.name})`)
  return mended === null ? '' : ` Snag ${mended} is mended.`
}
