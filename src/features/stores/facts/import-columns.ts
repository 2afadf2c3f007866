/** The lists that come in and go out: their columns, in the order in which they are written. */
import type { CsvColumns } from './csv.ts'

export const IMPORTS = ['items', 'lots', 'entries'] as const
export type ImportKind = (typeof IMPORTS)[number]

export const ITEM_COLUMNS = [
  'name', 'kind', 'unit', 'density', 'width_mm', 'length_mm', 'thickness_mm', 'areal_mass', 'shelf', 'lead_days', 'safety', 'shelf_life_days', 'opened_life_days', 'shared', 'supplier',
  'kept', 'note', 'signal_word', 'pictograms', 'hazards', 'precautions', 'pack', 'pack_amount', 'pack_price', 'pack_code',
] as const
export const LOT_COLUMNS = [
  'number', 'item', 'lot_code', 'supplier', 'received_on', 'opened_on', 'expires_on', 'state', 'tare_g', 'holder', 'amount', 'unit', 'value', 'note',
] as const
export const ENTRY_COLUMNS = [
  'seq', 'on_date', 'kind', 'item', 'lot', 'lot_code', 'amount', 'unit', 'value', 'build', 'task', 'batch', 'charged_to', 'holder', 'supplier', 'expires_on', 'structural', 'why', 'by', 'at',
  'rule', 'reverses', 'returned_from',
] as const

type ItemColumn = (typeof ITEM_COLUMNS)[number]
export type LotColumn = Exclude<(typeof LOT_COLUMNS)[number], 'number'>
const ENTRY_IGNORED = ['seq', 'batch', 'by', 'at', 'rule', 'reverses', 'returned_from'] as const
export type EntryColumn = Exclude<(typeof ENTRY_COLUMNS)[number], (typeof ENTRY_IGNORED)[number]>

export const ITEM_LIST: CsvColumns<ItemColumn> = { columns: ITEM_COLUMNS, required: ['name'] }
export const LOT_LIST: CsvColumns<LotColumn> = {
  columns: LOT_COLUMNS.filter((name): name is LotColumn => name !== 'number'), required: ['item', 'received_on', 'amount', 'value'], ignored: ['number'],
}
export const ENTRY_LIST: CsvColumns<EntryColumn> = {
  columns: ENTRY_COLUMNS.filter((name): name is EntryColumn => !(ENTRY_IGNORED as readonly string[]).includes(name)), required: ['on_date', 'kind', 'item', 'amount'], ignored: ENTRY_IGNORED,
}
/** Lines in one go: one transaction books them all, and nobody else should wait long for it. */
export const MOST_LINES: Record<ImportKind, number> = { items: 1000, lots: 500, entries: 500 }
