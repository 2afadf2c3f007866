import type { Reader } from '../../../platform/database.ts'
import { nothingLogged, washLeft, workLeft } from '../facts/work-left.ts'
import { loggedByTask } from './rows.ts'

/** Hands-on minutes of all hands; `washLinkId`: the wash of that link's missed window, `taskId` then being the coat that it is for. */
export type LeftLine = { buildId: string; taskId: string; name: string; washLinkId: string | null; leftMin: number; isRework: boolean }

/** What is left to do of builds: of each task that is not finished, and of washes that missed windows asked for. Waiting is no work. */
export async function workLeftOf(db: Reader, buildIds: readonly string[]): Promise<LeftLine[]> {
  const ids = [...buildIds]
  const [tasks, logged, links] = [
    await db.task.findMany({
      where: { buildId: { in: ids }, finishedAt: null, kind: { not: 'unattended' } },
      select: { id: true, buildId: true, name: true, kind: true, workLikelyMin: true, handsFrom: true, statedLeftMin: true, finishedAt: true, reworkOf: { select: { id: true } } },
      orderBy: [{ buildId: 'asc' }, { position: 'asc' }, { id: 'asc' }],
    }),
    await loggedByTask(db, ids),
    await db.link.findMany({
      where: { buildId: { in: ids }, missedAt: { not: null }, washDoneAt: null, washMin: { not: null } },
      select: { id: true, buildId: true, washMin: true, washLoggedMin: true, washDoneAt: true, toId: true, to: { select: { name: true } } },
      orderBy: [{ buildId: 'asc' }, { id: 'asc' }],
    }),
  ]
  return [
    ...tasks.map((t): LeftLine => {
      const hands = t.kind === 'together' ? t.handsFrom : 1
      const leftMin = workLeft(t, logged.get(t.id) ?? nothingLogged) * hands
      return { buildId: t.buildId, taskId: t.id, name: t.name, washLinkId: null, leftMin, isRework: t.reworkOf !== null }
    }),
    ...links.map((l): LeftLine => ({ buildId: l.buildId, taskId: l.toId, name: l.to.name, washLinkId: l.id, leftMin: washLeft(l), isRework: false })),
  ]
}
