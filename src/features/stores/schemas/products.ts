import { z } from 'zod'

export const KINDS = ['epoxy', 'glue', 'fairing', 'primer', 'paint', 'varnish'] as const
/** Longest figure that a data sheet gives, in minutes: three months. */
const LONGEST_MIN = 90 * 1440

const fail = (c: z.RefinementCtx, message: string): never => {
  c.addIssue({ code: 'custom', message })
  return z.NEVER
}
const toNumber = (text: string) => Number(text.trim().replace(',', '.').replace('−', '-'))

/** A number or nothing. */
const maybe = (what: string, min: number, max: number, unit = '') =>
  z.string().default('').transform((text, c): number | null => {
    if (text.trim() === '') return null
    const n = toNumber(text)
    return Number.isFinite(n) && n >= min && n <= max ? n : fail(c, `${what}: a number from ${min} to ${max}${unit && ` ${unit}`}, or empty; not “${text.trim()}”`)
  })
const needed = (what: string, min: number, max: number, unit = '') =>
  maybe(what, min, max, unit).transform((n, c): number => n ?? fail(c, `${what}: fill this in`))

const UNITS: Record<string, number> = { min: 1, m: 1, h: 60, d: 1440, day: 1440, days: 1440 }
/** '90 min', '3 h', '1:30', '7 d'; a bare number is hours. */
const lag = (what: string) =>
  z.string().default('').transform((text, c): number | null => {
    const typed = text.trim().toLowerCase().replace(',', '.')
    if (typed === '') return null
    const clock = /^(\d+):([0-5]\d)$/.exec(typed)
    const plain = /^(\d+(?:\.\d+)?|\.\d+)\s*(min|m|h|d|days?)?$/.exec(typed)
    const minutes = clock ? Number(clock[1]) * 60 + Number(clock[2]) : plain ? Math.round(Number(plain[1]) * (UNITS[plain[2] ?? 'h'] ?? 60)) : NaN
    if (!Number.isFinite(minutes)) return fail(c, `${what}: “${text.trim()}” is no time: write 90 min, 3 h or 7 d, or leave it empty`)
    return minutes <= LONGEST_MIN ? minutes : fail(c, `${what}: at most 90 days`)
  })

const fields = z.object({
  name: z.string().trim().min(1, 'Name: fill this in').max(120, 'Name: at most 120 characters'),
  kind: z.enum(KINDS, { error: 'Choose what it is' }),
  source: z.string().trim().min(3, 'Say where the figures come from: a data sheet and its date, or “from memory”').max(500, 'At most 500 characters'),
  hazard: z.string().trim().max(600, 'At most 600 characters').default(''),
  referenceTemp: needed('Reference temperature', 0, 60, '°C'),
  workable: lag('Workable'),
  dustFree: lag('Dust-free'),
  opens: lag('Window opens'),
  closes: lag('Window shuts'),
  closesCap: lag('Shuts by the clock'),
  sandable: lag('Sandable'),
  handleable: lag('Handleable'),
  fullCure: lag('Full cure'),
  filmEnergyLow: needed('Film, least', 0, 200, 'kJ/mol'),
  filmEnergyHigh: needed('Film, most', 0, 200, 'kJ/mol'),
  potEnergy: needed('Pot', 0, 200, 'kJ/mol'),
  cureFloor: needed('Cure floor', -40, 40, '°C'),
  minAir: maybe('Air at least', -20, 45, '°C'),
  maxAir: maybe('Air at most', 0, 60, '°C'),
  maxHumidity: maybe('Humidity at most', 1, 100, '%'),
  dewPointMargin: maybe('Above dew point', 0, 20, '°C'),
  potLifeMin: maybe('Pot life', 0.5, 10_000, 'min'),
  potMassG: maybe('Mass in the pot', 1, 100_000, 'g'),
  potTemp: maybe('Temperature of the pot', 0, 60, '°C'),
  ratioA: maybe('Parts of A', 0.01, 1000),
  ratioB: maybe('Parts of B', 0.01, 1000),
  ratioBy: z.enum(['', 'mass', 'volume']).default(''),
  densityA: maybe('Density of A', 0.1, 10, 'g/mL'),
  densityB: maybe('Density of B', 0.1, 10, 'g/mL'),
  dustSensitive: z.string().optional().transform((v) => v !== undefined),
})

export const CureProductForm = fields.superRefine((v, c) => {
  const bad = (path: string, message: string) => c.addIssue({ code: 'custom', path: [path], message })
  const closes = Math.min(v.closes ?? Infinity, v.closesCap ?? Infinity)
  if (v.opens !== null && v.opens >= closes) {
    const where = v.closes !== null && v.opens >= v.closes ? 'closes' : 'closesCap'
    bad(where, 'The window shuts before it opens, so no coat could ever meet it: check both times on the data sheet, or leave this empty if the film takes the next coat at any time')
  }
  if (v.opens !== null && v.dustFree !== null && v.sandable !== null && v.sandable < v.dustFree) bad('sandable', 'Sandable before it is dust-free: check the two times')
  if (v.fullCure !== null && v.sandable !== null && v.fullCure < v.sandable) bad('fullCure', 'Fully cured before it can be sanded: check the two times')
  if (v.filmEnergyLow > v.filmEnergyHigh) bad('filmEnergyHigh', 'Most is below least')
  if (v.potLifeMin !== null && v.potMassG === null) bad('potMassG', 'A pot life means nothing without the mass it was stated for: see the data sheet')
  if (v.potLifeMin !== null && v.potTemp === null) bad('potTemp', 'A pot life means nothing without its temperature: see the data sheet')
  if ((v.ratioA === null) !== (v.ratioB === null)) bad(v.ratioA === null ? 'ratioA' : 'ratioB', 'A ratio needs both parts')
  if (v.ratioA !== null && v.ratioB !== null && v.ratioBy === '') bad('ratioBy', 'Say whether by mass or by volume: the two differ, and a wrong ratio never cures')
  if (v.ratioA === null && v.ratioB === null && v.ratioBy !== '') bad('ratioA', 'Fill in the ratio, or leave both empty')
  if (v.minAir !== null && v.maxAir !== null && v.minAir > v.maxAir) bad('maxAir', 'Below “at least”')
})
export const EditCureProductForm = CureProductForm.and(z.object({ version: z.coerce.number({ error: 'The page is incomplete: open it again' }).int().min(1) }))
export type CureProductInput = z.output<typeof CureProductForm>
export const NoForm = z.object({})
export const RetireForm = z.object({ version: z.coerce.number().int().min(1) })
