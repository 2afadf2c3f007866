import type { Binding, Fault, Plan, UnplannedReason } from '../../../../core/schedule/answer.ts'
import type { Problem } from '../../../../core/schedule/problem.ts'
import { instant, minutes } from '../../../../core/units/index.ts'
import type { Tx } from '../../../../platform/database.ts'
import type { CatchUps } from '../model.ts'
import { washId } from '../../model.ts'
import { SHOWN, currentPlan } from '../../queries/plans.ts'
import { loadProblem } from '../../queries/problem.ts'
import { sane } from '../../sane.ts'
import { toDate, toInstant } from '../../times.ts'

/** The plan that pages show with the question it answers, as a forecast takes them. */
export type Planned = { readonly planId: bigint; readonly problem: Problem; readonly plan: Plan }

/** As it stands in the database; null: there is no plan yet. The question is read anew as of the plan's moment. */
export async function plannedNow(tx: Tx): Promise<Planned | null> {
  const stored = await currentPlan(tx)
  if (!stored) return null
  const { problem } = await loadProblem(tx, toDate(stored.fromAt))
  const row = await tx.plan.findUniqueOrThrow({ where: { id: stored.id }, select: { status: true, schedules: true, score: true } })
  const needs = await tx.planNeed.findMany({ where: { planId: stored.id }, orderBy: [{ taskId: 'asc' }, { itemId: 'asc' }, { structural: 'desc' }] })
  const plan: Plan = {
    pieces: stored.pieces.map((p) => ({
      id: p.pieceId, taskId: p.taskId, buildId: p.buildId, start: instant(p.start), end: instant(p.end), people: p.people, supervisor: p.supervisor, placeId: p.placeId,
      fixed: p.fixed, projected: p.projected, binding: p.binding as Binding, float: minutes(p.float), freeFloat: minutes(p.freeFloat),
    })),
    builds: stored.builds.map((b) => ({ buildId: b.buildId, launch: maybe(b.launch), lowerBound: maybe(b.lowerBound), late: minutes(b.late), chain: b.chain })),
    missed: stored.missed.map((m) => ({ linkId: m.linkId, opens: maybe(m.opens), closes: maybe(m.closes), why: m.why, washTaskId: washId(m.linkId) })),
    met: stored.met.map((m) => ({ linkId: m.linkId, opens: instant(m.opens), closes: maybe(m.closes) })),
    unplanned: stored.unplanned.map((u) => ({ taskId: u.taskId, reason: u.reason as UnplannedReason })),
    dropped: stored.dropped.map((d) => ({ taskId: d.taskId, start: instant(d.start), why: d.why, fault: d.fault as Fault })),
    needs: needs.map((n) => ({
      taskId: n.taskId, materialId: n.itemId, amount: Number(n.amountMilli), structural: n.structural, wanted: n.wantedAt && toInstant(n.wantedAt), covered: toInstant(n.coveredAt),
      short: Number(n.shortMilli), shortArrives: n.shortMilli > 0n ? toInstant(n.coveredAt) : null,
    })),
    score: row.score as unknown as Plan['score'], status: row.status as Plan['status'], schedules: row.schedules,
  }
  return { planId: stored.id, problem: sane(problem), plan }
}

const maybe = (t: number | null) => (t === null ? null : instant(t))

/** Whether builds that have a launch in the plan that pages show lack their forecast, or what would bring them forward to their target. */
export async function lacksForecast(tx: Tx): Promise<boolean> {
  const plan = await tx.plan.findFirst({ where: { status: { in: SHOWN } }, orderBy: { id: 'desc' }, select: { id: true, builds: { where: { launchAt: { not: null }, build: { state: 'active' } }, select: { buildId: true } } } })
  if (!plan || plan.builds.length === 0) return false
  const made = await tx.forecast.findMany({ where: { planId: plan.id }, select: { targetOn: true, madeAt: true, catchUp: true } })
  return made.length < plan.builds.length || made.some((f) => f.targetOn !== null && f.targetOn > f.madeAt && (f.catchUp as CatchUps).half === null)
}
