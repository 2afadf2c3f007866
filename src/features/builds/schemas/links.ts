import { z } from 'zod'
import { checkbox, id, many, maybeDate, maybeId, maybeTime, shortText, wholeNumber } from '../../../platform/form-fields.ts'
import { hoursText } from './hours.ts'
import { stage } from './logging.ts'

const maybeHours = (least = 0) => z.string().trim().default('').pipe(z.union([z.literal('').transform(() => null), hoursText(least)]))

export const LinkForm = z.object({
  /** Seen from the page's task: `other` comes before it, or after it. */
  side: z.enum(['before', 'after']),
  other: id,
  kind: z.enum(['finish', 'lag', 'stage', 'window']),
  lag: maybeHours(),
  edge: z.enum(['start', 'finish']).default('finish'),
  min: maybeHours(),
  max: maybeHours(),
  stage: stage.optional(),
  hard: checkbox,
  wash: maybeHours(1),
  washTools: many(id),
}).superRefine((v, c) => {
  if (v.kind === 'lag' && v.min === null && v.max === null) c.addIssue({ code: 'custom', path: ['min'], message: 'At least, at most, or both' })
  if (v.kind === 'lag' && v.min !== null && v.max !== null && v.min > v.max) c.addIssue({ code: 'custom', path: ['max'], message: 'At most is shorter than at least' })
  if (v.kind === 'stage' && v.stage === undefined) c.addIssue({ code: 'custom', path: ['stage'], message: 'Choose the cure stage' })
  if (v.kind === 'window' && !v.hard && v.wash === null) c.addIssue({ code: 'custom', path: ['wash'], message: 'How long washing and sanding takes if it is missed, or tick “must be met”' })
})
export type LinkInput = z.output<typeof LinkForm>

export const HoldForm = z.object({
  /** Empty: a bay where she stands. */
  tool: maybeId,
  amount: wholeNumber('How many', 1, 1000, 1),
  from: id,
  to: id,
})
export const PinForm = z.object({
  day: maybeDate().refine((d) => d !== null, 'Say the day'),
  from: maybeTime().refine((t) => t !== null, 'Say when it begins'),
  until: maybeTime().refine((t) => t !== null, 'Say when it ends'),
  place: maybeId,
  people: many(id),
  supervisor: maybeId,
})
export const PhaseForm = z.object({ name: shortText('Name of the phase', 80) })
