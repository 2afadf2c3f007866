/** Rows of one build, looked up with that build's id and locked. */
import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { refused, type Refusal } from '../../../platform/write.ts'
import { isUuid } from '../../../platform/request.ts'

const lockedTask = {
  include: { build: { select: { id: true, name: true, state: true, placeId: true, launchTaskId: true } }, coat: true, places: { select: { placeId: true }, orderBy: { placeId: 'asc' } } },
} satisfies Prisma.TaskDefaultArgs
export type LockedTask = Prisma.TaskGetPayload<typeof lockedTask>

/** The task, locked until the end of the transaction. */
export async function lockTask(tx: Tx, buildId: string, taskId: string): Promise<Result<LockedTask, Refusal>> {
  const gone = refused(404, 'This task is not there any more. Open the build again.')
  if (!isUuid(taskId)) return gone
  await tx.$queryRaw`select id from task where id = ${taskId}::uuid and build_id = ${buildId}::uuid for update`
  const task = await tx.task.findFirst({ where: { id: taskId, buildId }, ...lockedTask })
  return task ? ok(task) : gone
}

export async function lockLink(tx: Tx, buildId: string, linkId: string) {
  const gone = refused(404, 'This link is not there any more. Open the build again.')
  if (!isUuid(linkId)) return gone
  await tx.$queryRaw`select id from link where id = ${linkId}::uuid and build_id = ${buildId}::uuid for update`
  const link = await tx.link.findFirst({ where: { id: linkId, buildId }, include: { from: { select: { id: true, name: true } }, to: { select: { id: true, name: true } } } })
  return link ? ok(link) : gone
}

/** Names of active members, in the order asked; refuses when one is not there. */
export async function activeMembers(tx: Tx, ids: readonly string[]): Promise<Result<{ id: string; name: string }[], Refusal>> {
  const asked = [...new Set(ids)]
  const rows = asked.every(isUuid) ? await tx.member.findMany({ where: { id: { in: asked }, isActive: true }, select: { id: true, name: true } }) : []
  if (rows.length !== asked.length) return refused(422, 'One of the people chosen is not a member any more: choose again.', { fields: { for: 'Choose members of the club' } })
  return ok(asked.map((id) => rows.find((r) => r.id === id)!))
}
