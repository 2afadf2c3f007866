import type { Reader } from '../../../platform/database.ts'

export async function holdsPage(db: Reader, buildId: string) {
  const holds = await db.hold.findMany({
    where: { buildId },
    select: { id: true, amount: true, tool: { select: { name: true } }, fromTask: { select: { id: true, name: true, startedAt: true, finishedAt: true } }, toTask: { select: { id: true, name: true, finishedAt: true } } },
    orderBy: [{ fromTask: { position: 'asc' } }, { id: 'asc' }],
  })
  const tools = await db.tool.findMany({ where: { isActive: true }, select: { id: true, name: true, count: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  const tasks = await db.task.findMany({ where: { buildId }, select: { id: true, name: true, phase: { select: { name: true } } }, orderBy: [{ position: 'asc' }, { id: 'asc' }] })
  return {
    tools, tasks,
    holds: holds.map((h) => ({
      id: h.id, amount: h.amount, what: h.tool?.name ?? 'A bay where she stands', from: h.fromTask, to: h.toTask,
      isHeld: (h.fromTask.startedAt !== null || h.fromTask.finishedAt !== null) && h.toTask.finishedAt === null, isOver: h.toTask.finishedAt !== null,
    })),
  }
}
export type HoldsModel = Awaited<ReturnType<typeof holdsPage>>
