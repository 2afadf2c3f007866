import { z } from 'zod'
import { longText, version } from '../../../platform/form-fields.ts'
import { MOST_OPTIONS } from './model.ts'

const first = (value: unknown): string => (typeof value === 'string' ? value.trim() : Array.isArray(value) ? String(value[0] ?? '').trim() : '')
const all = (value: unknown): string[] => (typeof value === 'string' ? [value] : Array.isArray(value) ? value.map(String) : [])

export const MOST_QUESTION = 200
export const PRICE = 'price.'

/** What is varied, and the rest of the form as it was typed: what may stand in its fields depends on the build’s job list. */
export const SheetForm = z.looseObject({}).transform((raw) => (
  { question: first(raw['question']), vary: [...new Set(all(raw['vary']))], raw, version: Number(first(raw['version'])) || 0 }))
export type SheetInput = z.output<typeof SheetForm>

/** What stands in the address of a new sheet: a preset, or the measurements to vary. */
export const NewSheetQuery = z.looseObject({}).transform((raw) => ({ preset: first(raw['preset']), vary: all(raw['vary']), isChosen: first(raw['choose']) !== '' }))

/** Prices of materials that the stores have none for come as `price.<material>`. */
export const WorkForm = z.looseObject({ version }).transform((raw) => ({
  version: raw.version,
  prices: Object.entries(raw).flatMap(([name, value]) => (name.startsWith(PRICE) ? [{ material: name.slice(PRICE.length), typed: first(value) }] : [])),
}))
export type WorkInput = z.output<typeof WorkForm>

export const TakeOptionForm = z.object({
  version,
  option: z.unknown().optional().transform((value, c): number => {
    const n = Number(first(value))
    if (first(value) !== '' && Number.isInteger(n) && n >= 0 && n < MOST_OPTIONS) return n
    c.addIssue({ code: 'custom', message: 'Say which one is taken' })
    return z.NEVER
  }),
  designer: longText(1000),
})
export type TakeOption = z.output<typeof TakeOptionForm>

export const RemoveSheetForm = z.object({ version })
