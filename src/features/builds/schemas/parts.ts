/** Form fields that several forms share. Everything arrives as text. */
import { z } from 'zod'
import { isDate, parseHm } from '../../../core/calendar/index.ts'
import { parseHours } from '../facts/parse-hours.ts'

export const shortText = (what: string, max = 120) =>
  z.string({ error: `${what}: fill this in` }).trim().min(1, `${what}: fill this in`).max(max, `${what}: at most ${max} characters`)
export const longText = (max = 2000) => z.string().trim().max(max, `At most ${max} characters`).default('')

/** Hours as people write them, to whole minutes. */
export const hoursText = (least = 1) =>
  z.string({ error: 'Say how long: 1.5 or 1:30 is an hour and a half' }).transform((text, c) => {
    const parsed = parseHours(text)
    const message = !parsed.ok ? parsed.message : parsed.minutes < least ? 'More than nothing' : parsed.minutes > 600_000 ? 'Not more than 10 000 hours' : null
    if (parsed.ok && message === null) return parsed.minutes
    c.addIssue({ code: 'custom', message: message ?? '' })
    return z.NEVER
  })

const numeric = (text: string) => Number(text.trim().replace(',', '.').replace('−', '-'))

/** A whole number; empty is refused unless a default is given. */
export const wholeNumber = (what: string, min: number, max: number, byDefault?: number) =>
  z.string().default('').transform((text, c) => {
    if (text.trim() === '' && byDefault !== undefined) return byDefault
    const n = numeric(text)
    if (text.trim() !== '' && Number.isInteger(n) && n >= min && n <= max) return n
    c.addIssue({ code: 'custom', message: text.trim() === '' ? `${what}: fill this in` : `${what}: a whole number from ${min} to ${max}, not “${text.trim()}”` })
    return z.NEVER
  })

/** A number or nothing. */
export const maybeNumber = (what: string, min: number, max: number, whole = false) =>
  z.string().default('').transform((text, c) => {
    if (text.trim() === '') return null
    const n = numeric(text)
    if (Number.isFinite(n) && n >= min && n <= max && (!whole || Number.isInteger(n))) return n
    c.addIssue({ code: 'custom', message: `${what}: ${whole ? 'a whole number' : 'a number'} from ${min} to ${max}, or empty; not “${text.trim()}”` })
    return z.NEVER
  })

export const someNumber = (what: string, min: number, max: number) =>
  maybeNumber(what, min, max).transform((n, c) => {
    if (n !== null) return n
    c.addIssue({ code: 'custom', message: `${what}: fill this in` })
    return z.NEVER
  })

export const maybeDate = z.string().trim().default('').refine((text) => text === '' || isDate(text), 'Write the date as 2026-06-30').transform((text) => (text === '' ? null : text))
export const maybeTime = z.string().trim().default('').refine((text) => text === '' || parseHm(text) !== null, 'Write the time as 14:30').transform((text) => (text === '' ? null : text))
export const checkbox = z.string().optional().transform((v) => v !== undefined && v !== '' && v !== 'no')
export const maybeId = z.string().trim().default('').refine((text) => text === '' || z.uuid().safeParse(text).success, 'Choose from the list').transform((text) => (text === '' ? null : text))
export const id = z.uuid({ error: 'Choose from the list' })
export const version = z.string().transform((text, c) => {
  const n = Number(text)
  if (Number.isInteger(n) && n > 0) return n
  c.addIssue({ code: 'custom', message: 'The page is incomplete: open it again' })
  return z.NEVER
})
/** A field that may be repeated: none, one or many. */
export const many = <S extends z.ZodType<unknown, string>>(part: S) =>
  z.preprocess((v) => (v === undefined || v === '' ? [] : Array.isArray(v) ? v : [v]), z.array(part).max(200, 'Too many'))
