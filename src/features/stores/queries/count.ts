import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import type { ItemKind } from '../../../platform/generated/enums.ts'
import { isoDate } from '../../../platform/times.ts'
import { CLUB_HOLDER } from '../facts/held.ts'
import { ITEM_KINDS } from '../schemas/items.ts'

/** Which part of the stores is counted: a shelf, a kind, one item, or all. */
export type CountPart = { shelf?: string; kind?: string; item?: string }

const DAY_MS = 86_400_000
/** A can that the book has emptied of late may still hold something. */
const EMPTIED_DAYS = 60

/** The club's lots of a part, by shelf as one walks along it. */
export async function lotsToCount(db: Reader, now: Date, { shelf, kind, item }: CountPart) {
  const rows = await db.lotBalance.findMany({
    where: {
      holderId: CLUB_HOLDER,
      OR: [{ qtyMilli: { gt: 0 } }, { lot: { state: { not: 'discard' }, entries: { some: { at: { gte: new Date(now.getTime() - EMPTIED_DAYS * DAY_MS) } } } } }],
      lot: { item: { ...(shelf && { shelf }), ...(kind && (ITEM_KINDS as readonly string[]).includes(kind) && { kind: kind as ItemKind }), ...(item && { id: item }) } },
    },
    select: {
      qtyMilli: true,
      lot: { select: { id: true, number: true, code: true, openedOn: true, tareMg: true, item: { select: { id: true, name: true, unit: true, shelf: true } } } },
    },
  })
  return rows
    .map(({ qtyMilli, lot }) => ({
      lotId: lot.id, number: lot.number, code: lot.code, openedOn: lot.openedOn && isoDate(lot.openedOn), tareMg: lot.tareMg === null ? null : Number(lot.tareMg), item: lot.item, bookMilli: Number(qtyMilli),
    }))
    .toSorted((a, b) => a.item.shelf.localeCompare(b.item.shelf) || a.item.name.localeCompare(b.item.name) || a.number - b.number)
}
export type LotToCount = Awaited<ReturnType<typeof lotsToCount>>[number]

export async function countsPage(db: Reader) {
  const counts = await db.stockCount.findMany({
    select: { id: true, at: true, note: true, by: { select: { name: true } }, _count: { select: { lines: true, entries: true } } }, orderBy: [{ at: 'desc' }, { id: 'asc' }], take: 30,
  })
  const shelves = await db.item.findMany({ where: { shelf: { not: '' } }, distinct: ['shelf'], select: { shelf: true }, orderBy: { shelf: 'asc' } })
  return { counts: counts.map(({ _count, by, ...row }) => ({ ...row, by: by.name, lines: _count.lines, differences: _count.entries })), shelves: shelves.map(({ shelf }) => shelf) }
}
export type CountsModel = Awaited<ReturnType<typeof countsPage>>

export async function countPage(db: Reader, countId: string) {
  const row = found(await db.stockCount.findUnique({
    where: { id: countId },
    include: {
      by: { select: { name: true } },
      lines: { include: { lot: { select: { id: true, number: true, item: { select: { id: true, name: true, unit: true } } } } } },
      entries: { select: { id: true, lotId: true, valueCents: true, why: true, reversedBy: { select: { id: true } }, review: { select: { at: true, by: { select: { name: true } } } } } },
    },
  }))
  const entryOf = new Map(row.entries.map((entry) => [entry.lotId, entry]))
  return {
    count: { id: row.id, at: row.at, by: row.by.name, note: row.note },
    lines: row.lines
      .map((line) => ({ lot: line.lot, bookMilli: Number(line.bookMilli), countedMilli: Number(line.countedMilli), note: line.note, entry: entryOf.get(line.lotId) ?? null }))
      .toSorted((a, b) => a.lot.item.name.localeCompare(b.lot.item.name) || a.lot.number - b.lot.number),
  }
}
export type CountModel = Awaited<ReturnType<typeof countPage>>
