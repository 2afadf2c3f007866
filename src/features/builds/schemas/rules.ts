import { z } from 'zod'
import { coefficientAbout } from '../../../core/estimate/index.ts'
import { longText } from '../../../platform/form-fields.ts'
import { orderFault, readFigure, type End, type Ends } from '../facts/figure-text.ts'
import { learnsFrom, SKILLS } from '../facts/rule-keys.ts'

const INCOMPLETE = 'The page is incomplete: open it again'
const text = z.string().default('')

/** Low, likely and high of one figure, in its unit; a single number has `likely` alone. `stored`: the version the page showed, 0 for the usual figure. */
export const figureForm = (key: string) =>
  z.object({
    low: text, likely: text, high: text, note: longText(500), stored: z.string({ error: INCOMPLETE }).regex(/^\d{1,9}$/, INCOMPLETE).transform(Number),
  }).transform((raw, c): Ends & { note: string; stored: number } => {
    const about = coefficientAbout.get(key)
    if (!about) {
      c.addIssue({ code: 'custom', path: [], message: INCOMPLETE })
      return z.NEVER
    }
    const ends = { low: 0, likely: 0, high: 0 }
    let isRead = true
    for (const end of about.kind === 'number' ? (['likely'] as const) : (['low', 'likely', 'high'] as const)) {
      const read = readFigure(raw[end], about, end)
      if (read.ok) ends[end] = read.value
      else {
        isRead = false
        c.addIssue({ code: 'custom', path: [end satisfies End], message: read.message })
      }
    }
    if (!isRead) return z.NEVER
    if (about.kind === 'number') return { low: ends.likely, likely: ends.likely, high: ends.likely, note: raw.note, stored: raw.stored }
    const fault = orderFault(ends)
    if (fault) c.addIssue({ code: 'custom', path: [fault.end], message: fault.message })
    return { ...ends, note: raw.note, stored: raw.stored }
  })

export const LearnedForm = z.object({
  rule: z.string({ error: INCOMPLETE }).refine((key) => learnsFrom(key), INCOMPLETE),
  skill: z.enum(SKILLS, { error: INCOMPLETE }),
  use: z.enum(['yes', 'no'], { error: INCOMPLETE }),
})
