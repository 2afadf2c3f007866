/** What is not certain about one build, out of the club's record. Pure. */
import { learnAttendance, learnPace, learnRework } from '../../../core/forecast/index.ts'
import type { Craft, ThreePoints, Uncertainty } from '../../../core/forecast/types.ts'
import type { Plan } from '../../../core/schedule/answer.ts'
import type { Problem } from '../../../core/schedule/problem.ts'
import { leftPoints } from './evidence.ts'
import type { Inputs } from './model.ts'
import type { Evidence } from './queries/evidence.ts'

/** Pieces of the coming weeks are kept, so that a later forecast can say what was reckoned with. */
const AHEAD = 8 * 7 * 1440

export function uncertaintyOf(problem: Problem, buildId: string, evidence: Evidence): Uncertainty {
  const own = problem.tasks.filter((t) => t.buildId === buildId)
  const left = new Map<string, ThreePoints>()
  const craft = new Map<string, Craft>()
  const phase = new Map<string, string>()
  for (const { id, finished } of own) {
    const task = evidence.tasks.get(id)
    if (!task) continue
    craft.set(id, task.craft)
    phase.set(id, task.phase)
    if (finished === null) left.set(id, leftPoints(task, task.worked))
  }
  const ids = new Set(own.map((t) => t.id))
  for (const link of problem.links) {
    if (link.kind !== 'window' || !link.wash || !ids.has(link.to)) continue
    craft.set(link.wash.id, 'sanding')
    phase.set(link.wash.id, phase.get(link.to) ?? '')
  }
  return {
    left, craft, phase, temperatureSd: evidence.temperatureSd,
    pace: learnPace(evidence.pace, buildId), attendance: learnAttendance(evidence.attendance.get(buildId) ?? []), rework: learnRework(evidence.finished),
  }
}

/** Nothing brings a date forward that is over. */
export const canCatchUp = (target: number | null, now: number): target is number => target !== null && target > now

/** What is kept of it. */
export function inputsOf(problem: Problem, plan: Plan, buildId: string, uncertainty: Uncertainty, evidence: Evidence): Inputs {
  const { pace, attendance, rework, temperatureSd } = uncertainty
  const doing = new Map<string, { setUp: number; clearUp: number }>(problem.tasks.map((t) => [t.id, t]))
  for (const l of problem.links) if (l.kind === 'window' && l.wash) doing.set(l.wash.id, l.wash)
  const soon = plan.pieces.filter((p) => p.buildId === buildId && p.people.length > 0 && p.end <= problem.now + AHEAD)
  return {
    now: problem.now, target: problem.builds.find((b) => b.id === buildId)?.launchTarget ?? null, pace, attendance, rework, temperatureSd,
    left: Object.fromEntries([...uncertainty.left].map(([id, { low, likely, high }]) => [
      id, { low: round(low), likely: round(likely), high: round(high), ...(evidence.tasks.get(id)?.mends && { mends: true as const }) },
    ])),
    done: problem.tasks.filter((t) => t.buildId === buildId && t.finished !== null).map((t) => t.id),
    planned: soon.map((p) => {
      const { setUp, clearUp } = doing.get(p.taskId) ?? { setUp: 0, clearUp: 0 }
      return [p.end, Math.max(0, p.end - p.start - setUp - clearUp) * p.people.length] as const
    }),
  }
}

const round = (n: number): number => Math.round(n * 10) / 10
