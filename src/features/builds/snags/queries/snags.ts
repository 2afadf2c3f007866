import { dayOf } from '../../../../core/calendar/index.ts'
import type { Reader } from '../../../../platform/database.ts'
import type { Prisma } from '../../../../platform/generated/client.ts'
import type { SnagBad } from '../../../../platform/generated/enums.ts'
import { isoDate, toInstant } from '../../../../platform/times.ts'
import { photoLine, photoOrder, photoSelect, type PhotoLine } from '../../log/queries/log.ts'

export type SnagLine = {
  id: string; no: number
  /** Key of a common fault; null: another. */
  kind: string | null
  what: string; whereAt: string; bad: SnagBad
  foundOn: string; closedOn: string | null; closedNote: string
  foundBy: string; foundById: string; taskId: string | null; taskName: string | null; version: number
  rework: { taskId: string; name: string; finishedAt: number | null } | null
  photos: PhotoLine[]
}

export const snagSelect = {
  id: true, no: true, kind: true, what: true, whereAt: true, bad: true, foundOn: true, closedOn: true, closedNote: true, foundById: true, taskId: true, version: true,
  foundBy: { select: { name: true } }, task: { select: { name: true } }, reworkTask: { select: { id: true, name: true, finishedAt: true } },
  photos: { select: photoSelect, orderBy: photoOrder },
} satisfies Prisma.SnagSelect

export const snagLine = ({ foundBy, task, reworkTask, foundOn, closedOn, photos, ...s }: Prisma.SnagGetPayload<{ select: typeof snagSelect }>): SnagLine => ({
  ...s, foundOn: isoDate(foundOn), closedOn: closedOn === null ? null : isoDate(closedOn), foundBy: foundBy.name, taskName: task?.name ?? null,
  rework: reworkTask && { taskId: reworkTask.id, name: reworkTask.name, finishedAt: reworkTask.finishedAt === null ? null : toInstant(reworkTask.finishedAt) },
  photos: photos.map(photoLine),
})

const WORST_FIRST: readonly SnagBad[] = ['stop', 'before_next', 'before_launch', 'looks']

/** Snags of a build: open ones by how bad they are, then by their number; closed ones after them, the last closed first. Those taken back are left out. */
export async function snagsOf(db: Reader, buildId: string, { open }: { open?: boolean } = {}): Promise<SnagLine[]> {
  const rows = await db.snag.findMany({
    where: { buildId, withdrawnAt: null, ...(open === undefined ? {} : { closedOn: open ? null : { not: null } }) },
    select: snagSelect,
    orderBy: { no: 'asc' },
  })
  const rank = (s: SnagLine) => (s.closedOn === null ? WORST_FIRST.indexOf(s.bad) : WORST_FIRST.length)
  return rows.map(snagLine).sort((a, b) => rank(a) - rank(b) || (b.closedOn ?? '').localeCompare(a.closedOn ?? '') || a.no - b.no)
}

/** Whole days that it has been (or was) open, of local days. */
export const daysOpen = (s: Pick<SnagLine, 'foundOn' | 'closedOn'>, today: string): number => Math.max(0, dayOf(s.closedOn ?? today) - dayOf(s.foundOn))
