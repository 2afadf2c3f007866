import { z } from 'zod'
import { SLIP_CAUSES, type SlipCause } from '../../../../views/shared/slip-words.ts'
import { longText, many } from '../../../platform/form-fields.ts'
import type { ReviewEdits } from '../model.ts'
import { MOST_PHOTOS } from './facts/edits.ts'

export const HEADLINE_MAX = 300
export const WORDS_MAX = 160
const INCOMPLETE = 'The page is incomplete: open it again'
const KEY = /^(wash:)?[0-9a-f-]{36}$/

const few = (what: string, max: number) => z.string().trim().max(max, `${what}: at most ${max} characters`).default('')
type Slip = { key: string; cause: SlipCause | ''; words: string }

/** Rows of slips come as `slip`, `cause-<key>`, `words-<key>`. */
function slipsOf(form: Record<string, unknown>, c: z.core.$RefinementCtx): ReviewEdits['slips'] {
  const text = (name: string) => (typeof form[name] === 'string' ? form[name].trim() : '')
  const keys = [form['slip'] ?? []].flat().filter((k): k is string => typeof k === 'string' && KEY.test(k))
  const said = keys.map((key): Slip => ({ key, cause: SLIP_CAUSES.find((one) => one === text(`cause-${key}`)) ?? '', words: text(`words-${key}`) }))
  const wrong = (key: string, message: string) => c.addIssue({ code: 'custom', path: [`words-${key}`], message })
  for (const s of said) {
    if (s.words.length > WORDS_MAX) wrong(s.key, `At most ${WORDS_MAX} characters`)
    if (s.cause === 'own' && s.words === '') wrong(s.key, 'In your own words: write them here, or choose another cause')
  }
  return Object.fromEntries(said.flatMap((s): [string, { cause: SlipCause; words: string }][] =>
    s.cause !== '' ? [[s.key, { cause: s.cause, words: s.words }]] : s.words !== '' ? [[s.key, { cause: 'own', words: s.words }]] : []))
}

/** `version` 0: nobody has saved anything of this week yet. `photos`: those ticked; `choose` says that there were any to tick. */
export const ReviewForm = z
  .object({
    version: z.string({ error: INCOMPLETE }).regex(/^\d{1,9}$/, INCOMPLETE).transform(Number),
    do: z.enum(['save', 'sign']).default('save'),
    headline: few('The week in a sentence', HEADLINE_MAX),
    next: longText(500),
    lessons: longText(1000),
    choose: z.string().optional(),
    photos: many(z.uuid({ error: 'Choose from the photos of the week' })),
  })
  .loose()
  .transform((form, c) => {
    if (form.photos.length > MOST_PHOTOS) c.addIssue({ code: 'custom', path: ['photos'], message: `At most ${MOST_PHOTOS} photos fit on the page: leave ${form.photos.length - MOST_PHOTOS} out` })
    const edits: ReviewEdits = { headline: form.headline, next: form.next, lessons: form.lessons, slips: slipsOf(form, c), photos: form.choose === undefined ? null : form.photos }
    return { version: form.version, sign: form.do === 'sign', edits }
  })
export type ReviewInput = z.output<typeof ReviewForm>
