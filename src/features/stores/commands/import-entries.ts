import type { Tx } from '../../../platform/database.ts'
import type { Ctx } from '../../../platform/write.ts'
import { stockAmount } from '../../../../views/shared/format.ts'
import { parseMoney } from '../facts/amount-text.ts'
import { readCsv, type CsvRow } from '../facts/csv.ts'
import { ENTRY_LIST, type EntryColumn } from '../facts/import-columns.ts'
import type { ImportReport } from './import.ts'
import { amountCell, dateCell, eachLine, fault, maybeDateCell, namesFor, read, yesCell, type NamedItem } from './import-names.ts'
import { drawStock } from './ledger-draw.ts'
import { receiveStock } from './ledger-receive.ts'

type Names = Awaited<ReturnType<typeof namesFor>>
type Cells = CsvRow<EntryColumn>['cells']

/** Past receipts and draws, booked in the order of the lines: that order is what they cost by. */
export async function bringInEntries(tx: Tx, ctx: Ctx, text: string): Promise<ImportReport> {
  const list = readCsv(text, ENTRY_LIST)
  if (list.faults.length > 0) return { lines: [], faults: list.faults }
  const names = await namesFor(tx, ctx.member)
  /** Numbers of lots as the list has them: theirs are given anew here. */
  const lots = new Map<string, string>()
  let last = ''
  return eachLine(list.rows, async ({ cells: c }) => {
    const onDate = dateCell(c.on_date, 'on_date')
    if (onDate < last) fault(`${onDate} is before the line above (${last}): put the lines in the order in which it happened`)
    const item = names.items(c.item)
    const kind = c.kind.trim().toLowerCase()
    if (kind !== 'receipt' && kind !== 'draw') {
      fault(`kind: “${c.kind.trim()}” can’t be brought in, only receipt and draw; returns and reversals are booked at their entry, differences by a stocktake`)
    }
    const done = kind === 'receipt' ? await receipt(tx, ctx, names, c, item, onDate, lots) : await draw(tx, ctx, names, c, item, onDate, lots)
    last = onDate
    return done
  })
}

async function receipt(tx: Tx, ctx: Ctx, names: Names, c: Cells, item: NamedItem, onDate: string, lots: Map<string, string>): Promise<string> {
  const qtyMilli = amountCell(c.amount, c.unit, item)
  const expiresOn = maybeDateCell(c.expires_on, 'expires_on')
  const supplierId = names.supplierId(c.supplier)
  const done = await receiveStock(tx, ctx, {
    itemId: item.id, qtyMilli, valueCents: read(parseMoney(c.value), 'value'), receivedOn: onDate, code: c.lot_code.trim(), note: c.why.trim(), holderId: await names.holderId(c.holder),
    ...(supplierId !== undefined && { supplierId }), ...(expiresOn !== undefined && { expiresOn }),
  })
  if (!done.ok) return fault(done.refusal.message)
  if (c.lot.trim() !== '') lots.set(c.lot.trim(), done.value.lotId)
  return `${onDate}: ${stockAmount(qtyMilli, item.unit)} of ${item.name} came in`
}

async function draw(tx: Tx, ctx: Ctx, names: Names, c: Cells, item: NamedItem, onDate: string, lots: Map<string, string>): Promise<string> {
  // A list that came out of the book has draws below nothing.
  const qtyMilli = amountCell(c.amount.trim().replace(/^[-−]/, ''), c.unit, item)
  const build = c.build.trim() === '' ? null : names.builds(c.build)
  const chargedTo = c.charged_to.trim() === '' ? null : names.members(c.charged_to)
  if (build && chargedTo) fault('charged_to: a draw is charged to a build or to a member, not to both')
  if (c.task.trim() !== '' && !build) fault('task: say of which build')
  const done = await drawStock(tx, ctx, {
    itemId: item.id, qtyMilli, structural: yesCell(c.structural, 'structural'), onDate, why: c.why.trim(), holderId: await names.holderId(c.holder),
    lotId: c.lot.trim() === '' ? undefined : (lots.get(c.lot.trim()) ?? (await lotOf(tx, c.lot, item))),
    buildId: build?.id, taskId: build && c.task.trim() !== '' ? await names.task(build.id, c.task) : undefined, chargedToId: chargedTo?.id,
  })
  if (!done.ok) return fault(done.refusal.message)
  const whom = build ? ` for ${build.name}` : chargedTo ? ` for ${chargedTo.name}` : ''
  return `${onDate}: ${stockAmount(qtyMilli, item.unit)} of ${item.name} drawn${whom}`
}

async function lotOf(tx: Tx, text: string, item: NamedItem): Promise<string> {
  const number = /^\d{1,9}$/.test(text.trim()) ? Number(text) : fault(`lot: “${text.trim()}” is no number of a lot`)
  const lot = await tx.lot.findFirst({ where: { number, itemId: item.id }, select: { id: true } })
  return lot?.id ?? fault(`lot: there is no lot ${number} of ${item.name}`)
}
