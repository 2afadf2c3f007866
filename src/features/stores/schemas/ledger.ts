import { z } from 'zod'
import { checkbox, date, id, longText, maybeDate, maybeId, shortText, version } from '../../../platform/form-fields.ts'
import { rowsOf } from './buying.ts'

const text = z.string().trim().default('')
const why = longText(300)
const reason = shortText('Why', 300)

/** Amounts stay as typed: the command reads them, since it knows the item's unit. */
export const DrawForm = z.object({
  from: z.enum(['club', 'own'], { error: 'Choose whose stock' }).default('club'),
  lotId: maybeId,
  amount: text,
  before: text,
  after: text,
  /** club, own, build:<id>, member:<id> */
  use: z.string({ error: 'Say what it is for' }).regex(/^(club|own|(build|member):[0-9a-f-]{36})$/i, 'Say what it is for'),
  structural: checkbox,
  onDate: maybeDate('On'),
  why,
  weighedLot: maybeId,
  weighed: text,
  gross: text,
})
export type DrawInput = z.output<typeof DrawForm>

export const ReturnForm = z.object({ amount: text, onDate: maybeDate('On'), why, then: text })
export type ReturnInput = z.output<typeof ReturnForm>
export const ReverseForm = z.object({ why: reason, then: text })

export const RECEIVE_ROWS = 20
export const RECEIVE_FIELDS = ['item', 'amount', 'cost', 'code', 'expires'] as const
export const ReceiveForm = z.object({ receivedOn: date('Came on'), supplierId: maybeId, holder: z.enum(['club', 'own']).default('club'), orderId: maybeId, note: longText(300) }).loose()
  .transform(({ receivedOn, supplierId, holder, orderId, note, ...rest }) => ({
    receivedOn, supplierId, holder, orderId, note,
    rows: rowsOf(rest, RECEIVE_FIELDS, RECEIVE_ROWS).map((row, at) => ({ ...row, at })).filter((row) => row.item !== '' || row.amount !== '' || row.cost !== '' || row.code !== ''),
  }))
export type ReceiveInput = z.output<typeof ReceiveForm>

export const WriteOffForm = z.object({ lotId: id, from: z.enum(['club', 'own']).default('club'), amount: text, onDate: maybeDate('On'), why: reason })
export type WriteOffInput = z.output<typeof WriteOffForm>
export const MoveForm = z.object({
  lotId: id,
  /** What happens, between the club and the member. */
  what: z.enum(['lend-club', 'back-member', 'lend-member', 'back-club', 'to-member', 'to-club'], { error: 'Choose what happens' }),
  memberId: maybeId, amount: text, onDate: maybeDate('On'), why,
})
export type MoveInput = z.output<typeof MoveForm>
export const CorrectForm = z.object({ lotId: id, cost: text, onDate: maybeDate('On'), why: reason })
export type CorrectInput = z.output<typeof CorrectForm>

export const LotForm = z.object({ code: z.string().trim().max(80, 'At most 80 characters').default(''), openedOn: maybeDate('Opened on'), expiresOn: maybeDate('Good until'), tare: text, note: longText(500), version })
export type LotInput = z.output<typeof LotForm>
export const LotTestForm = z
  .object({ found: shortText('What was found', 500), state: z.enum(['fresh', 'test_first', 'not_structural', 'discard'], { error: 'Say what it is good for now' }), expiresOn: maybeDate('Good until') })
export type LotTestInput = z.output<typeof LotTestForm>
export const ReviewForm = z.object({ note: longText(300) })
