/** What a club chooses of itself, as fields: at set-up, and on the page of its settings. */
import { z } from 'zod'
import { LOCALES } from '../../views/shared/club-choices.ts'
import { shortText } from './form-fields.ts'
import { isZone } from './zone.ts'

const currencies = new Set(Intl.supportedValuesOf('currency'))

export const clubName = shortText('Name of the club', 80)
export const clubFields = {
  zone: z.string({ error: 'Time zone: choose from the list' }).trim().refine(isZone, 'Time zone: choose from the list, such as Europe/Berlin'),
  locale: z.enum(LOCALES.map(([code]) => code), { error: 'Dates: choose from the list' }),
  units: z.enum(['metric', 'imperial'], { error: 'Units: choose one' }),
  currency: z.string({ error: 'Currency: choose from the list' }).refine((c) => currencies.has(c), 'Currency: choose from the list'),
}
