import {
  addDays, dateOf, dayOf, hoursOn, instantToLocal, localToInstant, openings, projectRhythm, union, weekdayOfDay, type Interval, type OffsetTable,
} from '../../../core/calendar/index.ts'
import { climateModel, type ClimateRule } from '../../../core/cure/index.ts'
import type { Place, Resource } from '../../../core/schedule/problem.ts'
import { celsius, instant, minutes, MINUTES_PER_DAY, type Instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import { isoDate, toDate, toInstant, weeksBetween } from '../times.ts'
import { loadRhythm, RHYTHM_WEEKS, zoneOf, type Stretch } from './planning.ts'

export type LoadedPlaces = { readonly places: Place[]; readonly names: Map<string, string> }

/** Far enough for what is shut for good. */
const FOR_GOOD = 10 * 366 * MINUTES_PER_DAY

/** All places with their climate over the stretch; those given up are shut throughout, for a coat may still cure there. */
export async function loadPlaces(db: Reader, w: Stretch): Promise<LoadedPlaces> {
  const club = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { surfaceOffset: true } })
  const zone = await zoneOf(db, w)
  const open = await openHours(db, zone, w)
  const rows = await db.place.findMany({
    include: {
      readings: { where: { at: { gte: toDate(w.from - MINUTES_PER_DAY), lte: toDate(w.until) } }, orderBy: [{ at: 'asc' }, { id: 'asc' }] },
      closures: { where: { ends: { gt: toDate(w.from) } }, orderBy: [{ starts: 'asc' }, { id: 'asc' }] },
    },
    orderBy: { id: 'asc' },
  })
  const places = rows.map((p) => ({
    id: p.id,
    siteId: p.siteId,
    closures: p.isActive
      ? union(p.closures.map((c) => ({ start: toInstant(c.starts), end: toInstant(c.ends) })))
      : [{ start: w.from, end: instant(w.until + FOR_GOOD) }],
    climate: climateModel({
      rule: climateRule(p), sessions: open.get(p.siteId) ?? [],
      readings: p.readings.map((r) => ({ at: toInstant(r.at), air: r.air, humidity: r.humidity })),
      zone, from: w.from, until: w.until,
    }),
    surfaceOffset: celsius(club.surfaceOffset),
    settle: minutes(p.settleMin),
    lastDust: null,
  }))
  return { places, names: new Map(rows.map((r) => [r.id, r.name])) }
}

export const climateRule = (p: Prisma.PlaceGetPayload<object>): ClimateRule => ({
  monthlyAir: p.monthlyAir,
  monthlyDew: p.monthlyDew,
  halfSwing: p.halfSwing,
  heating: p.heatTo === null ? null : { to: celsius(p.heatTo), before: minutes(p.heatBeforeMin) },
})

/** When each site is in use, and so heated: its sessions, entered or assumed to go on, and own hours at home. */
export async function openHours(db: Reader, zone: OffsetTable, w: Stretch): Promise<Map<string, Interval[]>> {
  const { sessions, series } = await loadRhythm(db, zone, w)
  const today = instantToLocal(zone, w.now).date
  const hours = new Map<string, Interval[]>()
  const add = (siteId: string, list: readonly Interval[]) => hours.set(siteId, [...(hours.get(siteId) ?? []), ...list])
  const all = [...openings(zone, sessions), ...projectRhythm(zone, series, sessions, today, RHYTHM_WEEKS + weeksBetween(w.from, w.now))]
  for (const o of all) if (o.end > w.from && o.start < w.until + MINUTES_PER_DAY) add(o.siteId, [o])
  const own = await db.ownHours.findMany({ where: { member: { isActive: true } }, orderBy: { id: 'asc' } })
  const first = dayOf(instantToLocal(zone, w.from).date)
  const last = dayOf(instantToLocal(zone, w.until).date)
  for (const o of own) {
    for (let day = first + ((o.weekday - weekdayOfDay(first) + 7) % 7); day <= last; day += 7) {
      const date = dateOf(day)
      if (date < isoDate(o.fromOn) || (o.untilOn && date > isoDate(o.untilOn))) continue
      add(o.siteId, hoursOn(zone, date, [{ from: o.fromTime, to: o.toTime }]))
    }
  }
  return new Map([...hours].map(([id, list]) => [id, union(list)]))
}

/** Tools by their id, and the bays of each place as `bay:<placeId>`. Counts change at local midnights. */
export async function loadResources(db: Reader, w: Stretch): Promise<Resource[]> {
  const zone = await zoneOf(db, w)
  const tools = await db.tool.findMany({ include: { outages: { orderBy: [{ fromOn: 'asc' }, { id: 'asc' }] } }, orderBy: { id: 'asc' } })
  const places = await db.place.findMany({ select: { id: true, siteId: true, bays: true }, orderBy: { id: 'asc' } })
  return [
    ...tools.map((t) => ({ id: t.id, siteId: t.siteId, capacity: toolCapacity(zone, w.from, t) })),
    ...places.map((p) => ({ id: `bay:${p.id}`, siteId: p.siteId, capacity: [{ from: w.from, count: p.bays }] })),
  ]
}

type ToolRow = Prisma.ToolGetPayload<{ include: { outages: true } }>

/** How many there are from when on: none before it arrives, fewer while some are out (both dates included). */
export function toolCapacity(zone: OffsetTable, from: Instant, tool: Pick<ToolRow, 'count' | 'isActive' | 'arrivesOn' | 'outages'>): { from: Instant; count: number }[] {
  const first = instantToLocal(zone, from).date
  const arrives = tool.arrivesOn && isoDate(tool.arrivesOn)
  const outages = tool.outages.map((o) => ({ from: isoDate(o.fromOn), to: o.toOn && isoDate(o.toOn), count: o.count }))
  const on = (date: string) => {
    if (!tool.isActive || (arrives && date < arrives)) return 0
    return Math.max(0, outages.reduce((left, o) => left - (o.from <= date && (o.to === null || date <= o.to) ? o.count : 0), tool.count))
  }
  const changes = [arrives, ...outages.flatMap((o) => [o.from, o.to && addDays(o.to, 1)])].filter((d): d is string => d !== null && d > first)
  const steps = [{ from, count: on(first) }]
  for (const date of [...new Set(changes)].sort()) {
    const count = on(date)
    if (count !== steps.at(-1)!.count) steps.push({ from: localToInstant(zone, { date, time: '00:00' }), count })
  }
  return steps
}
