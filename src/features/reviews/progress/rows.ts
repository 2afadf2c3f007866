/** Rows that progress is reckoned from. */
import type { Reader } from '../../../platform/database.ts'
import { isoDate, toInstant } from '../../../platform/times.ts'
import type { EarnTask } from './earn.ts'
import type { BaselineLine } from './model.ts'

const instantOf = (at: Date | null): number | null => (at === null ? null : toInstant(at))
/** Nothing is measured in hands where everything dries by itself. */
export const handsOnMin = (t: { kind: string; workLikelyMin: number; handsFrom: number }): number =>
  t.kind === 'unattended' ? 0 : t.workLikelyMin * (t.kind === 'together' ? t.handsFrom : 1)

const TASK = {
  id: true, name: true, kind: true, workLikelyMin: true, handsFrom: true, startedAt: true, finishedAt: true, phase: { select: { name: true } },
  steps: { select: { weight: true, tickedAt: true }, orderBy: { position: 'asc' } },
} as const

export type StoredTask = EarnTask & { readonly startedAt: number | null; readonly isDone: boolean }

/** Her tasks as they stand, measured by what is estimated of them now. */
export async function tasksNow(db: Reader, buildId: string): Promise<StoredTask[]> {
  const rows = await db.task.findMany({ where: { buildId }, select: TASK, orderBy: [{ phase: { position: 'asc' } }, { position: 'asc' }, { id: 'asc' }] })
  return rows.map((t) => ({
    taskId: t.id, name: t.name, phase: t.phase.name, minutes: handsOnMin(t), startsAt: null, endsAt: null, cents: 0, shareDone: 0, bySteps: t.steps.length > 0,
    startedAt: instantOf(t.startedAt), finishedAt: instantOf(t.finishedAt), isDone: t.finishedAt !== null, isGone: false,
    steps: t.steps.map((s) => ({ weight: s.weight, tickedAt: instantOf(s.tickedAt) })),
  }))
}

/** Tasks as they were agreed, with what came of them since; in the order of her phases, those that are gone last. */
export async function agreedTasks(db: Reader, baselineId: string, now: readonly StoredTask[]): Promise<EarnTask[]> {
  const rows = await db.baselineTask.findMany({ where: { baselineId }, orderBy: [{ startsAt: 'asc' }, { taskId: 'asc' }] })
  const order = new Map(now.map((t, n) => [t.taskId, n]))
  const known = new Map(now.map((t) => [t.taskId, t]))
  return rows
    .map((r): EarnTask => {
      const task = known.get(r.taskId)
      return {
        taskId: r.taskId, name: r.name, phase: r.phase, minutes: r.minutes, startsAt: instantOf(r.startsAt), endsAt: instantOf(r.endsAt), cents: Number(r.cents ?? 0n),
        shareDone: r.shareDone, bySteps: r.bySteps, finishedAt: task?.finishedAt ?? null, steps: task?.steps ?? [], isGone: task === undefined,
      }
    })
    .sort((a, b) => (order.get(a.taskId) ?? Infinity) - (order.get(b.taskId) ?? Infinity) || 0)
}

/** All agreed plans of a build, newest first. */
export async function baselinesOf(db: Reader, buildId: string): Promise<BaselineLine[]> {
  const rows = await db.baseline.findMany({ where: { buildId }, orderBy: { no: 'desc' } })
  const people = await db.member.findMany({ where: { id: { in: rows.map((r) => r.agreedBy) } }, select: { id: true, name: true } })
  const names = new Map(people.map((p) => [p.id, p.name]))
  return rows.map((r) => ({
    id: r.id, no: r.no, agreedAt: toInstant(r.agreedAt), by: names.get(r.agreedBy) ?? '', reason: r.reason, launchAt: instantOf(r.launchAt), targetOn: r.targetOn && isoDate(r.targetOn),
    totalMin: r.totalMin, budgetCents: r.budgetCents === null ? null : Number(r.budgetCents), unpriced: r.unpriced, massG: r.massG,
  }))
}

/** Material charged to her until then, by task; null: to none. */
export async function spentBy(db: Reader, buildId: string, at: Date): Promise<{ all: number; byTask: Map<string, number> }> {
  const rows = await db.stockEntry.groupBy({ by: ['taskId'], where: { buildId, at: { lte: at } }, _sum: { valueCents: true } })
  const cents = rows.map((r) => ({ taskId: r.taskId, cents: 0 - (r._sum.valueCents ?? 0) }))
  return { all: cents.reduce((sum, r) => sum + r.cents, 0), byTask: new Map(cents.flatMap((r) => (r.taskId === null ? [] : [[r.taskId, r.cents] as const]))) }
}

/** Minutes that people gave her until then, what was reversed left out. */
export async function workedUntil(db: Reader, buildId: string, at: Date): Promise<number> {
  const [row] = await db.$queryRaw<{ minutes: number | null }[]>`
    select sum(w.elapsed_min * p.n)::int as minutes
    from work_log w cross join lateral (select count(*) as n from work_log_person q where q.work_log_id = w.id) p
    where w.build_id = ${buildId}::uuid and w.started_at < ${at} and w.reverses_id is null and not exists (select 1 from work_log r where r.reverses_id = w.id)`
  return row?.minutes ?? 0
}
