/** The figures of the estimate's rules as they are in this club. */
import type { Coefficients } from '../../../core/estimate/types.ts'
import type { Reader } from '../../../platform/database.ts'

/** Figures that the club set, and the usual ones for the rest. */
export async function loadCoefficients(db: Reader): Promise<Coefficients> {
  const path = '../../../core/estimate/index.ts'
  const core = (await import(path)) as { defaultCoefficients: Coefficients; withOverrides(c: Coefficients, rows: readonly { key: string; low: number; likely: number; high: number }[]): Coefficients }
  const rows = await db.estimateRule.findMany({ select: { key: true, low: true, likely: true, high: true }, orderBy: { key: 'asc' } })
  return core.withOverrides(core.defaultCoefficients, rows)
}
