import { z } from 'zod'
import { SLIP_CAUSES, type SlipCause } from '../../../../views/shared/slip-words.ts'
import { isUuid } from '../../../platform/request.ts'
import type { ReviewEdits } from '../model.ts'
import { MOST_PHOTOS } from './facts/edits.ts'

const HEADLINE_MAX = 300
const WORDS_MAX = 160
const NEXT_MAX = 500
const LESSONS_MAX = 1000
const INCOMPLETE = 'The page is incomplete: open it again'
const KEY = /^(wash:)?[0-9a-f-]{36}$/

type Issues = z.core.$RefinementCtx
type Form = Readonly<Record<string, unknown>>
type Slip = { key: string; cause: SlipCause | ''; words: string }

const wrong = (c: Issues, name: string, message: string) => c.addIssue({ code: 'custom', path: [name], message })
const textsOf = (form: Form, name: string): string[] => [form[name] ?? []].flat().filter((t): t is string => typeof t === 'string')

function textOf(form: Form, name: string, what: string, max: number, c: Issues): string {
  const text = (textsOf(form, name)[0] ?? '').trim()
  if (text.length > max) wrong(c, name, `${what}: at most ${max} characters, not ${text.length}`)
  return text
}

/** Rows of slips come as `slip`, `cause-<key>`, `words-<key>`. */
function slipsOf(form: Form, c: Issues): ReviewEdits['slips'] {
  const said = textsOf(form, 'slip').filter((key) => KEY.test(key)).map((key): Slip => {
    const words = textOf(form, `words-${key}`, 'In a few words', WORDS_MAX, c)
    const cause = SLIP_CAUSES.find((one) => one === textsOf(form, `cause-${key}`)[0]) ?? ''
    if (cause === 'own' && words === '') wrong(c, `words-${key}`, 'In your own words: write them here, or choose another cause')
    return { key, cause, words }
  })
  return Object.fromEntries(said.flatMap((s): [string, { cause: SlipCause; words: string }][] =>
    s.cause !== '' ? [[s.key, { cause: s.cause, words: s.words }]] : s.words !== '' ? [[s.key, { cause: 'own', words: s.words }]] : []))
}

function photosOf(form: Form, c: Issues): string[] | null {
  if (form['choose'] === undefined) return null
  const photos = textsOf(form, 'photos').filter(isUuid)
  if (photos.length > MOST_PHOTOS) wrong(c, 'photos', `At most ${MOST_PHOTOS} photos fit on the page: leave ${photos.length - MOST_PHOTOS} out`)
  return photos
}

/** `version` 0: nobody has saved anything of this week yet. `photos`: those ticked; `choose` says that there were any to tick. */
export const ReviewForm = z
  .looseObject({ version: z.string({ error: INCOMPLETE }).regex(/^\d{1,9}$/, INCOMPLETE).transform(Number), do: z.enum(['save', 'sign']).default('save') })
  .transform((form, c) => {
    const edits: ReviewEdits = {
      headline: textOf(form, 'headline', 'The week in a sentence', HEADLINE_MAX, c), slips: slipsOf(form, c),
      next: textOf(form, 'next', 'About next week', NEXT_MAX, c), lessons: textOf(form, 'lessons', 'Learnt or decided', LESSONS_MAX, c), photos: photosOf(form, c),
    }
    return { version: form.version, sign: form.do === 'sign', edits }
  })
