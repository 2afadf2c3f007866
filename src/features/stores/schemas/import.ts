import { z } from 'zod'
import { checkbox } from '../../../platform/form-fields.ts'

/** Characters of a list; a thousand lines of the ledger are about 200,000. */
export const LONGEST_LIST = 3_000_000

/** Line ends as the file had them: a form sends them as CRLF. */
export const ImportForm = z.object({
  text: z.string({ error: 'The list: paste it, or choose its file' }).max(LONGEST_LIST, 'The list: too long; bring it in in parts').refine((text) => text.trim() !== '', 'The list: paste it, or choose its file'),
  again: checkbox,
})
