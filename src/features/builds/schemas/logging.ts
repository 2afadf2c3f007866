import { z } from 'zod'
import { CURE_STAGES } from '../../../core/cure/types.ts'
import { findingNames } from '../facts/findings.ts'
import { checkbox, id, longText, many, maybeDate, maybeId, maybeTime, version, wholeNumber } from '../../../platform/form-fields.ts'
import { hoursText } from './hours.ts'

export const LogHoursForm = z.object({
  hours: hoursText(),
  /** Empty: whoever sends it. */
  for: many(id),
  also: maybeId,
  day: maybeDate(),
  from: maybeTime(),
  note: longText(500),
  /** The wash of this link. */
  link: maybeId,
})
export const ReverseForm = z.object({ note: longText(500) })
export const TickForm = z.object({ ticked: z.enum(['yes', 'no']) })
export const FinishForm = z.object({ day: maybeDate(), at: maybeTime() })
export const NoForm = z.object({})
export const LeftForm = z.object({ left: hoursText(0) })

/** When a coat went on: the last stroke now, some minutes ago, or at a time; and how long it took. */
export const CoatForm = z.object({
  ended: z.enum(['now', '30', '60', '120', 'at']).default('now'),
  day: maybeDate(),
  at: maybeTime(),
  took: wholeNumber('Minutes it took', 1, 1440),
  place: maybeId,
  product: maybeId,
  washed: checkbox,
  hours: checkbox,
  for: many(id),
  note: longText(500),
})
export const CorrectCoatForm = z.object({
  version,
  day: maybeDate().refine((d) => d !== null, 'Say the day'),
  started: maybeTime().refine((t) => t !== null, 'Say when it began'),
  endDay: maybeDate(),
  ended: maybeTime().refine((t) => t !== null, 'Say when it ended'),
  place: id,
  product: id,
  note: longText(500),
})
export const FindingForm = z.object({ finding: z.enum(findingNames), day: maybeDate(), at: maybeTime(), note: longText(300) })
export const WashForm = z.object({ step: z.enum(['missed', 'not-missed', 'done', 'not-done']) })
export const stage = z.enum(CURE_STAGES)
