import { z } from 'zod'
import { checkbox, maybeNumber } from '../../../platform/form-fields.ts'

/** Somebody's own figures: what if there were more hours, one more helper, a warmer shop. Nothing is changed by it. */
export const TryQuery = z.object({
  hours: maybeNumber('More hours a week', 0, 60),
  helper: checkbox,
  warmer: maybeNumber('Warmer by, °C', 0, 15),
})
export type TryInput = z.output<typeof TryQuery>

export const asksNothing = (t: TryInput): boolean => (t.hours ?? 0) === 0 && !t.helper && (t.warmer ?? 0) === 0
