import { z } from 'zod'
import { parseHours } from '../facts/parse-hours.ts'

/** Hours as people write them, to whole minutes. */
export const hoursText = (least = 1) =>
  z.string({ error: 'Say how long: 1.5 or 1:30 is an hour and a half' }).transform((text, c) => {
    const parsed = parseHours(text)
    const message = !parsed.ok ? parsed.message : parsed.minutes < least ? 'More than nothing' : parsed.minutes > 600_000 ? 'Not more than 10 000 hours' : null
    if (parsed.ok && message === null) return parsed.minutes
    c.addIssue({ code: 'custom', message: message ?? '' })
    return z.NEVER
  })
