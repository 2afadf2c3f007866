/** Fields that forms share; everything arrives as text. Messages are in the user's words and stand beside the field. */
import { z } from 'zod'
import { isDate, parseHm } from '../core/calendar/index.ts'
import { PASSWORD_MAX, PASSWORD_MIN } from './passwords.ts'

export const shortText = (what: string, max = 120) =>
  z.string({ error: `${what}: fill this in` }).trim().min(1, `${what}: fill this in`).max(max, `${what}: at most ${max} characters`)
export const longText = (max = 2000) => z.string().trim().max(max, `At most ${max} characters`).default('')

const numeric = (text: string) => Number(text.trim().replace(',', '.').replace('−', '-'))

/** A number or nothing. */
export const maybeNumber = (what: string, min: number, max: number, whole = false) =>
  z.string().default('').transform((text, c) => {
    if (text.trim() === '') return null
    const n = numeric(text)
    if (Number.isFinite(n) && n >= min && n <= max && (!whole || Number.isInteger(n))) return n
    c.addIssue({ code: 'custom', message: `${what}: ${whole ? 'a whole number' : 'a number'} from ${min} to ${max}, not “${text.trim()}”` })
    return z.NEVER
  })

export const someNumber = (what: string, min: number, max: number, whole = false) =>
  maybeNumber(what, min, max, whole).transform((n, c) => {
    if (n !== null) return n
    c.addIssue({ code: 'custom', message: `${what}: fill this in` })
    return z.NEVER
  })

export const wholeNumber = (what: string, min: number, max: number) => someNumber(what, min, max, true)

const DATE = 'Write the date as 2026-06-30'
export const date = z.string({ error: DATE }).trim().refine(isDate, DATE)
export const maybeDate = z.string().trim().default('').refine((text) => text === '' || isDate(text), DATE).transform((text) => text || null)

const TIME = 'Write the time as 14:30'
const isTime = (text: string) => parseHm(text) !== null
export const time = z.string({ error: TIME }).trim().refine(isTime, TIME)
/** When something ends: midnight is the end of the day, 24:00. */
export const endTime = z.string({ error: TIME }).trim().refine((text) => text === '24:00' || isTime(text), TIME).transform((text) => (text === '00:00' ? '24:00' : text))
export const maybeTime = z.string().trim().default('').refine((text) => text === '' || isTime(text), TIME).transform((text) => text || null)

export const checkbox = z.string().optional().transform((v) => v !== undefined && v !== '' && v !== 'no')
const CHOOSE = 'Choose from the list'
export const id = z.uuid({ error: CHOOSE })
export const maybeId = z.string().trim().default('').refine((text) => text === '' || z.uuid().safeParse(text).success, CHOOSE).transform((text) => text || null)
export const version = z.string({ error: 'The page is incomplete: open it again' }).transform((text, c) => {
  const n = Number(text)
  if (Number.isSafeInteger(n) && n > 0) return n
  c.addIssue({ code: 'custom', message: 'The page is incomplete: open it again' })
  return z.NEVER
})
/** A field that may be repeated: none, one or many. */
export const many = <T extends z.ZodType>(one: T) => z.preprocess((v) => (v === undefined ? [] : [v].flat()), z.array(one))

const EMAIL = 'An address such as ann@example.org'
export const email = z.string({ error: EMAIL }).trim().toLowerCase().max(200, 'At most 200 characters').pipe(z.email({ error: EMAIL }))
export const maybeEmail = z.string().trim().toLowerCase().max(200, 'At most 200 characters').default('')
  .refine((text) => text === '' || z.email().safeParse(text).success, `${EMAIL}, or empty`).transform((text) => text || null)

/** Shorter ones are guessed too soon; longer ones keep the server busy for nothing. */
export const password = z.string({ error: 'Choose a password of 10 characters or more' }).min(PASSWORD_MIN, `At least ${PASSWORD_MIN} characters`).max(PASSWORD_MAX, `At most ${PASSWORD_MAX} characters`)
