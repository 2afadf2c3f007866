import type { Reader } from '../../../platform/database.ts'
import { isoDate } from '../times.ts'

export type TimesPage = {
  member: { id: string; name: string }
  clubSites: { id: string; name: string }[]
  homes: { id: string; name: string; memberId: string | null }[]
  usual: { id: string; siteName: string; weekday: number; fromTime: string; toTime: string }[]
  own: { id: string; siteName: string; weekday: number; fromTime: string; toTime: string; fromOn: string; untilOn: string | null }[]
  /** Weekly sessions: for filling in usual hours with one tap. */
  series: { siteId: string; name: string; weekday: number; starts: string; ends: string }[]
  countUsual: boolean
}

export async function timesPage(db: Reader, memberId: string): Promise<TimesPage | null> {
  const member = await db.member.findFirst({
    where: { id: memberId, isActive: true },
    select: {
      id: true, name: true,
      usual: { include: { site: { select: { name: true } } }, orderBy: [{ weekday: 'asc' }, { fromTime: 'asc' }, { id: 'asc' }] },
      ownHours: { include: { site: { select: { name: true } } }, orderBy: [{ weekday: 'asc' }, { fromTime: 'asc' }, { id: 'asc' }] },
    },
  })
  if (!member) return null
  const sites = await db.site.findMany({ select: { id: true, name: true, kind: true, memberId: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  const series = await db.series.findMany({ where: { goesOn: true }, select: { siteId: true, name: true, weekday: true, starts: true, ends: true }, orderBy: [{ weekday: 'asc' }, { starts: 'asc' }, { id: 'asc' }] })
  const club = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { countUsual: true } })
  return {
    member: { id: member.id, name: member.name },
    clubSites: sites.filter((s) => s.kind === 'club'),
    homes: sites.filter((s) => s.kind === 'home'),
    usual: member.usual.map(({ site, ...u }) => ({ id: u.id, weekday: u.weekday, fromTime: u.fromTime, toTime: u.toTime, siteName: site.name })),
    own: member.ownHours.map(({ site, ...o }) => ({
      id: o.id, weekday: o.weekday, fromTime: o.fromTime, toTime: o.toTime, siteName: site.name, fromOn: isoDate(o.fromOn), untilOn: o.untilOn && isoDate(o.untilOn),
    })),
    series: series.filter((s) => !member.usual.some((u) => u.siteId === s.siteId && u.weekday === s.weekday)),
    countUsual: club.countUsual,
  }
}
