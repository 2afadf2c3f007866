/** Form fields that several forms share. Everything arrives as text. */
import { z } from 'zod'
import { isDate, parseHm } from '../../../core/calendar/index.ts'
import type { UnitOf } from '../../../../views/shared/format.ts'

export const text = (what: string, max = 120) =>
  z.string({ error: `${what}: fill this in` }).trim().min(1, `${what}: fill this in`).max(max, `${what}: at most ${max} characters`)
export const note = (max = 1000) => z.string().trim().max(max, `At most ${max} characters`).default('')

const numeric = (typed: string) => Number(typed.trim().replace(',', '.').replace('−', '-'))

export const wholeNumber = (what: string, min: number, max: number) =>
  z.string().default('').transform((typed, c) => {
    const n = numeric(typed)
    if (typed.trim() !== '' && Number.isInteger(n) && n >= min && n <= max) return n
    c.addIssue({ code: 'custom', message: typed.trim() === '' ? `${what}: fill this in` : `${what}: a whole number from ${min} to ${max}, not “${typed.trim()}”` })
    return z.NEVER
  })

/** A number typed in the club's unit, given on in SI; `min` and `max` are SI. Empty is null. */
export const maybeMeasure = (what: string, unit: UnitOf, min: number, max: number) =>
  z.string().default('').transform((typed, c) => {
    if (typed.trim() === '') return null
    const si = unit.toSi(numeric(typed))
    if (Number.isFinite(si) && si >= min - 1e-9 && si <= max + 1e-9) return si
    const shown = (n: number) => Math.round(unit.fromSi(n))
    c.addIssue({ code: 'custom', message: `${what}: a number from ${shown(min)} to ${shown(max)} ${unit.unit}, not “${typed.trim()}”` })
    return z.NEVER
  })

export const measure = (what: string, unit: UnitOf, min: number, max: number) =>
  maybeMeasure(what, unit, min, max).transform((n, c) => {
    if (n !== null) return n
    c.addIssue({ code: 'custom', message: `${what}: fill this in` })
    return z.NEVER
  })

export const date = (what: string) => z.string({ error: `${what}: fill this in` }).trim().refine(isDate, `${what}: write the date as 2026-06-30`)
export const maybeDate = (what: string) =>
  z.string().trim().default('').refine((typed) => typed === '' || isDate(typed), `${what}: write the date as 2026-06-30`).transform((typed) => typed || null)
/** A time of day; browsers may send seconds. */
const tidyTime = (typed: string) => typed.trim().replace(/^(\d{2}:\d{2}):00$/, '$1')
export const time = (what: string) =>
  z.string({ error: `${what}: fill this in` }).transform(tidyTime).refine((typed) => parseHm(typed) !== null, `${what}: write the time as 14:30`)
/** The end of a stretch of a day: midnight, however written, is the end of that day. */
export const endTime = (what: string) =>
  z.string({ error: `${what}: fill this in` }).transform(tidyTime).transform((typed) => (typed === '00:00' ? '24:00' : typed))
    .refine((typed) => typed === '24:00' || parseHm(typed) !== null, `${what}: write the time as 14:30`)
export const maybeTime = (what: string) =>
  z.string().default('').transform(tidyTime).refine((typed) => typed === '' || parseHm(typed) !== null, `${what}: write the time as 14:30`).transform((typed) => typed || null)
export const maybeEnd = (what: string) => z.string().default('').transform((typed, c) => {
  if (typed.trim() === '') return null
  const parsed = endTime(what).safeParse(typed)
  if (parsed.success) return parsed.data
  c.addIssue({ code: 'custom', message: parsed.error.issues[0]!.message })
  return z.NEVER
})
export const checkbox = z.string().optional().transform((typed) => typed !== undefined && typed !== '' && typed !== 'no')
export const id = z.uuid({ error: 'Choose from the list' })
export const maybeId = z.string().trim().default('').refine((typed) => typed === '' || z.uuid().safeParse(typed).success, 'Choose from the list').transform((typed) => typed || null)
export const version = z.string({ error: 'The page is incomplete: open it again' }).regex(/^\d{1,9}$/, 'The page is incomplete: open it again').transform(Number)
export const weekday = z.string({ error: 'Choose a day of the week' }).regex(/^[1-7]$/, 'Choose a day of the week').transform(Number)

/** A form without anything but its once-only key. */
export const Nothing = z.object({})
/** Of the row as the page was loaded with. */
export const Version = z.object({ version })
