import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { localDate, toDate, toInstant } from '../../../platform/times.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { estimateOf } from '../../builds/public.ts'
import { currentPlan, newestFailure, openRequests } from '../../planning/public.ts'
import { unplannedOf } from './agreeable.ts'
import { shareAt } from './earn.ts'
import { materialBudget, type MaterialBudget } from './cents.ts'
import { tasksNow, type StoredTask } from './rows.ts'

export type AgreeBaseline = {
  readonly buildId: string
  /** Why it is agreed anew; the first needs none. */
  readonly reason: string
  /** Tasks that can't be planned yet are agreed all the same: they count as to be done by the end of the rest. */
  readonly withUnplanned?: boolean
  /** The plan that the person saw; left out: whichever is in force. */
  readonly planId?: string | null
}

type Span = { readonly start: number; readonly end: number }

/** The work plan as it stands becomes the agreed one, that progress is measured against; those before are kept as they were. */
export async function agreeBaseline(tx: Tx, ctx: Ctx, input: AgreeBaseline): Promise<Result<Done, Refusal>> {
  const { buildId } = input
  await tx.$queryRaw`select id from build where id = ${buildId}::uuid for update`
  const build = await tx.build.findUnique({ where: { id: buildId }, select: { name: true, state: true, launchTarget: true, massTargetG: true } })
  if (!build) return refused(404, 'There is no such build.')
  if (build.state === 'launched') return refused(422, 'She is launched: there is nothing left to agree on. What was agreed before is kept.')
  if (build.state === 'paused') return refused(422, 'She is paused, so the plan leaves her out. Let her go on first; then agree the plan that comes of it.')
  const tasks = await tasksNow(tx, buildId)
  const totalMin = tasks.reduce((sum, t) => sum + t.minutes, 0)
  if (tasks.length === 0) return refused(422, 'She has no tasks yet, so there is no plan to agree on. Add tasks, or start her from a standard job list.')
  if (totalMin === 0) return refused(422, 'Nothing of hers takes hands-on work yet: everything only waits. Say how long the tasks take first.')
  const earlier = await tx.baseline.findFirst({ where: { buildId }, orderBy: { no: 'desc' }, select: { no: true } })
  const reason = input.reason.trim()
  if (earlier && reason === '') return refused(422, 'Why is the plan agreed anew?', { fields: { reason: 'Say in a few words why: it is kept beside the plan' } })

  const plan = await currentPlan(tx, { buildId })
  const stale = await staleness(tx, plan, input.planId ?? null)
  if (stale) return stale
  const planned = plan!
  const unplanned = unplannedOf(tasks.filter((t) => !t.isDone).map((t) => ({ id: t.taskId, name: t.name })), planned)
  if (unplanned.length > 0 && input.withUnplanned !== true) {
    return refused(422, `${listed(unplanned.map((t) => t.name))} can’t be planned yet.`, {
      fields: { withUnplanned: 'See to what keeps them (her plan says what), or tick this: they then count as due when the rest is done, and there is no launch date' },
    })
  }
  const budget = await budgetOf(tx, buildId, localDate(ctx.clubZone, ctx.now))
  const spans = spansOf(planned.pieces)
  const launchAt = planned.builds.find((b) => b.buildId === buildId)?.launch ?? null
  const no = (earlier?.no ?? 0) + 1
  const row = await tx.baseline.create({
    data: {
      buildId, no, agreedAt: ctx.now, agreedBy: ctx.member.id, reason, planId: planned.id, launchAt: launchAt === null ? null : toDate(launchAt), targetOn: build.launchTarget, totalMin,
      budgetCents: budget.cents > 0 ? BigInt(budget.cents) : null, unpriced: [...budget.unpriced], massG: budget.massG > 0 ? budget.massG : null,
      tasks: { create: tasks.map((t) => agreedTask(t, spans.get(t.taskId) ?? null, budget, toInstant(ctx.now))) },
    },
    select: { id: true },
  })
  await audit(tx, ctx, {
    what: no === 1 ? 'plan agreed' : 'plan agreed anew', entity: 'baseline', entityId: row.id, buildId,
    after: { no, reason, planId: planned.id, launchAt: launchAt === null ? null : toDate(launchAt), totalMin, budgetCents: budget.cents, unpriced: budget.unpriced, massG: budget.massG, massTargetG: build.massTargetG, unplanned: unplanned.map((t) => t.name) },
  })
  return ok({ location: `/builds/${buildId}/progress`, flash: flashOf(no, totalMin, budget) })
}

