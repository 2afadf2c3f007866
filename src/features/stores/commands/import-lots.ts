import { dateColumn } from '../../../platform/times.ts'
import type { Tx } from '../../../platform/database.ts'
import type { LotState } from '../../../platform/generated/enums.ts'
import type { Ctx } from '../../../platform/write.ts'
import { stockAmount } from '../../../../views/shared/format.ts'
import { parseAmount, parseMoney } from '../facts/amount-text.ts'
import { readCsv } from '../facts/csv.ts'
import { LOT_LIST } from '../facts/import-columns.ts'
import type { ImportReport } from './import.ts'
import { amountCell, dateCell, eachLine, fault, maybeDateCell, namesFor, read } from './import-names.ts'
import { receiveStock } from './ledger-receive.ts'

const STATES: Record<string, LotState> = { '': 'fresh', fresh: 'fresh', test_first: 'test_first', not_structural: 'not_structural', discard: 'discard' }

/** Each line is a lot with what is left of it, booked as a receipt at what that is worth: opening balances, half-used cans too. */
export async function bringInLots(tx: Tx, ctx: Ctx, text: string): Promise<ImportReport> {
  const list = readCsv(text, LOT_LIST)
  if (list.faults.length > 0) return { lines: [], faults: list.faults }
  const names = await namesFor(tx, ctx.member)
  const known = new Set<string>()
  return eachLine(list.rows, async ({ cells: c }) => {
    const item = names.items(c.item)
    const qtyMilli = amountCell(c.amount, c.unit, item)
    if (qtyMilli === 0) fault('amount: say how much is left; leave the line out for an empty can')
    const valueCents = read(parseMoney(c.value), 'value')
    const receivedOn = dateCell(c.received_on, 'received_on')
    const openedOn = maybeDateCell(c.opened_on, 'opened_on')
    if (openedOn !== undefined && openedOn < receivedOn) fault('opened_on: it was opened before it came')
    const expiresOn = c.expires_on.trim().toLowerCase() === 'none' ? null : maybeDateCell(c.expires_on, 'expires_on')
    const state = STATES[c.state.trim().toLowerCase().replaceAll(/[\s-]+/g, '_')] ?? fault(`state: “${c.state.trim()}” is none of fresh, test first, not structural, discard`)
    const tareMg = c.tare_g.trim() === '' ? null : read(parseAmount(c.tare_g, 'g'), 'tare_g')
    const code = c.lot_code.trim()
    if (code !== '') {
      const there = await tx.lot.findFirst({ where: { itemId: item.id, code, receivedOn: dateColumn(receivedOn) }, select: { number: true, id: true } })
      if (there && !known.has(there.id)) fault(`${item.name} with the lot code ${code}, received on ${receivedOn}, is there already as lot ${there.number}: leave the line out`)
    }
    const holderId = await names.holderId(c.holder)
    const supplierId = names.supplierId(c.supplier)
    const done = await receiveStock(tx, ctx, {
      itemId: item.id, qtyMilli, valueCents, receivedOn, code, holderId, openedOn: openedOn ?? null, tareMg, note: c.note.trim(),
      ...(supplierId !== undefined && { supplierId }), ...(expiresOn !== undefined && { expiresOn }),
    })
    if (!done.ok) return fault(done.refusal.message)
    known.add(done.value.lotId)
    if (state !== 'fresh') await tx.lot.update({ where: { id: done.value.lotId }, data: { state } })
    return `a lot of ${item.name}: ${stockAmount(qtyMilli, item.unit)}`
  })
}
