/** Snags, log and photos of the week, as they stood in the books. */
import type { Reader } from '../../../../platform/database.ts'
import { dateColumn, isoDate, toInstant } from '../../../../platform/times.ts'
import type { LogBrief, PhotoBrief, SnagBrief } from '../../model.ts'
import { lastDay, type Asked } from './rows.ts'

/** Found or mended in the week, and how many were open at its end. */
export async function snagRows(db: Reader, { buildId, week, asOf, now, zone }: Asked): Promise<{ lines: SnagBrief[]; open: number; rework: string[] }> {
  const last = lastDay(zone, week, asOf)
  const rows = await db.snag.findMany({
    where: { buildId, foundOn: { lte: dateColumn(last) }, createdAt: { lte: now }, OR: [{ withdrawnAt: null }, { withdrawnAt: { gt: now } }] }, orderBy: { no: 'asc' },
    select: { no: true, what: true, whereAt: true, bad: true, foundOn: true, closedOn: true, reworkTask: { select: { name: true } } },
  })
  const mended = (closedOn: Date | null): string | null => (closedOn !== null && isoDate(closedOn) <= last ? isoDate(closedOn) : null)
  return {
    rework: [...new Set(rows.flatMap((r) => r.reworkTask?.name ?? []))],
    open: rows.filter((r) => mended(r.closedOn) === null).length,
    lines: rows.flatMap(({ foundOn, closedOn, reworkTask, ...r }): SnagBrief[] => {
      const on = mended(closedOn)
      const line = { ...r, found: isoDate(foundOn) >= week.monday, mended: on !== null && on >= week.monday, rework: reworkTask?.name ?? null }
      return line.found || line.mended ? [line] : []
    }),
  }
}

export async function logRows(db: Reader, { buildId, week, asOf, now }: Asked): Promise<LogBrief[]> {
  const rows = await db.logEntry.findMany({
    where: { buildId, at: { gte: week.from, lt: asOf }, loggedAt: { lte: now }, OR: [{ withdrawnAt: null }, { withdrawnAt: { gt: now } }] }, orderBy: [{ at: 'asc' }, { id: 'asc' }],
    select: { id: true, kind: true, text: true, at: true, by: { select: { name: true } } },
  })
  return rows.map(({ by, at, ...r }) => ({ ...r, by: by.name, at: toInstant(at) }))
}

/** Newest first. */
export async function photoRows(db: Reader, { buildId, week, asOf, now, zone }: Asked): Promise<PhotoBrief[]> {
  const rows = await db.photo.findMany({
    where: {
      buildId, takenOn: { gte: dateColumn(week.monday), lte: dateColumn(lastDay(zone, week, asOf)) }, loggedAt: { lte: now },
    },
    orderBy: [{ takenOn: 'desc' }, { loggedAt: 'desc' }, { id: 'desc' }], select: { id: true, caption: true, takenOn: true, width: true, height: true, forGuests: true }, take: 24,
  })
  return rows.map(({ takenOn, ...r }) => ({ ...r, takenOn: isoDate(takenOn) }))
}
