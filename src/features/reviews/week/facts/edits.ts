/** What people chose and wrote of a week review: as JSON in its row, and what stands on the page by it. Pure. */
import { z } from 'zod'
import { SLIP_CAUSES, SLIP_WORDS } from '../../../../../views/shared/slip-words.ts'
import { NO_EDITS, type ReviewEdits, type ReviewFacts, type Shown } from '../../model.ts'

export const MOST_PHOTOS = 4
export const NEWEST = 2

const Stored = z.object({
  headline: z.string().default(''),
  slips: z.record(z.string(), z.object({ cause: z.enum(SLIP_CAUSES), words: z.string() })).default({}),
  next: z.string().default(''),
  lessons: z.string().default(''),
  photos: z.array(z.string()).nullable().default(null),
})

/** What is in the column; anything else in it counts as nothing said. */
export function readEdits(stored: unknown): ReviewEdits {
  const read = Stored.safeParse(stored)
  return read.success ? read.data : NO_EDITS
}

export function shownBy(facts: ReviewFacts, edits: ReviewEdits): Shown {
  return {
    headline: edits.headline === '' ? facts.headline : edits.headline,
    slips: facts.slips.map(({ key, name, cause, detail, leftMin }) => {
      const said = edits.slips[key]
      return { key, name, leftMin, cause: said?.cause ?? cause, words: said ? ownWords(said.cause, said.words, cause, detail) : drafted(cause, detail) }
    }),
    photos: edits.photos === null ? facts.photos.slice(0, NEWEST) : facts.photos.filter((p) => edits.photos?.includes(p.id)).slice(0, MOST_PHOTOS),
  }
}

const drafted = (cause: Shown['slips'][number]['cause'], detail: string): string =>
  cause === null ? 'nothing in the books says why' : detail === '' ? SLIP_WORDS[cause] : `${SLIP_WORDS[cause]}: ${detail}`

/** A person's words; where only a cause was chosen and it is the drafted one, what the books say stays beside it. */
function ownWords(cause: keyof typeof SLIP_WORDS, words: string, draftedCause: string | null, detail: string): string {
  if (cause === 'own') return words
  const more = words !== '' ? words : cause === draftedCause ? detail : ''
  return more === '' ? SLIP_WORDS[cause] : `${SLIP_WORDS[cause]}: ${more}`
}
