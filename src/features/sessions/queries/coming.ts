import type { Instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { addDays, dateColumn, hoursOf, isoDate, toInstant, today, zoneOnDate } from '../times.ts'

export type ComingSession = {
  readonly id: string
  readonly title: string
  readonly siteId: string
  readonly siteName: string
  readonly date: string
  readonly starts: string
  readonly ends: string
  readonly start: Instant
  readonly end: Instant
  readonly keyholderId: string | null
  readonly keyholderName: string | null
  readonly seriesId: string | null
  readonly note: string
  readonly state: 'planned' | 'closed' | 'cancelled'
}

const select = {
  id: true, title: true, siteId: true, date: true, starts: true, ends: true, keyholderId: true, seriesId: true, note: true, state: true,
  site: { select: { name: true } }, keyholder: { select: { name: true } },
} as const

/** The session that is on and the next n, in order. Cancelled ones only where asked for. */
export async function comingSessions(db: Reader, from: Date, n: number, withCancelled = false): Promise<ComingSession[]> {
  const { zone } = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })
  const first = today(zone, from)
  const rows = await db.session.findMany({
    where: { date: { gte: dateColumn(addDays(first, -1)) }, ...(withCancelled ? {} : { state: 'planned' as const }) },
    select, orderBy: [{ date: 'asc' }, { starts: 'asc' }, { id: 'asc' }], take: n + 12,
  })
  const at = toInstant(from)
  return rows.map(({ site, keyholder, ...s }) => ({
    ...s, date: isoDate(s.date), siteName: site.name, keyholderName: keyholder?.name ?? null, ...hoursOf(zoneOnDate(zone, isoDate(s.date)), s),
  })).filter((s) => s.end > at).slice(0, n)
}
