import { stateOn, type LotState } from '../../../core/stock/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { isoDate } from '../../../platform/times.ts'
import { CLUB_HOLDER, lastDayOf } from '../facts/held.ts'
import { entryPairs, type EntryPair } from './entries.ts'
import { LABEL_COLUMNS } from './items.ts'
import { stockOf, type OnHand } from './stock.ts'

export type Looker = { readonly id: string; readonly roles: readonly string[] }
const NONE: OnHand = { fresh: 0, notStructural: 0, testFirst: 0, total: 0 }
const day = (at: Date | null): string | null => (at === null ? null : isoDate(at))

/** Every item, what is there of it and what is on its way. */
export async function storesPage(db: Reader, today: string, looker: Looker, search: string) {
  const words = search.trim()
  const like = { contains: words, mode: 'insensitive' as const }
  const items = await db.item.findMany({
    where: words === '' ? {} : { OR: [{ name: like }, { shelf: like }, { note: like }, { supplier: { name: like } }, { lots: { some: { code: like } } }] },
    select: { id: true, name: true, kind: true, unit: true, shelf: true, isActive: true, safetyMilli: true },
    orderBy: [{ kind: 'asc' }, { name: 'asc' }, { id: 'asc' }],
  })
  const there = await stockOf(db, today)
  const accounts = new Map((await db.stockAccount.findMany({ where: { holderId: CLUB_HOLDER }, select: { itemId: true, valueCents: true } })).map((a) => [a.itemId, Number(a.valueCents)]))
  const lines = await db.orderLine.findMany({ where: { order: { state: 'open' } }, select: { itemId: true, qtyMilli: true, receivedMilli: true } })
  const coming = new Map<string, number>()
  for (const line of lines) coming.set(line.itemId, (coming.get(line.itemId) ?? 0) + Math.max(0, Number(line.qtyMilli - line.receivedMilli)))
  const shown = items.filter((item) => item.isActive || (there.get(item.id)?.total ?? 0) > 0)
  return {
    search: words,
    items: shown.map(({ safetyMilli, ...item }) => {
      const here = there.get(item.id) ?? NONE
      return { ...item, here, coming: coming.get(item.id) ?? 0, valueCents: accounts.get(item.id) ?? 0, isLow: here.fresh < Number(safetyMilli) }
    }),
    hidden: items.length - shown.length,
    awaiting: await awaitingCount(db),
    own: await db.lotBalance.count({ where: { holder: { memberId: looker.id }, qtyMilli: { gt: 0 } } }),
    due: await dueLots(db, today),
  }
}
export type StoresModel = Awaited<ReturnType<typeof storesPage>>

const AWAITING = { kind: 'stocktake', countId: null, review: null, reversedBy: null } as const
const awaitingCount = (db: Reader) => db.stockEntry.count({ where: AWAITING })

/** Lots of the club with something in them that a person must test or throw out. */
async function dueLots(db: Reader, today: string) {
  const lots = await lotsOf(db, { balances: { some: { holderId: CLUB_HOLDER, qtyMilli: { gt: 0 } } } }, today)
  return lots.filter(({ state }) => state === 'test_first' || state === 'discard').sort((a, b) => a.number - b.number)
}

export type LotLine = {
  id: string
  number: number
  code: string
  itemId: string
  itemName: string
  unit: string
  state: LotState
  receivedOn: string
  openedOn: string | null
  /** Its last good day, also counted from its opening or vouched for by a test. */
  lastDay: string | null
  tareMg: number | null
  clubMilli: number
  held: { memberId: string; name: string; milli: number }[]
}

const LOT = {
  id: true, number: true, code: true, state: true, receivedOn: true, openedOn: true, expiresOn: true, tareMg: true,
  item: { select: { id: true, name: true, unit: true, openedLifeDays: true } },
  tests: { where: { state: 'fresh' as const, expiresOn: { not: null } }, select: { expiresOn: true }, orderBy: { expiresOn: 'desc' as const }, take: 1 },
  balances: { where: { qtyMilli: { gt: 0 } }, select: { qtyMilli: true, holder: { select: { memberId: true, member: { select: { name: true } } } } } },
}

