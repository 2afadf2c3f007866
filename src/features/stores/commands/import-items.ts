import type { Tx } from '../../../platform/database.ts'
import { requestReplan } from '../../../platform/replan.ts'
import { audit, type Ctx } from '../../../platform/write.ts'
import { oneSignalWord } from '../../../core/stock/label.ts'
import { parseAmount, parseMoney } from '../facts/amount-text.ts'
import { readCsv, type CsvRow } from '../facts/csv.ts'
import { ITEM_LIST, type ITEM_COLUMNS } from '../facts/import-columns.ts'
import { itemValues } from '../queries/items.ts'
import { ItemForm } from '../schemas/items.ts'
import type { ImportReport } from './import.ts'
import { eachLine, fault, read, yesCell } from './import-names.ts'

type Column = (typeof ITEM_COLUMNS)[number]
type Cells = CsvRow<Column>['cells']
type Field = keyof ReturnType<typeof itemValues> & string

/** Column → field of the item's form. */
const FIELDS: Partial<Record<Column, Field>> = {
  name: 'name', kind: 'kind', unit: 'unit', density: 'density', width_mm: 'widthMm', length_mm: 'lengthMm', thickness_mm: 'thicknessMm', areal_mass: 'arealMass', shelf: 'shelf',
  lead_days: 'leadDays', safety: 'safety', shelf_life_days: 'shelfLifeDays', opened_life_days: 'openedLifeDays', note: 'note', hazards: 'hazards', precautions: 'precautions',
}

/** New items, and others changed in the columns that the list has; a line that repeats a name adds a pack. */
export async function bringInItems(tx: Tx, ctx: Ctx, text: string): Promise<ImportReport> {
  const list = readCsv(text, ITEM_LIST)
  if (list.faults.length > 0) return { lines: [], faults: list.faults }
  const seen = new Map<string, { id: string; line: number; cells: Cells }>()
  return eachLine(list.rows, async ({ line, cells }) => {
    const name = cells.name.trim()
    const first = seen.get(name.toLowerCase())
    if (first) {
      const other = [...list.present].find((column) => !column.startsWith('pack') && cells[column].trim() !== '' && cells[column].trim() !== first.cells[column].trim())
      if (other) fault(`${name} is on line ${first.line} already, with another ${other}: leave that cell empty here`)
      if (cells.pack.trim() === '') fault(`${name} is on line ${first.line} already; a second line of it names a pack`)
      return savePack(tx, first.id, name, cells)
    }
    const saved = await saveItem(tx, ctx, cells, list.present)
    seen.set(name.toLowerCase(), { id: saved.id, line, cells })
    const pack = cells.pack.trim() === '' ? null : await savePack(tx, saved.id, name, cells)
    if (pack === null && (cells.pack_amount.trim() !== '' || cells.pack_price.trim() !== '')) fault('pack: say what the pack is called')
    return pack === null ? saved.does : `${saved.does}; ${pack}`
  })
}

