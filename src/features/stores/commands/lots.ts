import { ok, type Result } from '../../../core/result.ts'
import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { dateColumn, isoDate } from '../../../platform/times.ts'
import { audit, refused, type Ctx, type Done, type Refusal } from '../../../platform/write.ts'
import { amountField, parseAmount } from '../facts/amount-text.ts'
import type { LotInput, LotTestInput } from '../schemas/ledger.ts'
import { todayOf } from './ledger-base.ts'

const column = (iso: string | null) => (iso === null ? null : dateColumn(iso))
const GONE = 'This lot is not there.'

/** What is known of a lot besides its amounts. */
export async function saveLot(tx: Tx, ctx: Ctx, lotId: string, input: LotInput): Promise<Result<Done, Refusal>> {
  const row = await tx.lot.findUnique({ where: { id: lotId }, include: { item: { select: { name: true } } } })
  if (!row) return refused(404, GONE)
  const received = isoDate(row.receivedOn)
  const tare = input.tare === '' ? null : parseAmount(input.tare, 'g')
  const fields: Record<string, string> = {
    ...(input.openedOn !== null && input.openedOn > todayOf(ctx) ? { openedOn: 'That day is still to come' } : {}),
    ...(input.openedOn !== null && input.openedOn < received ? { openedOn: `It came on ${received}: opened before that, it was another’s` } : {}),
    ...(input.expiresOn !== null && input.expiresOn < received ? { expiresOn: `It came on ${received}, after that day: look at both dates` } : {}),
    ...(tare !== null && !tare.ok ? { tare: tare.message } : {}),
  }
  if (Object.keys(fields).length > 0) return refused(422, 'Nothing was changed: see the notes at the fields.', { fields })
  const data = { code: input.code, note: input.note, openedOn: column(input.openedOn), expiresOn: column(input.expiresOn), tareMg: tare?.ok ? BigInt(tare.milli) : null }
  const { count } = await tx.lot.updateMany({ where: { id: lotId, version: input.version }, data: { ...data, version: { increment: 1 } } })
  if (count === 0) {
    const current = { code: row.code, note: row.note, openedOn: row.openedOn && isoDate(row.openedOn), expiresOn: row.expiresOn && isoDate(row.expiresOn), tare: row.tareMg === null ? '' : amountField(row.tareMg) }
    return refused(409, 'Somebody changed this lot while you were typing. Nothing of yours is saved yet.', { current })
  }
  await audit(tx, ctx, { what: 'lot edited', entity: 'lot', entityId: lotId, before: row, after: data })
  await requestReplan(tx, `Lots of ${row.item.name} changed`, ctx)
  return ok({ location: `/stores/lots/${lotId}`, flash: `Lot ${row.number} is saved.` })
}

/** What a person found out about a lot moves its state. */
export async function testLot(tx: Tx, ctx: Ctx, lotId: string, input: LotTestInput): Promise<Result<Done, Refusal>> {
  const row = await tx.lot.findUnique({ where: { id: lotId }, select: { id: true, number: true, state: true, expiresOn: true, item: { select: { name: true } } } })
  if (!row) return refused(404, GONE)
  const today = todayOf(ctx)
  const isPast = row.expiresOn !== null && isoDate(row.expiresOn) < today
  if (input.state === 'fresh' && input.expiresOn === null && isPast) return refused(422, 'Say how long the test vouches for it.', { fields: { expiresOn: 'Past its date: say how long the test vouches for it' } })
  if (input.expiresOn !== null && input.expiresOn < today) return refused(422, 'That day has passed.', { fields: { expiresOn: 'That day has passed' } })
  await tx.lotTest.create({ data: { lotId, at: ctx.now, memberId: ctx.member.id, found: input.found, state: input.state, expiresOn: column(input.expiresOn) } })
  await tx.lot.update({ where: { id: lotId }, data: { state: input.state, version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'lot tested', entity: 'lot', entityId: lotId, before: { state: row.state }, after: input })
  await requestReplan(tx, `Lots of ${row.item.name} changed`, ctx)
  const words = { fresh: 'is fresh again', test_first: 'waits for a test', not_structural: 'is not for structure from now on', discard: 'is to be discarded: write off what is left' }[input.state]
  return ok({ location: `/stores/lots/${lotId}`, flash: `Lot ${row.number} ${words}.` })
}