/** Lots with what everybody holds of them, first expired first. */
export async function lotsOf(db: Reader, where: object, today: string): Promise<LotLine[]> {
  const rows = await db.lot.findMany({ where, select: LOT, orderBy: { number: 'asc' } })
  return rows
    .map(({ item, tests, balances, tareMg, ...lot }) => {
      const opened = day(lot.openedOn)
      const expires = lastDayOf(day(lot.expiresOn), opened, item.openedLifeDays)
      const testedUntil = day(tests[0]?.expiresOn ?? null)
      return {
        id: lot.id, number: lot.number, code: lot.code, itemId: item.id, itemName: item.name, unit: item.unit, receivedOn: isoDate(lot.receivedOn), openedOn: opened,
        state: stateOn({ state: lot.state, expires, testedUntil }, today), lastDay: expires !== null && testedUntil !== null && testedUntil > expires ? testedUntil : expires,
        tareMg: tareMg === null ? null : Number(tareMg), clubMilli: sum(balances.filter((b) => b.holder.memberId === null)),
        held: balances.flatMap((b) => (b.holder.memberId === null ? [] : [{ memberId: b.holder.memberId, name: b.holder.member?.name ?? 'a former member', milli: Number(b.qtyMilli) }])),
      }
    })
    .sort((a, b) => (a.lastDay ?? '9999').localeCompare(b.lastDay ?? '9999') || a.number - b.number)
}
const sum = (rows: readonly { qtyMilli: bigint }[]): number => rows.reduce((all, row) => all + Number(row.qtyMilli), 0)

export async function itemPage(db: Reader, itemId: string, today: string, looker: Looker, all = false) {
  const item = found(
    await db.item.findUnique({
      where: { id: itemId },
      select: {
        id: true, name: true, kind: true, unit: true, density: true, widthMm: true, lengthMm: true, thicknessMm: true, arealMass: true, shelf: true, leadDays: true, safetyMilli: true,
        shelfLifeDays: true, openedLifeDays: true, isShared: true, note: true, signalWord: true, pictograms: true, hazards: true, precautions: true, isActive: true,
        supplier: LABEL_COLUMNS.supplier, packs: { where: { isActive: true }, select: { name: true, qtyMilli: true, priceCents: true }, orderBy: { qtyMilli: 'asc' } },
      },
    }),
  )
  const account = await db.stockAccount.findUnique({ where: { itemId_holderId: { itemId, holderId: CLUB_HOLDER } }, select: { qtyMilli: true, valueCents: true } })
  const lots = await lotsOf(db, { itemId, ...(all ? {} : { balances: { some: { qtyMilli: { gt: 0 } } } }) }, today)
  const take = all ? 500 : 30
  const entries = await entryPairs(db, { itemId }, looker, take + 1)
  return {
    item: { ...item, safetyMilli: Number(item.safetyMilli), packs: item.packs.map((p) => ({ ...p, qtyMilli: Number(p.qtyMilli) })) },
    here: (await stockOf(db, today, [itemId])).get(itemId) ?? NONE,
    valueCents: Number(account?.valueCents ?? 0), lots, entries: entries.slice(0, take), hasMore: entries.length > take, all,
  }
}
export type ItemModel = Awaited<ReturnType<typeof itemPage>>

export async function awaitingPage(db: Reader, looker: Looker) {
  return { entries: await entryPairs(db, AWAITING, looker, 200) }
}
export type AwaitingModel = { entries: EntryPair[] }

/** A member's own stock, and what is lent either way. */
export async function ownPage(db: Reader, today: string, looker: Looker) {
  const lots = await lotsOf(db, { balances: { some: { qtyMilli: { gt: 0 }, holder: { memberId: looker.id } } } }, today)
  return {
    lots: lots.map((lot) => ({ ...lot, mine: lot.held.find((h) => h.memberId === looker.id)?.milli ?? 0 })),
    loans: await loans(db, looker.id),
    entries: await entryPairs(db, { OR: [{ holder: { memberId: looker.id } }, { chargedToId: looker.id }] }, looker, 30),
  }
}
export type OwnModel = Awaited<ReturnType<typeof ownPage>>

export type Loan = { memberId: string; member: string; itemId: string; item: string; unit: string; milli: number }
/** What the club has on loan from members by item (below 0: they from it); of one member or of all. */
export async function loans(db: Reader, memberId: string | null): Promise<Loan[]> {
  const rows = await db.$queryRaw<{ member_id: string; member: string; item_id: string; item: string; unit: string; milli: bigint }[]>`
    select h.member_id, m.name as member, i.id as item_id, i.name as item, i.unit::text, sum(e.qty_milli)::bigint as milli
    from stock_entry e join stock_entry o on o.move_id = e.move_id and o.holder_id <> e.holder_id and o.lot_id = e.lot_id
      join holder h on h.id = o.holder_id join member m on m.id = h.member_id join item i on i.id = e.item_id
    where e.holder_id = ${CLUB_HOLDER}::uuid and e.loan is not null and (${memberId}::uuid is null or h.member_id = ${memberId}::uuid)
    group by h.member_id, m.name, i.id having sum(e.qty_milli) <> 0 order by m.name, i.name`
  return rows.map((row) => ({ memberId: row.member_id, member: row.member, itemId: row.item_id, item: row.item, unit: row.unit, milli: Number(row.milli) }))
}
