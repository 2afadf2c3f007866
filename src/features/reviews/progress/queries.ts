import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { dateColumn, isoDate, localDate, toInstant } from '../../../platform/times.ts'
import { boatView, workLeftOf, type LeftLine } from '../../builds/public.ts'
import { currentPlan, forecastOf } from '../../planning/public.ts'
import { unplannedOf } from './agreeable.ts'
import { centsAtEnd, earnedAt, earnedCents, plannedAt, weeksBehind, type EarnTask } from './earn.ts'
import type { Extra, MoneyProgress, PhaseProgress, Progress, ProgressPage, WeekPoint } from './model.ts'
import { agreedTasks, baselinesOf, spentBy, tasksNow, workedUntil } from './rows.ts'
import { weeksOf } from './weeks.ts'

export async function progressPage(db: Reader, buildId: string, now: Date): Promise<ProgressPage> {
  const build = found(await db.build.findUnique({ where: { id: buildId }, select: { id: true, name: true, state: true, launchTarget: true, _count: { select: { tasks: true } } } }))
  const [progress, forecast, plan, open] = [
    await progressOf(db, buildId, now), await forecastOf(db, buildId, now), await currentPlan(db, { buildId }),
    await db.task.findMany({ where: { buildId, finishedAt: null }, select: { id: true, name: true }, orderBy: [{ phase: { position: 'asc' } }, { position: 'asc' }, { id: 'asc' }] }),
  ]
  const extra = forecast?.catchUp.half?.extraPerWeek ?? null
  return {
    build: { id: build.id, name: build.name, state: build.state, launchTarget: build.launchTarget && isoDate(build.launchTarget) },
    progress, estimatedG: await estimatedG(db, buildId), hasTasks: build._count.tasks > 0,
    makesGood: extra === null || extra === 'not by hours' ? extra : { extraPerWeekMin: extra },
    plan: plan && { id: String(plan.id), launchAt: plan.builds.find((b) => b.buildId === buildId)?.launch ?? null, unplanned: unplannedOf(open, plan).map((t) => t.name) },
  }
}

/** How far a build is, as of a moment: by the plan agreed by then, by what was finished, ticked, worked and drawn until then. What is left is of today. */
export async function progressOf(db: Reader, buildId: string, now: Date): Promise<Progress> {
  const at = toInstant(now)
  const build = found(await db.build.findUnique({ where: { id: buildId }, select: { startedOn: true, massTargetG: true } }))
  const [baselines, stored, left, spent, workedMin] = [
    (await baselinesOf(db, buildId)).filter((b) => b.agreedAt <= at), await tasksNow(db, buildId), await workLeftOf(db, [buildId]), await spentBy(db, buildId, now), await workedUntil(db, buildId, now),
  ]
  const baseline = baselines[0] ?? null
  const agreed = baseline ? await agreedTasks(db, baseline.id, stored) : stored
  const gone = agreed.filter((t) => t.isGone && t.shareDone < 1)
  const tasks = agreed.filter((t) => !gone.includes(t))
  const totalMin = tasks.reduce((sum, t) => sum + t.minutes, 0)
  const earnedMin = Math.round(earnedAt(tasks, at))
  const share = totalMin > 0 ? earnedMin / totalMin : 0
  const extras = baseline ? extrasOf(left, new Set(agreed.map((t) => t.taskId))) : []
  const { mondays, edges } = await weeksOf(db, isoDate(build.startedOn), tasks, at)
  return {
    baseline, baselines, totalMin, earnedMin, share, workedMin, extras,
    plannedMin: baseline && Math.round(plannedAt(tasks, baseline.agreedAt, at)),
    extraMin: sum(extras.map((e) => e.leftMin)), gone: gone.map(({ name, minutes }) => ({ name, minutes })), leftMin: sum(left.map((l) => l.leftMin)),
    weeksBehind: baseline && weeksBehind(tasks, baseline.agreedAt, edges, at),
    spentCents: spent.all, money: moneyOf(agreed, baseline?.budgetCents ?? null, spent, share, at),
    shape: await shapeOf(db, buildId, tasks, totalMin, at),
    mass: { targetG: build.massTargetG, likelyG: baseline?.massG ?? null, weighedG: await weighedG(db, buildId, now) },
    series: seriesOf(tasks, baseline?.agreedAt ?? null, mondays, edges, at),
    phases: phasesOf(tasks, at),
  }
}

