/** What the club can give: how many people, and the longest stretch they work in. */
import { parseHm } from '../../../core/calendar/index.ts'
import type { Reader } from '../../../platform/database.ts'

export type ClubReach = { members: number; longestMin: number | null; longestName: string }

const minutesOf = (time: string): number => (time === '24:00' ? 1440 : (parseHm(time) ?? 0))

/** The longest session entered from today on, weekly series and own hours at home with it; null when none is entered. */
export async function clubReach(db: Reader, today: Date): Promise<ClubReach> {
  const [members, sessions, series, own] = [
    await db.member.count({ where: { isActive: true, isMinor: false } }),
    await db.session.findMany({ where: { date: { gte: today }, state: { not: 'cancelled' } }, select: { starts: true, ends: true }, distinct: ['starts', 'ends'] }),
    await db.series.findMany({ where: { untilOn: { gte: today } }, select: { name: true, starts: true, ends: true } }),
    await db.ownHours.findMany({ where: { OR: [{ untilOn: null }, { untilOn: { gte: today } }] }, select: { fromTime: true, toTime: true } }),
  ]
  const stretches = [
    ...sessions.map((s) => ({ min: minutesOf(s.ends) - minutesOf(s.starts), name: `the session ${s.starts}–${s.ends}` })),
    ...series.map((s) => ({ min: minutesOf(s.ends) - minutesOf(s.starts), name: `${s.name} ${s.starts}–${s.ends}` })),
    ...own.map((s) => ({ min: minutesOf(s.toTime) - minutesOf(s.fromTime), name: `own hours ${s.fromTime}–${s.toTime}` })),
  ].sort((a, b) => b.min - a.min)
  const longest = stretches[0]
  return { members, longestMin: longest?.min ?? null, longestName: longest?.name ?? '' }
}
