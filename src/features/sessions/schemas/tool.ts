import { z } from 'zod'
import { checkbox, date, longText, maybeDate, maybeId, shortText, wholeNumber } from '../../../platform/form-fields.ts'

export const ToolForm = z
  .object({ name: shortText('Name'), count: wholeNumber('How many', 0, 1000), siteId: maybeId, competenceId: maybeId, arrivesOn: maybeDate('Arrives on'), note: longText(1000), isRetired: checkbox })
  .transform(({ isRetired, ...typed }) => ({ ...typed, isActive: !isRetired }))
export type ToolInput = z.output<typeof ToolForm>

export const OutageForm = z
  .object({ count: wholeNumber('How many', 1, 1000), fromOn: date('From'), toOn: maybeDate('To'), why: shortText('Why', 200) })
  .superRefine((typed, c) => {
    if (typed.toOn !== null && typed.toOn < typed.fromOn) c.addIssue({ code: 'custom', path: ['toOn'], message: 'To: before it begins; choose a later date, or leave it empty while nobody knows' })
  })
export type OutageInput = z.output<typeof OutageForm>
