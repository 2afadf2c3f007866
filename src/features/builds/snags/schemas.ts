import { z } from 'zod'
import { checkbox, date, id, longText, many, maybeDate, maybeId, shortText, version, wholeNumber } from '../../../platform/form-fields.ts'
import { hoursText } from '../schemas/hours.ts'
import { FAULT_KEYS } from './catalogue.ts'

export const HOW_BAD = ['looks', 'before_next', 'before_launch', 'stop'] as const

const about = {
  kind: z.enum(['', ...FAULT_KEYS], { error: 'Choose from the list' }).default('').transform((k) => k || null),
  what: z.string().trim().max(200, 'At most 200 characters').default(''),
  whereAt: z.string().trim().max(200, 'At most 200 characters').default(''),
  bad: z.enum(HOW_BAD, { error: 'Say how bad it is' }),
  taskId: maybeId,
}
export const SnagForm = z.object({ ...about, foundOn: maybeDate('Found on'), forGuests: checkbox })
export const EditSnagForm = z.object({ ...about, version, foundOn: date('Found on') })
export const CloseForm = z.object({ note: longText(500), on: maybeDate('On') })

const lines = longText(4000).transform((text) => text.split(/\r?\n/).map((line) => line.trim()).filter((line) => line !== ''))

export const ReworkForm = z.object({
  name: shortText('Name', 100),
  steps: lines,
  afterCure: lines,
  low: hoursText(0), likely: hoursText(), high: hoursText(),
  handsFrom: wholeNumber('Hands, from', 1, 50, 1), handsTo: wholeNumber('Hands, to', 1, 50, 1),
  dusty: checkbox,
  productId: maybeId,
  before: many(id),
}).superRefine((v, c) => {
  const bad = (path: string, message: string) => c.addIssue({ code: 'custom', path: [path], message })
  if (v.low > v.likely) bad('low', 'Low is more than likely')
  if (v.high < v.likely) bad('high', 'High is less than likely')
  if (v.handsTo < v.handsFrom) bad('handsTo', `Not fewer than from: ${v.handsFrom}`)
})
