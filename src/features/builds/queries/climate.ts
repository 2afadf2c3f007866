import type { ClimateSteps } from '../../../core/calendar/types.ts'
import { climateModel } from '../../../core/cure/index.ts'
import { celsius, minutes, type Instant } from '../../../core/units/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { offsetTable } from '../../../platform/zone.ts'
import { toDate, toInstant } from '../facts/times.ts'

/** Climate of every place over a stretch: readings where there are some, else the place's own course. */
export async function climates(db: Reader, now: Instant, from: Instant, until: Instant): Promise<Map<string, ClimateSteps>> {
  const { zone } = await db.club.findUniqueOrThrow({ where: { id: 1 }, select: { zone: true } })
  const places = await db.place.findMany({ include: { readings: { where: { at: { gte: toDate(from - 1440), lte: toDate(until) } }, orderBy: { at: 'asc' } } } })
  return new Map(places.map((p) => [
    p.id,
    climateModel({
      rule: { monthlyAir: p.monthlyAir, monthlyDew: p.monthlyDew, halfSwing: p.halfSwing, heating: p.heatTo === null ? null : { to: celsius(p.heatTo), before: minutes(p.heatBeforeMin) } },
      sessions: [], readings: p.readings.map((r) => ({ at: toInstant(r.at), air: r.air, humidity: r.humidity })),
      zone: offsetTable(zone, from, until), from, until,
    }),
  ]))
}
