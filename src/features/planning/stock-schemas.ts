import { z } from 'zod'
import { isUuid } from '../../platform/request.ts'

export const MOST_WEEKS = 104
export const MOST_PACKS = 9_999

const text = (value: unknown): string => (typeof value === 'string' ? value.trim() : Array.isArray(value) ? String(value[0] ?? '').trim() : '')
const texts = (value: unknown): string[] => (typeof value === 'string' ? [value] : Array.isArray(value) ? value.map(String) : [])

const weeks = z.unknown().optional().transform((typed, c): number | null => {
  const said = text(typed)
  if (said === '' || said === 'plan') return null
  const n = Number(said)
  if (Number.isInteger(n) && n >= 1 && n <= MOST_WEEKS) return n
  c.addIssue({ code: 'custom', message: `Whole weeks from 1 to ${MOST_WEEKS}, not “${said}”` })
  return z.NEVER
})
const ticked = z.unknown().optional().transform((typed) => text(typed) !== '')

export const BuyingQuery = z.object({ weeks, undated: ticked })

export type Chosen = {
  readonly itemId: string
  /** What the list said was missing when it was looked at. */
  readonly short: number
}

/** Ticked items are `pick`; `short_<item>` is what the list said is missing, `packs_<pack>` how many of each pack. */
export const BuyingForm = z.looseObject({ weeks, undated: ticked }).transform((raw, c) => {
  const picks = [...new Set(texts(raw['pick']).filter(isUuid))]
  if (picks.length === 0) c.addIssue({ code: 'custom', path: [], message: 'Nothing is ticked, so nothing was ordered.' })
  const packs = new Map<string, number>()
  for (const [name, value] of Object.entries(raw)) {
    const id = name.startsWith('packs_') ? name.slice(6) : ''
    if (!isUuid(id)) continue
    const typed = text(value)
    if (/^\d{1,4}$/.test(typed)) packs.set(id, Number(typed))
    else c.addIssue(
      {
        code: 'custom', path: [name],
        message: typed === '' ? 'How many packs? 0 for none' : `A whole number of packs from 0 to ${MOST_PACKS}, not “${typed}”`,
      }
    )
  }
  const chosen = picks.map((itemId): Chosen => ({ itemId, short: Number(text(raw[`short_${itemId}`])) || 0 }))
  return { ask: { weeks: raw.weeks, undated: raw.undated }, chosen, packs }
})
export type BuyingInput = z.output<typeof BuyingForm>
