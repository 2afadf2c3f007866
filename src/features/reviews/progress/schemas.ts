import { z } from 'zod'
import { checkbox, longText } from '../../../platform/form-fields.ts'

export const MOST_REASON = 300

export const AgreeForm = z.object({
  reason: longText(MOST_REASON),
  withUnplanned: checkbox,
  /** The plan that the page showed; empty: there was none. */
  plan: z.string().trim().default('').transform((text) => text || null),
})
