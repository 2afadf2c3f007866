import { z } from 'zod'
import { checkbox, date, longText, maybeDate, maybeId, version } from '../../../platform/form-fields.ts'

export const LOG_KINDS = ['note', 'lesson', 'decision'] as const
const kind = z.enum(LOG_KINDS, { error: 'Choose what it is' }).default('note')
const text = z.string({ error: 'Say what happened' }).trim().min(1, 'Say what happened: a word or two will do').max(4000, 'At most 4000 characters')

export const EntryForm = z.object({ text, kind, day: maybeDate('When'), task: maybeId, snag: maybeId, forGuests: checkbox })
export const EditEntryForm = z.object({ version, text, kind, day: date('When'), task: maybeId })
export const PhotoForm = z.object({ caption: longText(300), takenOn: date('Taken on'), forGuests: checkbox })

const page = z.string().default('1').transform((n) => (/^[1-9]\d{0,4}$/.test(n) ? Number(n) : 1))
export const LogQuery = z.object({ page, kind: z.enum(LOG_KINDS).optional().catch(undefined) })

export const HIT_KINDS = [...LOG_KINDS, 'snag', 'photo'] as const
export const SearchQuery = z.object({
  q: z.string().catch('').default('').transform((q) => q.slice(0, 200)),
  build: z.uuid().optional().catch(undefined),
  kind: z.enum(HIT_KINDS).optional().catch(undefined),
  page: z.string().catch('1').default('1').transform((n) => (/^[1-9]\d{0,4}$/.test(n) ? Number(n) : 1)),
})
export type SearchInput = z.output<typeof SearchQuery>
