import { z } from 'zod'
import { date, endTime, id, maybeDate, shortText, time, weekday } from '../../../platform/form-fields.ts'
import { inOrder } from './session.ts'

const stretch = { siteId: id, weekday, fromTime: time('From'), toTime: endTime('To') }

export const UsualForm = z.object(stretch).superRefine((typed, c) => inOrder(typed.fromTime, typed.toTime, c, 'toTime'))
export type UsualInput = z.output<typeof UsualForm>

export const OwnHoursForm = z
  .object({ ...stretch, fromOn: date('From'), untilOn: maybeDate('Until') })
  .superRefine((typed, c) => {
    inOrder(typed.fromTime, typed.toTime, c, 'toTime')
    if (typed.untilOn !== null && typed.untilOn < typed.fromOn) c.addIssue({ code: 'custom', path: ['untilOn'], message: 'Until: before it begins; choose a later date, or leave it empty' })
  })
export type OwnHoursInput = z.output<typeof OwnHoursForm>

export const HomeForm = z.object({ name: shortText('Name') })
