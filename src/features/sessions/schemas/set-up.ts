import { z } from 'zod'
import { clubFields, clubName } from '../../../platform/club-fields.ts'
import { checkbox, email, endTime, password, shortText, time } from '../../../platform/form-fields.ts'
import { inOrder } from './session.ts'

export const SetUpForm = z
  .object({
    code: shortText('Set-up code', 40),
    club: clubName,
    ...clubFields,
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
