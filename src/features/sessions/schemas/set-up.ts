import { z } from 'zod'
import { checkbox, email, endTime, password, shortText, time } from '../../../platform/form-fields.ts'
import { isZone } from '../../../platform/zone.ts'
import { inOrder } from './session.ts'

const currencies = new Set(Intl.supportedValuesOf('currency'))
/** How dates and numbers are written; the pages' words are English. */
export const LOCALES = ['en-GB', 'en-IE', 'en-US', 'en-CA', 'en-AU', 'en-NZ', 'en-ZA'] as const

export const SetUpForm = z
  .object({
    code: shortText('Set-up code', 40),
    club: shortText('Name of the club', 80),
    zone: z.string({ error: 'Time zone: choose from the list' }).trim().refine(isZone, 'Time zone: choose from the list, such as Europe/Berlin'),
    locale: z.enum(LOCALES, { error: 'Dates: choose from the list' }),
    units: z.enum(['metric', 'imperial'], { error: 'Units: choose one' }),
    currency: z.string({ error: 'Currency: choose from the list' }).refine((c) => currencies.has(c), 'Currency: choose from the list'),
    name: shortText('Your name'),
    email, password,
    again: z.string().default(''),
    saturdays: checkbox,
    starts: time('Starts'),
    ends: endTime('Ends'),
  })
  .superRefine((typed, c) => {
    if (typed.password !== typed.again) c.addIssue({ code: 'custom', path: ['again'], message: 'The two passwords are not the same' })
    if (typed.saturdays) inOrder(typed.starts, typed.ends, c)
  })
export type SetUp = z.output<typeof SetUpForm>
