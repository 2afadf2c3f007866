import { z } from 'zod'
import { unitsOf, type Units } from '../../../views/shared/format.ts'
import { clubFields, clubName } from '../../platform/club-fields.ts'
import { checkbox, date, email, id, longText, many, maybeDate, maybeEmail, maybeNumber, measure, password, shortText, version, wholeNumber } from '../../platform/form-fields.ts'
import { Role } from '../../platform/generated/enums.ts'

export const ROLES = Object.values(Role)

const phone = z.string().trim().max(40, 'At most 40 characters').default('').transform((text) => text || null)
const about = { name: shortText('Name'), email: maybeEmail, phone, helpsAnyone: checkbox }

export const NewMemberForm = z.object({
  ...about, roles: many(z.enum(Role, { error: 'Choose from the list' })), isMinor: checkbox, note: longText(500),
})
export type NewMember = z.output<typeof NewMemberForm>

export const MemberForm = NewMemberForm.extend({ isActive: checkbox, version })
export type EditMember = z.output<typeof MemberForm>

export const HeldForm = z.object({ competenceId: id, level: z.enum(['full', 'supervised'], { error: 'Choose one' }), checkedOn: date(), refreshOn: maybeDate() })
export type Held = z.output<typeof HeldForm>

export const CompetenceForm = z.object({
  name: shortText('Name', 80), note: longText(300), refreshYears: maybeNumber('Years until it is refreshed', 1, 20, true),
})
export type CompetenceInput = z.output<typeof CompetenceForm>
export const EditCompetenceForm = CompetenceForm.extend({ isActive: checkbox })

export const MeForm = z.object({ ...about, version })
export type EditMe = z.output<typeof MeForm>

export const PasswordForm = z.object({ current: z.string().default(''), password, again: z.string().default('') })
  .refine((v) => v.password === v.again, { path: ['again'], message: 'The two are not the same' })

/** A temperature arrives in the units that the page showed it in. */
export const ClubForm = (shownIn: Units) =>
  z.object({
    name: clubName, ...clubFields,
    missedWindowDays: wholeNumber('What a missed window costs', 0, 60),
    surfaceOffset: measure('Surface against air', unitsOf(shownIn).difference, -10, 10),
    countUsual: checkbox,
    planSchedules: wholeNumber('How long the planner tries', 1, 5000),
    version,
  })
export type ClubInput = z.output<ReturnType<typeof ClubForm>>

export const SignInForm = z.object({
  email: z.string({ error: 'Fill this in' }).trim().min(1, 'Fill this in').max(200, 'At most 200 characters'),
  password: z.string({ error: 'Fill this in' }).min(1, 'Fill this in').max(200, 'At most 200 characters'),
  then: z.string().default(''),
})
export const InvitedForm = z.object({ email, password, again: z.string().default('') })
  .refine((v) => v.password === v.again, { path: ['again'], message: 'The two are not the same' })
export const NoForm = z.object({})
