import { z } from 'zod'
import type { NameInput } from '../commands/materials.ts'
import { readChoice } from '../facts/material-choice.ts'

const text = (v: unknown): string => (typeof v === 'string' ? v.trim() : '')

/** `name.<i>`, `from.<i>`, `use.<i>`, with what the page showed in `was.<i>` and `wasUse.<i>`. */
export const MaterialsForm = z.looseObject({}).transform((raw, c): NameInput[] => {
  const out: NameInput[] = []
  for (const key of Object.keys(raw)) {
    const field = /^name\.(\d{1,4})$/.exec(key)?.[1]
    if (field === undefined) continue
    const from = text(raw[`from.${field}`])
    const use = text(raw[`use.${field}`])
    if (!/^(not|mixed|)$/.test(from) && !z.uuid().safeParse(from.replace('product:', '')).success) c.addIssue({ code: 'custom', path: [`from.${field}`], message: 'Choose from the list' })
    out.push({ field: Number(field), name: text(raw[key]), was: text(raw[`was.${field}`]), choice: readChoice(from), use: use === 'structure' || use === 'any' ? use : '', wasUse: text(raw[`wasUse.${field}`]) })
  }
  return out
})
