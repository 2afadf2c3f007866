import { z } from 'zod'
import { CUTTING } from '../layout/layout.ts'
import { readMeasure, withUnit, type Units } from '../facts/measure-text.ts'
import { someNumber } from '../../../platform/form-fields.ts'

/** Widest saw cut and edge, mm; steepest and flattest scarf. */
const KERF_MAX = 10
const TRIM_MAX = 50
const SLOPE_MIN = 4
const SLOPE_MAX = 16

const small = (what: string, max: number, byDefault: number, units: Units) =>
  z.string().optional().transform((text, c): number => {
    if (text === undefined) return byDefault
    const read = text.trim() === '' ? null : readMeasure(text, 'small', units)
    if (read?.ok && read.value >= 0 && read.value <= max + 1e-9) return read.value
    const fault = read === null ? 'fill this in' : read.ok ? `from 0 to ${withUnit(max, 'small', units)}, not “${text.trim()}”` : read.refusal
    c.addIssue({ code: 'custom', message: `${what}: ${fault}` })
    return z.NEVER
  })

/** What the layout is worked out with; what is not said is as usual. */
export const layoutQuery = (units: Units) =>
  z.object({
    kerf: small('Saw cut', KERF_MAX, CUTTING.kerfMm, units),
    trim: small('Edges', TRIM_MAX, CUTTING.trimMm, units),
    scarf: z.preprocess((v) => v ?? String(CUTTING.scarfSlope), someNumber('Scarf', SLOPE_MIN, SLOPE_MAX)),
  }).transform(({ kerf, trim, scarf }) => ({ kerfMm: kerf, trimMm: trim, scarfSlope: scarf }))
