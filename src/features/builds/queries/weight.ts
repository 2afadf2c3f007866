import type { Spread } from '../../../core/estimate/types.ts'
import type { Reader } from '../../../platform/database.ts'
import { isoDate, localDate, localMoment } from '../../../platform/times.ts'
import { against, budgetOf, chartDays, fromHereOn, massDone, type Against, type Budget, type Taking } from '../facts/weight.ts'
import { boatView } from './boat.ts'
import { buildHead } from './build-page.ts'

/** `expected` and what follows only for the whole boat. */
export type WeighInLine = {
  id: string; day: string; massG: number; what: string; isWhole: boolean; note: string; by: string; isWithdrawn: boolean
  expected: Spread | null; against: Against | null
}

/** Shares of lines that her tasks take. */
async function takingsOf(db: Reader, buildId: string): Promise<Taking[]> {
  const rows = await db.taskMaterial.findMany({
    where: { task: { buildId }, line: { not: null } },
    select: { line: true, likely: true, task: { select: { finishedAt: true } } },
    orderBy: { id: 'asc' },
  })
  return rows.flatMap(({ line, likely, task }) => (line === null ? [] : [{ line, amount: likely, finishedAt: task.finishedAt }]))
}

/** What she should weigh, by her estimate, and what she weighed. `budget` null: her measurements can't be worked with (`fields` says why). */
export async function weightPage(db: Reader, buildId: string, zone: string, now: Date) {
  const build = await buildHead(db, buildId)
  const row = await db.build.findUniqueOrThrow({ where: { id: buildId }, select: { massTargetG: true } })
  const view = await boatView(db, buildId)
  const takings = await takingsOf(db, buildId)
  const weighed = await db.weighIn.findMany({ where: { buildId }, orderBy: [{ weighedOn: 'asc' }, { loggedAt: 'asc' }, { id: 'asc' }] })
  const people = new Map((await db.member.findMany({ where: { id: { in: weighed.map((w) => w.loggedBy) } }, select: { id: true, name: true } })).map((m) => [m.id, m.name]))
  const today = localDate(zone, now)
  const endOf = (day: string): Date => (day === today ? now : localMoment(zone, day, '24:00'))
  const lines = view.ok ? view.value.lines : []
  const budget: Budget | null = view.ok ? budgetOf(lines, takings, now, view.value.boat) : null
  const weighIns = weighed.map((w): WeighInLine => {
    const day = isoDate(w.weighedOn)
    const expected = w.isWhole && budget ? massDone(lines, takings, endOf(day)) : null
    return {
      id: w.id, day, massG: w.massG, what: w.what, isWhole: w.isWhole, note: w.note, by: people.get(w.loggedBy) ?? '', isWithdrawn: w.withdrawnAt !== null,
      expected, against: expected && against(w.massG / 1000, expected),
    }
  })
  const counted = weighIns.filter((w) => w.isWhole && !w.isWithdrawn)
  const latest = counted.at(-1) ?? null
  const days = chartDays(build.startedOn, today, counted.map((w) => w.day))
  return {
    build, targetG: row.massTargetG, budget, fields: view.ok ? {} : view.refusal, weighIns, latest, today,
    /** From the latest weighing on, what she will weigh. */
    ahead: latest?.expected && budget ? fromHereOn(latest.massG / 1000, { all: budget.all, done: latest.expected }) : null,
    chart: budget === null ? [] : days.map((day) => ({ day, expected: massDone(lines, takings, endOf(day)), weighedKg: kgOn(counted, day) })),
    begun: await db.task.count({ where: { buildId, startedAt: { not: null }, finishedAt: null, materials: { some: { line: { not: null } } } } }),
  }
}
export type WeightPageModel = Awaited<ReturnType<typeof weightPage>>

const kgOn = (weighed: readonly WeighInLine[], day: string): number | null => {
  const last = weighed.filter((w) => w.day === day).at(-1)
  return last ? last.massG / 1000 : null
}
