import { z } from 'zod'
import type { Units } from '../../../../views/shared/format.ts'
import { date, longText, shortText, version } from '../../../platform/form-fields.ts'
import { readMass } from '../facts/mass-text.ts'

const mass = (units: Units) =>
  z.string().default('').transform((text, c): number => {
    const read = readMass(text, units)
    if (read.ok) return read.grams
    c.addIssue({ code: 'custom', message: read.message })
    return z.NEVER
  })

export const weighInForm = (units: Units) =>
  z.object({
    day: date('The day'),
    mass: mass(units),
    what: shortText('What hung on the scales', 120),
    whole: z.enum(['whole', 'part'], { error: 'Say whether it was all of her' }).transform((v) => v === 'whole'),
    note: longText(500),
  })
export type WeighInInput = z.output<ReturnType<typeof weighInForm>>

/** Empty: no target. */
export const targetForm = (units: Units) =>
  z.object({ version, target: z.string().default('') }).transform(({ version: v, target }, c) => {
    if (target.trim() === '') return { version: v, grams: null }
    const read = readMass(target, units)
    if (read.ok) return { version: v, grams: read.grams }
    c.addIssue({ code: 'custom', path: ['target'], message: read.message })
    return z.NEVER
  })
