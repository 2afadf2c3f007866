/** Rows of a work plan as the planner would have kept it, and builds with tasks to go with them. */
import type { Prisma } from '../../../src/platform/generated/client.ts'
import type { TestClub } from '../../support/app.ts'

export type PieceRow = { taskId: string; start: string; end: string } & Partial<Omit<Prisma.PlanPieceCreateManyInput, 'taskId' | 'startsAt' | 'endsAt'>>

export function planRows(club: TestClub) {
  const { db } = club
  let count = 0
  /** Starts and ends ISO 8601 with their offset from UTC. */
  const plan = async (buildId: string, pieces: readonly PieceRow[], over: Partial<Prisma.PlanUncheckedCreateInput> & { launchAt?: Date | null } = {}) => {
    const { launchAt = null, ...rest } = over
    const now = club.clock.now()
    const row = await db.plan.create({
      data: {
        madeAt: now, fromAt: now, coversRequest: 0n, causes: [], schedules: 1, tookMs: 1, status: 'feasible', score: {}, unplanned: [], dropped: [], missed: [], met: [], moves: [],
        builds: { create: [{ buildId, launchAt, lowerBound: null, lateMin: 0, chain: [] }] }, ...rest,
      },
    })
    await db.planPiece.createMany({
      data: pieces.map(({ start, end, ...p }, n) => ({
        planId: row.id, pieceId: `${p.taskId}/${n}`, buildId, startsAt: new Date(start), endsAt: new Date(end), people: [], projected: false, binding: { kind: 'now' }, floatMin: 0, freeFloatMin: 0, ...p,
      })),
    })
    return row
  }
  /** A build with one phase; `task` adds to it. */
  const build = async (over: Partial<Prisma.BuildUncheckedCreateInput> = {}, team: string[] = []) => {
    const row = await club.make.build(over, team)
    const phase = await club.make.phase(row.id, { name: 'Hull' })
    const task = (name: string, likely: number, more: Partial<Prisma.TaskUncheckedCreateInput> = {}) =>
      db.task.create({
        data: {
          buildId: row.id, phaseId: phase.id, position: ++count, name, kind: 'shared', workLowMin: likely, workLikelyMin: likely, workHighMin: likely, handsFrom: 1, handsTo: 4, smallestMin: 30, ...more,
        },
      })
    const steps = (taskId: string, weights: readonly number[]) =>
      db.step.createMany({ data: weights.map((weight, position) => ({ taskId, position, weight, text: `Step ${position + 1}` })) })
    return { ...row, phase, task, steps }
  }
  return { plan, build }
}
