import { instantToLocal } from '../../../core/calendar/index.ts'
import { climateModel } from '../../../core/cure/index.ts'
import { relativeHumidity } from '../../../core/cure/index.ts'
import { instant, MINUTES_PER_DAY, type Instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { dateColumn, isoDate, toDate, toInstant, today } from '../times.ts'
import { climateRule, openHours, toolCapacity } from './places.ts'
import { zoneOf } from './planning.ts'

export type SiteRow = { id: string; name: string; kind: 'club' | 'home'; memberId: string | null; memberName: string | null }
export type PlaceRow = { id: string; name: string; siteId: string; bays: number; isActive: boolean; air: number; humidity: number; shut: { why: string; ends: Date } | null; builds: string[] }
export type ToolRow = { id: string; name: string; count: number; now: number; siteName: string | null; competence: string | null; arrivesOn: string | null; outages: { count: number; fromOn: string; toOn: string | null; why: string }[]; note: string; isActive: boolean }
export type Workshop = { sites: SiteRow[]; places: PlaceRow[]; tools: ToolRow[] }

export async function sites(db: Reader): Promise<SiteRow[]> {
  const rows = await db.site.findMany({ include: { member: { select: { name: true } } }, orderBy: [{ kind: 'asc' }, { name: 'asc' }] })
  return rows.map(({ member, ...s }) => ({ ...s, memberName: member?.name ?? null }))
}

/** Places with what their climate says now, tools with how many there are today. */
export async function workshop(db: Reader, now: Date, seesBuild: (build: { visibility: string; team: { memberId: string }[] }) => boolean): Promise<Workshop> {
  const { zone } = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })
  const at = toInstant(now)
  const w = { now: at, from: instant(at - 1), until: instant(at + MINUTES_PER_DAY) }
  const table = await zoneOf(db, w)
  const open = await openHours(db, table, w)
  const places = await db.place.findMany({
    include: {
      readings: { where: { at: { gte: toDate(at - MINUTES_PER_DAY) } }, orderBy: { at: 'asc' } },
      closures: { where: { starts: { lte: now }, ends: { gt: now } }, orderBy: { ends: 'desc' } },
      builds: { where: { state: { not: 'launched' } }, select: { name: true, visibility: true, team: { select: { memberId: true } } }, orderBy: { name: 'asc' } },
    },
    orderBy: [{ isActive: 'desc' }, { name: 'asc' }],
  })
  const tools = await db.tool.findMany({
    include: { site: { select: { name: true } }, competence: { select: { name: true } }, outages: { where: { OR: [{ toOn: null }, { toOn: { gte: dateColumn(today(zone, now)) } }] }, orderBy: { fromOn: 'asc' } } },
    orderBy: [{ isActive: 'desc' }, { name: 'asc' }],
  })
  return {
    sites: await sites(db),
    places: places.map((p) => {
      const steps = climateModel({ rule: climateRule(p), sessions: open.get(p.siteId) ?? [], readings: p.readings.map((r) => ({ at: toInstant(r.at), air: r.air, humidity: r.humidity })), zone: table, from: w.from, until: w.until })
      const here = [...steps].reverse().find((s) => s.from <= at) ?? steps[0]!
      return {
        id: p.id, name: p.name, siteId: p.siteId, bays: p.bays, isActive: p.isActive, air: here.value.air, humidity: relativeHumidity(here.value.air, here.value.dewPoint),
        shut: p.closures[0] ?? null, builds: p.builds.filter(seesBuild).map((b) => b.name),
      }
    }),
    tools: tools.map((t) => ({
      id: t.id, name: t.name, count: t.count, now: toolCapacity(table, w.now, t)[0]!.count, siteName: t.site?.name ?? null, competence: t.competence?.name ?? null, note: t.note, isActive: t.isActive,
      arrivesOn: t.arrivesOn && isoDate(t.arrivesOn) > today(zone, now) ? isoDate(t.arrivesOn) : null,
      outages: t.outages.map((o) => ({ count: o.count, fromOn: isoDate(o.fromOn), toOn: o.toOn && isoDate(o.toOn), why: o.why })),
    })),
  }
}

