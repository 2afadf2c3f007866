import { z } from 'zod'
import { isWeek, weekStart } from '../../../core/calendar/index.ts'

/** A week as it stands in the address; anything else is answered with this week's page and a word. Empty: this week. */
export const ClubWeek = z.object({
  week: z.unknown().optional().transform((value, c): string | null => {
    const text = String([value ?? ''].flat()[0] ?? '').trim()
    if (text === '') return null
    if (isWeek(text)) return weekStart(text)
    c.addIssue({ code: 'custom', message: `“${text.slice(0, 20)}” is no week: write it as 2026-W24. Here is this week instead.` })
    return z.NEVER
  }),
})
