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

export const ENTRY_SELECT = {
  id: true, kind: true, itemId: true, lotId: true, qtyMilli: true, valueCents: true, onDate: true, at: true, why: true, ofEntryId: true, moveId: true, loan: true, countId: true, chargedToId: true,
  item: { select: { name: true, unit: true } },
  lot: { select: { number: true } },
  holder: { select: { memberId: true, member: { select: { name: true } } } },
  by: { select: { id: true, name: true } },
  build: { select: { id: true, name: true, visibility: true, team: { select: { memberId: true } } } },
  task: { select: { id: true, name: true } },
  batch: { select: { number: true } },
  chargedTo: { select: { name: true } },
  review: { select: { entryId: true } },
} satisfies Prisma.StockEntrySelect
export const PAIR_SELECT = { ...ENTRY_SELECT, reversedBy: { select: ENTRY_SELECT } } satisfies Prisma.StockEntrySelect
type Row = Prisma.StockEntryGetPayload<{ select: typeof ENTRY_SELECT }>
type PairRow = Prisma.StockEntryGetPayload<{ select: typeof PAIR_SELECT }>

/** Who looks; null: whoever may see the build these entries are of. */
export type Viewer = { readonly id: string; readonly roles: readonly string[] } | null

function line(row: Row, viewer: Viewer, isReversed: boolean): EntryLine {
  const { build } = row
  const isOnTeam = viewer !== null && (build?.team.some((m) => m.memberId === viewer.id) ?? false)
  const isSeen = !build || viewer === null || build.visibility === 'club' || viewer.roles.includes('officer') || isOnTeam
  return {
    id: row.id, kind: row.kind, itemId: row.itemId, itemName: row.item.name, unit: row.item.unit, lotId: row.lotId, lotNumber: row.lot.number,
    holder: row.holder.memberId === null ? null : { memberId: row.holder.memberId, name: row.holder.member?.name ?? 'a former member' },
    qtyMilli: Number(row.qtyMilli), valueCents: row.valueCents, onDate: isoDate(row.onDate), at: row.at, by: row.by, why: row.why,
    build: build === null ? null : isSeen ? { id: build.id, name: build.name } : 'hidden', task: isSeen ? row.task : null,
    isOwn: isOnTeam || (viewer !== null && (row.chargedToId === viewer.id || row.holder.memberId === viewer.id)),
    batchNumber: row.batch?.number ?? null, chargedTo: row.chargedTo?.name ?? null, ofEntryId: row.ofEntryId, moveId: row.moveId, loan: row.loan,
    isAwaiting: row.kind === 'stocktake' && row.countId === null && row.review === null && !isReversed,
  }
}

export const pair = (row: PairRow, viewer: Viewer): EntryPair => ({
  ...line(row, viewer, row.reversedBy !== null), reversal: row.reversedBy === null ? null : line(row.reversedBy, viewer, false),
})

/** The newest entries first; reversals stand with what they undid. */
export async function entryPairs(db: Reader, where: Prisma.StockEntryWhereInput, viewer: Viewer, take = 50): Promise<EntryPair[]> {
  const rows = await db.stockEntry.findMany({ where: { AND: [where, { kind: { not: 'reversal' } }] }, orderBy: { seq: 'desc' }, take, select: PAIR_SELECT })
  return rows.map((row) => pair(row, viewer))
}

/** All entries of a task, for pages of its build. */
export const taskEntries = (db: Reader, taskId: string): Promise<EntryPair[]> => entryPairs(db, { taskId }, null, 500)
