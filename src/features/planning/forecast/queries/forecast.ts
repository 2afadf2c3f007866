import type { Reader } from '../../../../platform/database.ts'
import { isoDate, toInstant } from '../../times.ts'
import type { CatchUps, Drivers, FanWeek, ForecastModel, Inputs, Step } from '../model.ts'

const at = (d: Date | null) => (d === null ? null : toInstant(d))

/** What the newest forecast of a build up to a moment said, and how it got there week by week; null: none was made yet. */
export async function forecastOf(db: Reader, buildId: string, now: Date): Promise<ForecastModel | null> {
  const row = await db.forecast.findFirst({ where: { buildId, madeAt: { lte: now } }, orderBy: [{ madeAt: 'desc' }, { planId: 'desc' }] })
  if (!row) return null
  // The JSON columns were written by saveForecast from these very types.
  const inputs = row.inputs as unknown as Omit<Inputs, 'left'>
  return {
    madeAt: toInstant(row.madeAt), runs: row.runs, p10: at(row.p10At), p50: at(row.p50At), p80: at(row.p80At), p90: at(row.p90At),
    targetOn: row.targetOn && isoDate(row.targetOn), targetChance: row.targetChance,
    step: row.step as unknown as Step | null, drivers: row.drivers as unknown as Drivers, catchUp: row.catchUp as unknown as CatchUps,
    pace: inputs.pace.factors, attendance: inputs.attendance,
    fan: await fanOf(db, buildId, now),
  }
}

/** The last forecast of each local week. */
async function fanOf(db: Reader, buildId: string, now: Date): Promise<FanWeek[]> {
  const rows = await db.$queryRaw<{ monday: string; p50: Date | null; p80: Date | null; step: unknown }[]>`
    select distinct on (monday) to_char(date_trunc('week', f.made_at at time zone c.zone), 'YYYY-MM-DD') as monday, f.p50_at as p50, f.p80_at as p80, f.step
    from forecast f cross join club c
    where f.build_id = ${buildId}::uuid and f.made_at <= ${now}
    order by monday, f.made_at desc, f.plan_id desc`
  return rows.map((r) => ({ monday: r.monday, p50: at(r.p50), p80: at(r.p80), step: r.step as Step | null }))
}

/** Newest range of each of these builds, in short. */
export async function rangesOf(db: Reader, buildIds: readonly string[]): Promise<Map<string, { p50: number | null; p80: number | null }>> {
  const rows = await db.$queryRaw<{ buildId: string; p50At: Date | null; p80At: Date | null }[]>`
    select distinct on (build_id) build_id as "buildId", p50_at as "p50At", p80_at as "p80At"
    from forecast where build_id = any(${[...buildIds]}::uuid[]) order by build_id, made_at desc, plan_id desc`
  return new Map(rows.map((r) => [r.buildId, { p50: at(r.p50At), p80: at(r.p80At) }]))
}
