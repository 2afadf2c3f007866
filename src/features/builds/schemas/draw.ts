import { z } from 'zod'
import { checkbox, longText, maybeDate, maybeId } from '../../../platform/form-fields.ts'

const text = z.string().trim().max(60, 'At most 60 characters').default('')

/** A can that was weighed because the book has too little of it. */
const weighed = { weighed: text, weighedLot: maybeId, gross: checkbox }

/** `amount.<key>`, `lot.<key>`, `weighed.<key>`, `weighedLot.<key>`, `gross.<key>`; key: s or a, and the item's id. Amounts are read in the command, which knows the units. */
export const DrawForm = z.looseObject({ whose: z.enum(['club', 'own']).catch('club'), why: longText(300), onDate: maybeDate('Day'), otherItem: maybeId, otherAmount: text, otherUse: z.enum(['structure', 'any']).catch('any') }).transform((raw, c) => {
  const of = (name: string): string => (typeof raw[name] === 'string' ? raw[name].trim() : '')
  const lines = Object.keys(raw).flatMap((field) => {
    const [, key, use, itemId] = /^amount\.((s|a)\.([0-9a-f-]{36}))$/.exec(field) ?? []
    if (key === undefined || itemId === undefined) return []
    const lot = maybeId.safeParse(of(`lot.${key}`))
    const can = z.object(weighed).safeParse({ weighed: of(`weighed.${key}`), weighedLot: of(`weighedLot.${key}`), gross: of(`gross.${key}`) })
    if (!lot.success) c.addIssue({ code: 'custom', path: [`lot.${key}`], message: 'Choose from the list' })
    if (!can.success) c.addIssue({ code: 'custom', path: [`weighed.${key}`], message: 'Choose the can from the list' })
    return [{ field, key, itemId, structural: use === 's', amount: of(field), lotId: lot.data ?? null, ...(can.data ?? { weighed: '', weighedLot: null, gross: false }) }]
  })
  return { whose: raw.whose, why: raw.why, onDate: raw.onDate, lines, other: { itemId: raw.otherItem, amount: raw.otherAmount, structural: raw.otherUse === 'structure' } }
})
export type DrawInput = z.output<typeof DrawForm>

/** The can before and after, as the scale shows it. */
export const WeighForm = z.object({
  key: z.string({ error: 'Choose what was poured' }).regex(/^[sa]\.[0-9a-f-]{36}$/, 'Choose what was poured'),
  lot: maybeId, before: text, after: text, why: longText(300),
  /** As in the other form: what the can really held, where the book has too little. */
  ...weighed,
})
export type WeighInput = z.output<typeof WeighForm>

export const BackForm = z.object({ back: text, why: longText(300) })
export const UndoForm = z.object({ why: longText(300) })