async function saveItem(tx: Tx, ctx: Ctx, cells: Cells, present: ReadonlySet<Column>): Promise<{ id: string; does: string }> {
  const name = cells.name.trim()
  const before = await tx.item.findFirst({ where: { name: { equals: name, mode: 'insensitive' } } })
  const typed: Record<string, string | string[]> = before ? itemValues(before) : { leadDays: '14' }
  for (const [column, field] of Object.entries(FIELDS) as [Column, Field][]) if (present.has(column) && !(column === 'lead_days' && cells[column].trim() === '')) typed[field] = cells[column]
  for (const column of ['kind', 'unit'] as const) if (present.has(column)) typed[column] = cells[column].trim().toLowerCase()
  if (present.has('shared')) typed['isShared'] = yesCell(cells.shared, 'shared') ? 'on' : ''
  if (present.has('supplier')) typed['supplierId'] = await supplierNamed(tx, ctx, cells.supplier.trim())
  if (present.has('signal_word')) {
    typed['signalWord'] = oneSignalWord([cells.signal_word])
    if (typed['signalWord'] === '' && cells.signal_word.trim() !== '') fault(`signal_word: “${cells.signal_word.trim()}” is neither Danger nor Warning`)
  }
  if (present.has('pictograms')) typed['pictograms'] = cells.pictograms.split(/[\s,;]+/).filter((code) => code !== '').map((code) => code.toUpperCase())
  const parsed = ItemForm.safeParse(typed)
  if (!parsed.success) return fault(parsed.error.issues[0]!.message)
  const { safety: _typed, safetyMilli, ...rest } = parsed.data
  const data = { ...rest, safetyMilli: BigInt(safetyMilli), ...(present.has('kept') ? { isActive: cells.kept.trim() === '' || yesCell(cells.kept, 'kept') } : {}) }
  if (!before) {
    const item = await tx.item.create({ data })
    await audit(tx, ctx, { what: 'item added', entity: 'item', entityId: item.id, after: item })
    return { id: item.id, does: `a new item, ${item.name}` }
  }
  const changed = Object.entries(data).filter(([field, value]) => same(before[field as keyof typeof before]) !== same(value)).map(([field]) => field)
  if (changed.length === 0) return { id: before.id, does: `${before.name} as it is` }
  if (changed.includes('unit') && (await tx.lot.findFirst({ where: { itemId: before.id }, select: { id: true } }))) fault(`unit: ${before.name} is kept in ${before.unit} and has lots; make a new item for another unit`)
  await tx.item.update({ where: { id: before.id }, data: { ...data, version: { increment: 1 } } })
  await audit(tx, ctx, { what: 'item edited', entity: 'item', entityId: before.id, before, after: data })
  if (data.leadDays !== before.leadDays) await requestReplan(tx, `Lead time of ${data.name} changed`, ctx)
  return { id: before.id, does: `${before.name} changed: ${changed.map((field) => Object.entries(FIELDS).find(([, f]) => f === field)?.[0] ?? WORDS[field] ?? field).join(', ')}` }
}

const WORDS: Record<string, string> = { safetyMilli: 'safety', isShared: 'shared', supplierId: 'supplier', isActive: 'kept', signalWord: 'signal_word' }
const same = (value: unknown): string => (typeof value === 'bigint' ? String(value) : JSON.stringify(value ?? null))

/** A supplier by name, made where there is none yet. */
async function supplierNamed(tx: Tx, ctx: Ctx, name: string): Promise<string> {
  if (name === '') return ''
  if (name.length > 120) fault('supplier: at most 120 characters')
  const there = await tx.supplier.findFirst({ where: { name: { equals: name, mode: 'insensitive' } }, select: { id: true } })
  if (there) return there.id
  const row = await tx.supplier.create({ data: { name } })
  await audit(tx, ctx, { what: 'supplier added', entity: 'supplier', entityId: row.id, after: row })
  return row.id
}

async function savePack(tx: Tx, itemId: string, item: string, cells: Cells): Promise<string> {
  const name = cells.pack.trim()
  if (name.length > 60) fault('pack: at most 60 characters')
  const { unit, density, widthMm } = await tx.item.findUniqueOrThrow({ where: { id: itemId }, select: { unit: true, density: true, widthMm: true } })
  const qtyMilli = read(parseAmount(cells.pack_amount, unit, { density, widthMm }), 'pack_amount')
  if (qtyMilli === 0) fault('pack_amount: a pack holds more than nothing')
  const priceCents = cells.pack_price.trim() === '' ? 0 : read(parseMoney(cells.pack_price), 'pack_price')
  const data = { qtyMilli: BigInt(qtyMilli), priceCents, orderCode: cells.pack_code.trim().slice(0, 60) }
  const before = await tx.itemPack.findFirst({ where: { itemId, name: { equals: name, mode: 'insensitive' } } })
  if (!before) {
    await tx.itemPack.create({ data: { ...data, itemId, name } })
    return `a new pack of ${item}, ${name}`
  }
  if (before.qtyMilli === data.qtyMilli && before.priceCents === priceCents && before.orderCode === data.orderCode) return `${name} as it is`
  await tx.itemPack.update({ where: { id: before.id }, data })
  return `${name} changed`
}
