/** A boat's plain measurements: what people measured, what follows from measured panels and seams, and guesses for the rest. Pure. */
import type { Figure } from '../../../core/estimate/types.ts'
import { applies, quantityOf, type Measurements } from './conditions.ts'
import type { BoatState } from './geometry.ts'
import { outlineOf } from './outline.ts'
import type { Grade, JobList, MeasurementDef } from './types.ts'

export type Figures = Readonly<Record<string, Figure>>
export const valuesOf = (figures: Figures): Record<string, number> => Object.fromEntries(Object.entries(figures).map(([key, f]) => [key, f.value]))

/** In the order in which the list defines them: a guess is made from those before it. */
export function figuresOf(list: JobList, state: BoatState): Record<string, Figure> {
  const values: Record<string, number> = {}
  const out: Record<string, Figure> = {}
  for (const def of list.measurements) {
    const figure = figureOf(list, def, state, values, out)
    values[def.key] = figure.value
    out[def.key] = figure
  }
  return out
}

function figureOf(list: JobList, def: MeasurementDef, state: BoatState, sofar: Measurements, figures: Figures): Figure {
  const measured = state.measured[def.key]
  if (measured !== undefined) return { value: measured, origin: 'measured' }
  const worked = fromPanels(list, def, state) ?? fromSeams(list, def, state)
  if (worked !== null) return { value: worked, origin: 'panels' }
  if (def.sumOf) {
    const parts = def.sumOf.flatMap((key) => figures[key] ?? [])
    return { value: rounded(def, parts.reduce((sum, f) => sum + f.value, 0)), origin: parts.some((f) => f.origin === 'guess') ? 'guess' : 'panels' }
  }
  return { value: guess(def, sofar, state.grade), origin: 'guess' }
}

/** Once all are measured; one that was left out is measured: there is none. */
function fromPanels(list: JobList, def: MeasurementDef, { geometry }: BoatState): number | null {
  if (!def.fromPanels) return null
  let sum = 0
  for (const key of def.fromPanels) {
    const [panel, m] = [list.boat.panels.find((p) => p.key === key), geometry.panels?.[key]]
    if (m?.leftOut) continue
    const outline = m?.outline && outlineOf(m.outline)
    if (!panel || !outline) return null
    sum += (m.count ?? panel.count) * outline.areaM2
  }
  return sum
}

function fromSeams(list: JobList, def: MeasurementDef, { geometry }: BoatState): number | null {
  if (!def.fromSeams) return null
  let sum = 0
  for (const key of def.fromSeams) {
    const m = geometry.seams?.[key]
    if (m?.leftOut) continue
    if (m?.lengthM === undefined) return null
    sum += m.lengthM
  }
  return sum
}

function guess(def: MeasurementDef, sofar: Measurements, grade: Grade): number {
  if (def.unless && applies(def.unless.when, sofar)) return def.unless.value
  if (def.byGrade) return def.byGrade[grade]
  if (!def.guess) return def.calibrated
  return Math.min(def.max, Math.max(def.min, rounded(def, quantityOf(def.guess, sofar))))
}

function rounded(def: MeasurementDef, value: number): number {
  const steps = def.unit === 'm' || def.unit === 'm2' ? 10 : 1
  return Math.round(value * steps) / steps
}

/** Why a measurement can't be that, for beside its field; null when it can. */
export function outside(def: MeasurementDef, value: number): string | null {
  if (def.choices) return def.choices.some((c) => c.value === value) ? null : `${def.label}: choose one of ${def.choices.map((c) => `“${c.label}”`).join(', ')}`
  const none = def.leastIfAny !== undefined ? `0 for none, or from ${def.leastIfAny} to ${def.max}` : `between ${def.min} and ${def.max}`
  const isGap = def.leastIfAny !== undefined && value > 0 && value < def.leastIfAny
  if (!Number.isFinite(value) || value < def.min || value > def.max || isGap) return `${def.label}: ${none} for this list, not ${value}`
  return def.unit === 'count' && !Number.isInteger(value) ? `${def.label}: a whole number, not ${value}` : null
}
