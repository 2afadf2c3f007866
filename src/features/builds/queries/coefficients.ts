/** The figures of the estimate's rules as they are in this club. */
import { coefficientAbout, defaultCoefficients, withOverrides } from '../../../core/estimate/index.ts'
import type { Coefficients } from '../../../core/estimate/types.ts'
import type { Reader } from '../../../platform/database.ts'
import { figureFault } from '../facts/figure-text.ts'

export type SetFigure = { key: string; low: number; likely: number; high: number; note: string; version: number }

/** What the club set, by key; a figure that is no longer one of the estimate's, or that no rule can work with, is left out. */
export async function setFigures(db: Reader): Promise<Map<string, SetFigure>> {
  const rows = await db.estimateRule.findMany({ orderBy: { key: 'asc' } })
  return new Map(rows.flatMap((row) => {
    const about = coefficientAbout.get(row.key)
    return about && figureFault(about, row) === null ? [[row.key, row]] : []
  }))
}

/** Figures that the club set, and the usual ones for the rest. */
export async function loadCoefficients(db: Reader): Promise<Coefficients> {
  return withOverrides(defaultCoefficients, [...(await setFigures(db)).values()])
}