const sum = (numbers: readonly number[]): number => numbers.reduce((a, b) => a + b, 0)
/** The last Monday only ends the week before. */
function seriesOf(tasks: readonly EarnTask[], agreedAt: number | null, mondays: readonly string[], edges: readonly number[], at: number): WeekPoint[] {
  return mondays.slice(0, -1).map((monday, n) => {
    const end = edges[n + 1]!
    return {
      monday,
      planned: agreedAt === null ? null : Math.round(plannedAt(tasks, agreedAt, end)),
      earned: edges[n]! > at ? null : Math.round(earnedAt(tasks, Math.min(end, at))),
    }
  })
}

function phasesOf(tasks: readonly EarnTask[], at: number): PhaseProgress[] {
  const phases = new Map<string, EarnTask[]>()
  for (const t of tasks) phases.set(t.phase, [...(phases.get(t.phase) ?? []), t])
  return [...phases].map(([name, mine]) => ({ name, totalMin: sum(mine.map((t) => t.minutes)), earnedMin: Math.round(earnedAt(mine, at)) })).filter((p) => p.totalMin > 0)
}

/** What the agreed plan doesn't know. */
function extrasOf(left: readonly LeftLine[], agreed: ReadonlySet<string>): Extra[] {
  return left
    .filter((l) => l.washLinkId !== null || !agreed.has(l.taskId))
    .map(({ taskId, name, leftMin, washLinkId, isRework }) => ({ taskId, name, leftMin, why: washLinkId !== null ? 'wash' : isRework ? 'rework' : 'added' }))
}

function moneyOf(tasks: readonly EarnTask[], budget: number | null, spent: { all: number; byTask: ReadonlyMap<string, number> }, share: number, at: number): MoneyProgress | null {
  if (budget === null) return null
  return {
    budget, spent: spent.all, earned: earnedCents(tasks, budget, share, at),
    atEnd: centsAtEnd(tasks, spent.byTask, { budget, spent: spent.all, share }, at),
  }
}

/**
 * She looks like a boat when the phase is done in which she takes her bay: from there on she is set up, and no pile of panels any more.
 * A build that takes no bay says nothing of that.
 */
async function shapeOf(db: Reader, buildId: string, tasks: readonly EarnTask[], totalMin: number, at: number): Promise<Progress['shape']> {
  const hold = await db.hold.findFirst({
    where: { buildId, toolId: null }, select: { fromTask: { select: { phase: { select: { tasks: { select: { finishedAt: true } } } } } } }, orderBy: { id: 'asc' },
  })
  const ends = hold?.fromTask.phase.tasks.map((t) => (t.finishedAt === null ? Infinity : toInstant(t.finishedAt))) ?? []
  const last = Math.max(...ends)
  return ends.length === 0 || last > at || totalMin === 0 ? null : { at: last, share: earnedAt(tasks, last) / totalMin }
}

/** As she was last weighed whole by then. */
async function weighedG(db: Reader, buildId: string, now: Date): Promise<number | null> {
  const club = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })
  const row = await db.weighIn.findFirst({
    where: { buildId, isWhole: true, withdrawnAt: null, weighedOn: { lte: dateColumn(localDate(club.zone, now)) } },
    orderBy: [{ weighedOn: 'desc' }, { loggedAt: 'desc' }, { id: 'desc' }], select: { massG: true },
  })
  return row?.massG ?? null
}

/** What she comes to by her estimate as it is now; null: nothing of it weighs anything, or her measurements can't be worked with. */
async function estimatedG(db: Reader, buildId: string): Promise<number | null> {
  const view = await boatView(db, buildId)
  const kg = view.ok ? sum(view.value.lines.map((l) => l.kg.likely)) : 0
  return kg > 0 ? Math.round(kg * 1000) : null
}
