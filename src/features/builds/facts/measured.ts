/** Measurements as a form sends them: `m.<key>` in the club's units, and `g.<key>` where a guess was shown. Pure. */
import { unitsOf, type UnitOf } from '../../../../views/shared/format.ts'
import type { JobList, MeasurementDef } from '../job-lists/types.ts'

type Units = 'metric' | 'imperial'
const AS_IT_IS = (unit: string): UnitOf => ({ unit, fromSi: (v) => v, toSi: (v) => v })

export function unitOf(unit: MeasurementDef['unit'], units: Units): UnitOf {
  if (unit === 'm') return unitsOf(units).length
  if (unit === 'm2') return unitsOf(units).area
  return AS_IT_IS(unit === 'g/m2' ? 'g/m²' : unit === 'count' ? '' : unit)
}

export const shownMeasure = (value: number, unit: MeasurementDef['unit'], units: Units): string => String(Math.round(unitOf(unit, units).fromSi(value) * 1000) / 1000)

/** What was measured; a guess that stands as it was shown stays a guess. */
export function readMeasured(list: JobList, raw: Record<string, unknown>, units: Units): { measured: Record<string, number>; fields: Record<string, string> } {
  const measured: Record<string, number> = {}
  const fields: Record<string, string> = {}
  for (const def of list.measurements) {
    const typed = raw[`m.${def.key}`]
    if (typeof typed !== 'string' || typed.trim() === '' || typed.trim() === raw[`g.${def.key}`]) continue
    const n = Number(typed.trim().replace(',', '.'))
    if (!Number.isFinite(n)) {
      fields[`m.${def.key}`] = `${def.label}: “${typed.trim()}” is not a number`
      continue
    }
    const si = unitOf(def.unit, units).toSi(n)
    measured[def.key] = units === 'metric' || def.unit === 'count' ? n : Math.round(si * 10_000) / 10_000
  }
  return { measured, fields }
}
