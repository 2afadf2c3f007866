/** Measurements as a form sends them: `m.<key>` in the club's units, and `g.<key>` where a guess was shown. Pure. */
import { measureKind, type MeasureKind } from '../../../../views/shared/measures.ts'
import type { JobList } from '../job-lists/types.ts'
import { plainFault } from './geometry-plausible.ts'
import { readStored, type Units } from './measure-text.ts'

/** What was measured; a guess that stands as it was shown stays a guess. */
export function readMeasured(list: JobList, raw: Record<string, unknown>, units: Units): { measured: Record<string, number>; fields: Record<string, string> } {
  const measured: Record<string, number> = {}
  const fields: Record<string, string> = {}
  for (const def of list.measurements) {
    const typed = raw[`m.${def.key}`]
    if (typeof typed !== 'string' || typed.trim() === '' || typed.trim() === raw[`g.${def.key}`]) continue
    const kind: MeasureKind = measureKind(def)
    const read = readStored(typed, kind, units)
    const fault = read.ok && !def.choices ? plainFault(def, read.value, kind, def.calibrated, units) : null
    if (!read.ok) fields[`m.${def.key}`] = `${def.label}: ${read.refusal}`
    else if (fault && !fault.isDoubt) fields[`m.${def.key}`] = fault.text
    else measured[def.key] = read.value
  }
  return { measured, fields }
}