type StoredPlan = Awaited<ReturnType<typeof currentPlan>>

/** Nobody agrees to a plan that is no longer the answer to what is known. */
async function staleness(tx: Tx, plan: StoredPlan, seen: string | null) {
  if ((await newestFailure(tx)) !== null) return refused(422, 'The last change could not be planned, so the plan is not the one to agree on. The noticeboard says what is in the way.')
  if ((await openRequests(tx)).length > 0) return refused(422, 'The plan is just being worked out anew, for something changed. Look at it in a moment, then agree.')
  if (plan === null) return refused(422, 'There is no work plan yet. It makes itself once there are sessions, people and tasks.')
  if (seen !== null && seen !== String(plan.id)) return refused(409, 'The plan has changed since this page was shown. Look at the dates again, then agree.')
  return null
}

function spansOf(pieces: readonly { taskId: string; start: number; end: number }[]): Map<string, Span> {
  const spans = new Map<string, Span>()
  for (const { taskId, start, end } of pieces) {
    const of = spans.get(taskId)
    spans.set(taskId, { start: Math.min(start, of?.start ?? start), end: Math.max(end, of?.end ?? end) })
  }
  return spans
}

/** A finished one by when it was done; another by the plan, however long ago somebody began it. */
function agreedTask(t: StoredTask, planned: Span | null, budget: MaterialBudget, now: number) {
  const done = t.finishedAt === null ? null : { start: Math.min(t.startedAt ?? t.finishedAt, t.finishedAt), end: t.finishedAt }
  const span = done ?? planned
  return {
    taskId: t.taskId, name: t.name, phase: t.phase, minutes: t.minutes, startsAt: span && toDate(span.start), endsAt: span && toDate(span.end),
    cents: BigInt(budget.byTask.get(t.taskId) ?? 0), shareDone: shareAt(t, now), bySteps: t.bySteps,
  }
}

async function budgetOf(tx: Tx, buildId: string, today: string): Promise<MaterialBudget> {
  const estimate = await estimateOf(tx, buildId, undefined, today)
  // Measurements that can't be worked with give no budget; the estimate's own page says what is wrong with them.
  if (!estimate.ok) return { cents: 0, byTask: new Map(), unpriced: [], massG: 0 }
  const materials = await tx.taskMaterial.findMany({ where: { task: { buildId } }, select: { taskId: true, name: true, unit: true, likely: true }, orderBy: { id: 'asc' } })
  return materialBudget(estimate.value, materials)
}

const MOST_NAMED = 4
const listed = (names: readonly string[]): string => {
  const shown = names.slice(0, MOST_NAMED).map((n) => `“${n}”`)
  return names.length > MOST_NAMED ? `${shown.join(', ')} and ${names.length - MOST_NAMED} more` : shown.length < 2 ? shown.join('') : `${shown.slice(0, -1).join(', ')} and ${shown.at(-1)}`
}

function flashOf(no: number, totalMin: number, { cents, unpriced }: MaterialBudget): string {
  const what = no === 1 ? 'The plan is agreed' : `The plan is agreed anew (no. ${no})`
  const money = cents === 0 ? ' No material had a price, so there is no budget.' : unpriced.length === 0 ? '' : ` ${unpriced.length === 1 ? '1 material has' : `${unpriced.length} materials have`} no price and ${unpriced.length === 1 ? 'is' : 'are'} not in the budget.`
  return `${what}: ${Math.round(totalMin / 60)} h of work. Progress is measured against it from now on.${money}`
}
