import { z } from 'zod'
import { maybeDate, maybeTime, shortText } from '../../../platform/form-fields.ts'

export const CostRuleForm = z.object({
  rule: z.enum(['average', 'fifo'], { error: 'Choose a rule' }),
  /** Both empty: from now on. */
  day: maybeDate('From'),
  time: maybeTime('From what time'),
  why: shortText('Why', 300),
})
export type CostRuleInput = z.output<typeof CostRuleForm>

/** A stretch of days; empty ends are filled in: the year so far. */
export const ValueQuery = z.object({ from: maybeDate('From'), to: maybeDate('To') })
  .refine((v) => v.from === null || v.to === null || v.from <= v.to, { path: ['to'], message: 'To: not before “from”' })
