import type { Tx } from '../../../../platform/database.ts'
import type { Prisma } from '../../../../platform/generated/client.ts'
import { dateColumn, toDate } from '../../times.ts'
import type { Forecasted } from '../compute.ts'
import type { CatchUps, Inputs, Step } from '../model.ts'

export type SaveForecast = { readonly planId: bigint; readonly buildId: string; readonly made: Forecasted; readonly inputs: Inputs; readonly step: Step | null; readonly targetOn: string | null; readonly at: Date; readonly tookMs: number }

const json = (value: unknown) => value as Prisma.InputJsonValue
const at = (t: number | null) => (t === null ? null : toDate(t))

/**
 * One row for a plan and a build, kept for good. What a later week is explained by (work left, task by task) is needed of the last of each week
 * only, and taken out of those before it.
 */
export async function saveForecast(tx: Tx, s: SaveForecast): Promise<void> {
  const { made } = s
  await tx.$executeRaw`
    update forecast f set inputs = f.inputs - array['left', 'done', 'planned']
    from club c
    where f.build_id = ${s.buildId}::uuid and f.inputs ? 'left'
      and date_trunc('week', f.made_at at time zone c.zone) = date_trunc('week', ${s.at}::timestamptz at time zone c.zone)`
  const data = {
    madeAt: s.at, runs: made.runs, p10At: at(made.p10), p50At: at(made.p50), p80At: at(made.p80), p90At: at(made.p90),
    targetOn: s.targetOn === null ? null : dateColumn(s.targetOn), targetChance: made.targetChance,
    drivers: json(made.drivers), catchUp: json({ half: null, fourInFive: null }), inputs: json(s.inputs), ...(s.step && { step: json(s.step) }), tookMs: Math.round(s.tookMs),
  }
  const key = { planId: s.planId, buildId: s.buildId }
  // Made again for the same plan after a restart: the newer one stands.
  await tx.forecast.upsert({ where: { planId_buildId: key }, create: { ...key, ...data }, update: data })
}

/** What would bring it forward comes later: it takes longer than the forecast itself. */
export async function saveCatchUps(tx: Tx, planId: bigint, buildId: string, catchUps: CatchUps): Promise<void> {
  await tx.forecast.updateMany({ where: { planId, buildId }, data: { catchUp: json(catchUps) } })
}