export type DayPoint = { at: Instant; air: number; dewPoint: number; humidity: number }
export type PlacePage = {
  place: NonNullable<Awaited<ReturnType<typeof placeRow>>>
  sites: SiteRow[]
  readings: { id: string; at: Date; air: number; humidity: number | null; memberId: string | null; by: string | null }[]
  closures: { id: string; starts: Date; ends: Date; why: string }[]
  /** The coming 24 hours, every third. */
  day: DayPoint[]
  now: DayPoint
}

const placeRow = (db: Reader, id: string) => db.place.findUnique({ where: { id } })

export async function placePage(db: Reader, placeId: string, now: Date): Promise<PlacePage | null> {
  const place = await placeRow(db, placeId)
  if (!place) return null
  const at = toInstant(now)
  const w = { now: at, from: at, until: instant(at + MINUTES_PER_DAY + 180) }
  const table = await zoneOf(db, w)
  const open = await openHours(db, table, w)
  const readings = await db.placeReading.findMany({ where: { placeId }, orderBy: [{ at: 'desc' }, { id: 'asc' }], take: 12 })
  const names = new Map((await db.member.findMany({ where: { id: { in: readings.flatMap((r) => r.memberId ?? []) } }, select: { id: true, name: true } })).map((m) => [m.id, m.name]))
  const steps = climateModel({ rule: climateRule(place), sessions: open.get(place.siteId) ?? [], readings: [...readings].reverse().map((r) => ({ at: toInstant(r.at), air: r.air, humidity: r.humidity })), zone: table, from: w.from, until: w.until })
  const point = (t: number): DayPoint => {
    const { air, dewPoint } = ([...steps].reverse().find((s) => s.from <= t) ?? steps[0]!).value
    return { at: instant(t), air, dewPoint, humidity: relativeHumidity(air, dewPoint) }
  }
  const { minuteOfDay } = instantToLocal(table, at)
  const nextHour = at - (minuteOfDay % 60) + 60
  return {
    place, sites: await sites(db),
    readings: readings.map((r) => ({ id: r.id, at: r.at, air: r.air, humidity: r.humidity, memberId: r.memberId, by: r.memberId ? (names.get(r.memberId) ?? null) : null })),
    closures: await db.placeClosure.findMany({ where: { placeId, ends: { gt: now } }, select: { id: true, starts: true, ends: true, why: true }, orderBy: { starts: 'asc' } }),
    day: Array.from({ length: 8 }, (_, i) => point(nextHour + i * 180)),
    now: point(at),
  }
}

export type ToolPage = { tool: NonNullable<Awaited<ReturnType<typeof toolRow>>>; choices: ToolChoices }
export type ToolChoices = { sites: SiteRow[]; competences: { id: string; name: string }[] }
const toolRow = (db: Reader, id: string) =>
  db.tool.findUnique({ where: { id }, include: { outages: { orderBy: [{ fromOn: 'desc' }, { id: 'asc' }] }, competence: { select: { name: true, note: true } } } })

export async function toolChoices(db: Reader): Promise<ToolChoices> {
  return { sites: await sites(db), competences: await db.competence.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: { name: 'asc' } }) }
}

export async function toolPage(db: Reader, toolId: string): Promise<ToolPage | null> {
  const tool = await toolRow(db, toolId)
  return tool && { tool, choices: await toolChoices(db) }
}

export type SitePage = { site: SiteRow | null; members: { id: string; name: string }[] }
export async function sitePage(db: Reader, siteId: string | null): Promise<SitePage | null> {
  const site = siteId ? (await sites(db)).find((s) => s.id === siteId) : null
  if (site === undefined) return null
  return { site, members: await db.member.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: { name: 'asc' } }) }
}
