/** Measurements as a form sends them: `m.<key>` in the club's units, and `g.<key>` where a guess was shown. Pure. */
import { measureKind } from '../../../../views/shared/measures.ts'
import { ok, refuse, type Result } from '../../../core/result.ts'
import type { JobList, MeasurementDef } from '../job-lists/types.ts'
import { plainFault } from './geometry-plausible.ts'
import { readStored, type Units } from './measure-text.ts'

type Asked = Pick<MeasurementDef, 'key' | 'label' | 'min' | 'max' | 'choices' | 'leastIfAny'> & { readonly unit: string }

/** One measurement to SI, or what is wrong with it in the user's words. What is only doubtful passes: nobody can be asked back here. */
export function readMeasurement(def: Asked, typed: string, expected: number, units: Units): Result<number, string> {
  if (def.choices) {
    const chosen = def.choices.find((c) => String(c.value) === typed.trim())
    return chosen ? ok(chosen.value) : refuse(`${def.label}: choose from the list`)
  }
  const kind = measureKind(def)
  const read = readStored(typed, kind, units)
  if (!read.ok) return refuse(`${def.label}: ${read.refusal}`)
  const fault = plainFault(def, read.value, kind, expected, units)
  return fault && !fault.isDoubt ? refuse(fault.text) : ok(read.value)
}

/** What was measured; a guess that stands as it was shown stays a guess. */
export function readMeasured(
  list: JobList, raw: Record<string, unknown>, units: Units,
): { measured: Record<string, number>; fields: Record<string, string> } {
  const measured: Record<string, number> = {}
  const fields: Record<string, string> = {}
  for (const def of list.measurements) {
    const typed = raw[`m.${def.key}`]
    if (typeof typed !== 'string' || typed.trim() === '' || typed.trim() === raw[`g.${def.key}`]) continue
    const read = readMeasurement(def, typed, def.calibrated, units)
    if (read.ok) measured[def.key] = read.value
    else fields[`m.${def.key}`] = read.refusal
  }
  return { measured, fields }
}
