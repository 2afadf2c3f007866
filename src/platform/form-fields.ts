/**
 * Fields that forms share; everything arrives as text. Messages are in the user's words and stand beside the field; `what` is
 * the field's label, for those whose message would be unclear in the list on top of the form.
 */
import { z } from 'zod'
import type { UnitOf } from '../../views/shared/format.ts'
import { isDate, parseHm } from '../core/calendar/index.ts'
import { PASSWORD_MAX, PASSWORD_MIN } from './passwords.ts'

export const shortText = (what: string, max = 120) =>
  z.string({ error: `${what}: fill this in` }).trim().min(1, `${what}: fill this in`).max(max, `${what}: at most ${max} characters`)
export const longText = (max = 2000) => z.string().trim().max(max, `At most ${max} characters`).default('')

const numeric = (text: string) => Number(text.trim().replace(',', '.').replace('−', '-'))

type Fault = (typed: string) => string

/** What `read` makes of the text, null where it can't; empty is null as it is. */
const maybeRead = (read: (n: number) => number | null, fault: Fault) =>
  z.string().default('').transform((text, c) => {
    if (text.trim() === '') return null
    const n = read(numeric(text))
    if (n !== null) return n
    c.addIssue({ code: 'custom', message: fault(text.trim()) })
    return z.NEVER
  })

const filled = <S extends z.ZodType<number | null>>(field: S, what: string) =>
  field.transform((n, c) => {
    if (n !== null) return n
    c.addIssue({ code: 'custom', message: `${what}: fill this in` })
    return z.NEVER
  })

const within = (min: number, max: number, whole: boolean) => (n: number) =>
  Number.isFinite(n) && n >= min && n <= max && (!whole || Number.isInteger(n)) ? n : null
const range = (what: string, min: number, max: number, whole: boolean) => `${what}: ${whole ? 'a whole number' : 'a number'} from ${min} to ${max}`

/** A number or nothing. */
export const maybeNumber = (what: string, min: number, max: number, whole = false) =>
  maybeRead(within(min, max, whole), (typed) => `${range(what, min, max, whole)}, or empty; not “${typed}”`)

export const someNumber = (what: string, min: number, max: number, whole = false) =>
  filled(maybeRead(within(min, max, whole), (typed) => `${range(what, min, max, whole)}, not “${typed}”`), what)

/** A whole number; empty is refused unless a default is given. */
export const wholeNumber = (what: string, min: number, max: number, byDefault?: number) =>
  filled(maybeRead(within(min, max, true), (typed) => `${range(what, min, max, true)}, not “${typed}”`).transform((n) => n ?? byDefault ?? null), what)

const measured = (unit: UnitOf, min: number, max: number) => (n: number) => {
  const si = unit.toSi(n)
  return Number.isFinite(si) && si >= min - 1e-9 && si <= max + 1e-9 ? si : null
}
const measureFault = (what: string, unit: UnitOf, min: number, max: number): Fault => (typed) =>
  `${what}: a number from ${Math.round(unit.fromSi(min))} to ${Math.round(unit.fromSi(max))} ${unit.unit}, not “${typed}”`

/** A number typed in the club's unit, given on in SI; `min` and `max` are SI. Empty is null. */
export const maybeMeasure = (what: string, unit: UnitOf, min: number, max: number) =>
  maybeRead(measured(unit, min, max), measureFault(what, unit, min, max))
export const measure = (what: string, unit: UnitOf, min: number, max: number) => filled(maybeMeasure(what, unit, min, max), what)

/** "From: write the time as 14:30", or without a label "Write the time as 14:30". */
const asked = (what: string | undefined, how: string) => (what === undefined ? `W${how.slice(1)}` : `${what}: ${how}`)
const missing = (what: string | undefined, how: string) => (what === undefined ? asked(what, how) : `${what}: fill this in`)
const DATE = 'write the date as 2026-06-30'
const TIME = 'write the time as 14:30'

export const date = (what?: string) => z.string({ error: missing(what, DATE) }).trim().refine(isDate, asked(what, DATE))
export const maybeDate = (what?: string) =>
  z.string().trim().default('').refine((text) => text === '' || isDate(text), asked(what, DATE)).transform((text) => text || null)

/** A time of day; browsers may send seconds. */
const tidyTime = (text: string) => text.trim().replace(/^(\d{2}:\d{2}):00$/, '$1')
const isTime = (text: string) => parseHm(text) !== null
export const time = (what?: string) => z.string({ error: missing(what, TIME) }).transform(tidyTime).refine(isTime, asked(what, TIME))
/** The end of a stretch of a day: midnight, however written, is the end of that day. */
const endOfDay = (text: string) => (text === '00:00' ? '24:00' : text)
const isEnd = (text: string) => text === '24:00' || isTime(text)
export const endTime = (what?: string) =>
  z.string({ error: missing(what, TIME) }).transform((text) => endOfDay(tidyTime(text))).refine(isEnd, asked(what, TIME))
export const maybeTime = (what?: string) =>
  z.string().default('').transform(tidyTime).refine((text) => text === '' || isTime(text), asked(what, TIME)).transform((text) => text || null)
export const maybeEnd = (what?: string) =>
  z.string().default('').transform((text) => endOfDay(tidyTime(text))).refine((text) => text === '' || isEnd(text), asked(what, TIME))
    .transform((text) => text || null)
export const weekday = z.string({ error: 'Choose a day of the week' }).regex(/^[1-7]$/, 'Choose a day of the week').transform(Number)

export const checkbox = z.string().optional().transform((v) => v !== undefined && v !== '' && v !== 'no')
const CHOOSE = 'Choose from the list'
export const id = z.uuid({ error: CHOOSE })
export const maybeId = z.string().trim().default('').refine((text) => text === '' || z.uuid().safeParse(text).success, CHOOSE).transform((text) => text || null)
/** A field that may be repeated: none, one or many. */
export const many = <S extends z.ZodType<unknown, string>>(one: S) =>
  z.preprocess((v) => (v === undefined || v === '' ? [] : [v].flat()), z.array(one).max(200, 'Too many'))

const INCOMPLETE = 'The page is incomplete: open it again'
/** Of the row as the page was loaded with; what a column of four bytes holds. */
export const version = z.string({ error: INCOMPLETE }).regex(/^[1-9]\d{0,8}$/, INCOMPLETE).transform(Number)
export const Version = z.object({ version })
/** A form without anything but its once-only key. */
export const Nothing = z.object({})

const EMAIL = 'An address such as ann@example.org'
export const email = z.string({ error: EMAIL }).trim().toLowerCase().max(200, 'At most 200 characters').pipe(z.email({ error: EMAIL }))
export const maybeEmail = z.string().trim().toLowerCase().max(200, 'At most 200 characters').default('')
  .refine((text) => text === '' || z.email().safeParse(text).success, `${EMAIL}, or empty`).transform((text) => text || null)

/** Shorter ones are guessed too soon; longer ones keep the server busy for nothing. */
export const password = z.string({ error: 'Choose a password of 10 characters or more' }).min(PASSWORD_MIN, `At least ${PASSWORD_MIN} characters`).max(PASSWORD_MAX, `At most ${PASSWORD_MAX} characters`)
