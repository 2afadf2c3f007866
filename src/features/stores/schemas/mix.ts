import { z } from 'zod'
import { parseAmount } from '../facts/amount-text.ts'

const fail = (c: z.RefinementCtx, message: string): never => {
  c.addIssue({ code: 'custom', message })
  return z.NEVER
}

/** A mass in mg, typed in grams or with its unit; null where left empty. `whole`: as milligrams that are kept. */
export const massOrNothing = (what: string, most = 100_000_000) =>
  z.string().default('').transform((text, c): number | null => {
    if (text.trim() === '') return null
    const read = parseAmount(text, 'g')
    if (!read.ok) return fail(c, `${what}: ${read.message}`)
    if (read.milli <= 0) return fail(c, `${what}: more than nothing`)
    return read.milli <= most ? read.milli : fail(c, `${what}: at most ${most / 1_000_000} kg`)
  })

const figure = (what: string, min: number, max: number, unit: string, isWhole = false) =>
  z.string().default('').transform((text, c): number | null => {
    if (text.trim() === '') return null
    const n = Number(text.trim().replace(',', '.'))
    if (!Number.isFinite(n) || n < min || n > max || (isWhole && !Number.isInteger(n))) return fail(c, `${what}: a${isWhole ? ' whole' : ''} number from ${min} to ${max}${unit && ` ${unit}`}; not “${text.trim()}”`)
    return n
  })

/** What a mixing card is asked for; empty fields take what the system, or else common practice, says. */
export const MixQuery = z.object({
  product: z.string().default(''),
  /** Only without a product. */
  ratio: z.string().trim().max(80, 'Mix ratio: at most 80 characters').default(''),
  mass: massOrNothing('Mixed mass'),
  by: z.enum(['mass', 'volume', 'strokes'], { error: 'Choose how it is measured' }).default('mass'),
  people: figure('People', 1, 50, '', true),
  minutes: figure('Minutes for a batch', 0.5, 1000, 'min'),
  limit: massOrNothing('Largest batch'),
  step: figure('Smallest step', 0.001, 1000, 'g or ml'),
  densityA: figure('Density of resin', 0.1, 10, 'g/ml'),
  densityB: figure('Density of hardener', 0.1, 10, 'g/ml'),
  strokeA: massOrNothing('A stroke of resin', 10_000_000),
  strokeB: massOrNothing('A stroke of hardener', 10_000_000),
})
export type MixAsk = z.output<typeof MixQuery>

/** A lot to take it from; empty: first expired. */
const lot = z.string().default('').transform((v) => (v === '' ? null : v))

/** One batch as it was weighed. */
export const LogBatchForm = z.object({
  product: z.string().min(1, 'Choose what was mixed'),
  resin: massOrNothing('Resin').transform((v, c): number => v ?? fail(c, 'Resin: say what went into the pot, in grams')),
  hardener: massOrNothing('Hardener').transform((v, c): number => v ?? fail(c, 'Hardener: say what went into the pot, in grams')),
  resinLot: lot,
  hardenerLot: lot,
  /** What the can really held before this batch, where that is not what the book says. */
  resinLeft: massOrNothing('Resin in the can').optional(),
  hardenerLeft: massOrNothing('Hardener in the can').optional(),
  /** It bears load: only stock that is fit for structure. */
  structural: z.enum(['yes', 'no']).default('yes').transform((v) => v === 'yes'),
  /** The ratio is off, and that is really what went in. */
  offRatio: z.string().optional().transform((v) => v !== undefined),
  by: z.string().default(''),
  use: z.enum(['club', 'own']).default('club'),
  note: z.string().trim().max(500, 'Note: at most 500 characters').default(''),
})
export type LogBatchInput = z.output<typeof LogBatchForm>

export const UndoBatchForm = z.object({ why: z.string().trim().min(1, 'Why: say what was wrong').max(300, 'Why: at most 300 characters') })
