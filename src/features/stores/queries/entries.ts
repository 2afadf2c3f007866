import type { Reader } from '../../../platform/database.ts'
import type { Prisma } from '../../../platform/generated/client.ts'
import type { EntryKind, LoanKind, StockUnit } from '../../../platform/generated/enums.ts'
import { isoDate } from '../../../platform/times.ts'

/** An entry in words' reach: who, when, why, about what. Quantities and values signed as booked. */
export type EntryLine = {
  id: string
  kind: EntryKind
  itemId: string
  itemName: string
  unit: StockUnit
  lotId: string
  lotNumber: number
  /** Whose stock; null: the club's. */
  holder: { memberId: string | null; name: string } | null
  qtyMilli: number
  valueCents: number
  onDate: string
  at: Date
  by: { id: string; name: string }
  why: string
  /** `hidden`: a build that only its team sees. */
  build: { id: string; name: string } | 'hidden' | null
  /** Whoever looks is on the build's team, or owes it themselves: they may know what it cost. */
  isOwn: boolean
  task: { id: string; name: string } | null
  batchNumber: number | null
  chargedTo: string | null
  ofEntryId: string | null
  moveId: string | null
  loan: LoanKind | null
  /** Weighed at the shelf and not looked at by the storekeeper. */
  isAwaiting: boolean
}

/** An entry with what undid it, shown together. */
export type EntryPair = EntryLine & { reversal: EntryLine | null }

type Row = {
  id: string
  kind: EntryKind
  item_id: string
  item_name: string
  unit: StockUnit
  lot_id: string
  lot_number: number
  holder_member_id: string | null
  holder_name: string | null
  qty_milli: bigint
  value_cents: number
  on_date: Date
  at: Date
  by_id: string
  by_name: string
  why: string
  build_id: string | null
  build_name: string | null
  is_open: boolean
  is_on_team: boolean
  task_id: string | null
  task_name: string | null
  batch_number: number | null
  charged_to_id: string | null
  charged_to: string | null
  of_entry_id: string | null
  reverses_id: string | null
  move_id: string | null
  loan: LoanKind | null
  count_id: string | null
  is_reviewed: boolean
}

/** Who looks; null: whoever may see the build these entries are of. */
export type Viewer = { readonly id: string; readonly roles: readonly string[] } | null

function line(row: Row, viewer: Viewer, isReversed: boolean): EntryLine {
  const isSeen = row.build_id === null || viewer === null || row.is_open || viewer.roles.includes('officer') || row.is_on_team
  return {
    id: row.id, kind: row.kind, itemId: row.item_id, itemName: row.item_name, unit: row.unit, lotId: row.lot_id, lotNumber: row.lot_number,
    holder: row.holder_member_id === null ? null : { memberId: row.holder_member_id, name: row.holder_name ?? 'a former member' },
    qtyMilli: Number(row.qty_milli), valueCents: row.value_cents, onDate: isoDate(row.on_date), at: row.at, by: { id: row.by_id, name: row.by_name }, why: row.why,
    build: row.build_id === null ? null : isSeen ? { id: row.build_id, name: row.build_name ?? '' } : 'hidden',
    task: isSeen && row.task_id !== null ? { id: row.task_id, name: row.task_name ?? '' } : null,
    isOwn: viewer !== null && (row.is_on_team || row.charged_to_id === viewer.id || row.holder_member_id === viewer.id),
    batchNumber: row.batch_number, chargedTo: row.charged_to, ofEntryId: row.of_entry_id, moveId: row.move_id, loan: row.loan,
    isAwaiting: row.kind === 'stocktake' && row.count_id === null && !row.is_reviewed && !isReversed,
  }
}

/** The newest entries first; reversals stand with what they undid. Two questions, however much each entry is about. */
export async function entryPairs(db: Reader, where: Prisma.StockEntryWhereInput, viewer: Viewer, take = 50): Promise<EntryPair[]> {
  const ids = (await db.stockEntry.findMany({ where: { AND: [where, { kind: { not: 'reversal' } }] }, orderBy: { seq: 'desc' }, take, select: { id: true } })).map(({ id }) => id)
  if (ids.length === 0) return []
  const rows = await db.$queryRaw<Row[]>`
    select e.id, e.kind::text, e.item_id, i.name as item_name, i.unit::text, e.lot_id, l.number as lot_number, h.member_id as holder_member_id, hm.name as holder_name, e.qty_milli,
      e.value_cents, e.on_date, e.at, e.by_id, m.name as by_name, e.why, e.build_id, b.name as build_name, coalesce(b.visibility = 'club', true) as is_open,
      exists (select from build_member t where t.build_id = e.build_id and t.member_id = ${viewer?.id ?? null}::uuid) as is_on_team,
      e.task_id, k.name as task_name, x.number as batch_number, e.charged_to_id, c.name as charged_to, e.of_entry_id, e.reverses_id, e.move_id, e.loan::text, e.count_id,
      exists (select from stock_review r where r.entry_id = e.id) as is_reviewed
    from stock_entry e join item i on i.id = e.item_id join lot l on l.id = e.lot_id join holder h on h.id = e.holder_id left join member hm on hm.id = h.member_id
      join member m on m.id = e.by_id left join build b on b.id = e.build_id left join task k on k.id = e.task_id left join batch x on x.id = e.batch_id
      left join member c on c.id = e.charged_to_id
    where e.id = any(${ids}::uuid[]) or e.reverses_id = any(${ids}::uuid[])`
  const byId = new Map(rows.map((row) => [row.id, row]))
  const undone = new Map(rows.flatMap((row) => (row.reverses_id === null ? [] : [[row.reverses_id, row] as const])))
  return ids.flatMap((id) => {
    const row = byId.get(id)
    const reversal = undone.get(id)
    return row ? [{ ...line(row, viewer, reversal !== undefined), reversal: reversal ? line(reversal, viewer, false) : null }] : []
  })
}

/** All entries of a task, for pages of its build. */
export const taskEntries = (db: Reader, taskId: string): Promise<EntryPair[]> => entryPairs(db, { taskId }, null, 500)
