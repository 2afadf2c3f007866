import { largestRemainder } from '../../../core/stock/index.ts'
import type { Reader } from '../../../platform/database.ts'
import { isoDate, localParts } from '../../../platform/times.ts'
import { amountField, moneyField } from '../facts/amount-text.ts'
import { toCsv } from '../facts/csv.ts'
import { seenBuilds, type Looker } from '../facts/seen.ts'
import { ENTRY_COLUMNS, ITEM_COLUMNS, LOT_COLUMNS } from '../facts/import-columns.ts'

const n = (value: number | null): string => (value === null ? '' : String(value))
const yes = (value: boolean): string => (value ? 'yes' : 'no')
const day = (at: Date | null): string => (at === null ? '' : isoDate(at))

/** All items with their packs; reads back as it is. */
export async function itemsCsv(db: Reader): Promise<string> {
  const items = await db.item.findMany({ include: { supplier: { select: { name: true } }, packs: { orderBy: [{ qtyMilli: 'asc' }, { name: 'asc' }] } }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  const empty = ITEM_COLUMNS.slice(1, -4).map(() => '')
  const rows = items.flatMap((item) => {
    const packs = item.packs.filter((pack) => pack.isActive).map((pack) => [pack.name, amountField(pack.qtyMilli), moneyField(pack.priceCents), pack.orderCode])
    const [first = ['', '', '', ''], ...others] = packs
    const figures = [
      item.name, item.kind, item.unit, n(item.density), n(item.widthMm), n(item.lengthMm), n(item.thicknessMm), n(item.arealMass), item.shelf, n(item.leadDays),
      item.safetyMilli === 0n ? '' : amountField(item.safetyMilli), n(item.shelfLifeDays), n(item.openedLifeDays), yes(item.isShared), item.supplier?.name ?? '', yes(item.isActive), item.note,
      item.signalWord, item.pictograms.join(' '), item.hazards.join('\n'), item.precautions.join('\n'),
    ]
    return [[...figures, ...first], ...others.map((pack) => [item.name, ...empty, ...pack])]
  })
  return toCsv(ITEM_COLUMNS, rows)
}

/** All lots of which something is left, with the share that each has of its item's value: opening balances for another book. */
export async function lotsCsv(db: Reader): Promise<string> {
  const balances = await db.lotBalance.findMany({
    where: { qtyMilli: { gt: 0 } },
    include: {
      lot: { include: { item: { select: { name: true, unit: true, shelfLifeDays: true } }, supplier: { select: { name: true } } } },
      holder: { select: { member: { select: { name: true } } } },
    },
    orderBy: [{ lot: { item: { name: 'asc' } } }, { lot: { number: 'asc' } }, { holderId: 'asc' }],
  })
  const accounts = await db.stockAccount.findMany({ where: { qtyMilli: { gt: 0 } }, select: { itemId: true, holderId: true, valueCents: true } })
  const worth = new Map<string, number>()
  for (const account of accounts) {
    const of = balances.filter((b) => b.lot.itemId === account.itemId && b.holderId === account.holderId)
    const shares = largestRemainder(Number(account.valueCents), of.map((b) => Number(b.qtyMilli)))
    of.forEach((b, at) => worth.set(`${b.lotId} ${b.holderId}`, shares[at] ?? 0))
  }
  return toCsv(LOT_COLUMNS, balances.map(({ lot, lotId, holder, holderId, qtyMilli }) => [
    String(lot.number), lot.item.name, lot.code, lot.supplier?.name ?? '', isoDate(lot.receivedOn), day(lot.openedOn), lot.expiresOn === null && lot.item.shelfLifeDays !== null ? 'none' : day(lot.expiresOn),
    lot.state, lot.tareMg === null ? '' : amountField(lot.tareMg), holder.member?.name ?? '', amountField(qtyMilli), lot.item.unit, moneyField(worth.get(`${lotId} ${holderId}`) ?? 0), lot.note,
  ]))
}

/** The whole ledger in booking order; what comes to the holder is positive. Builds that the looker may not see go without their names. */
export async function entriesCsv(db: Reader, zone: string, looker: Looker): Promise<string> {
  const seen = new Set((await db.build.findMany({ where: seenBuilds(looker), select: { id: true } })).map(({ id }) => id))
  const named = { select: { name: true } } as const
  const entries = await db.stockEntry.findMany({
    select: {
      seq: true, kind: true, buildId: true, qtyMilli: true, valueCents: true, rule: true, onDate: true, at: true, why: true,
      item: { select: { name: true, unit: true } }, lot: { select: { number: true, code: true, expiresOn: true, supplier: named } }, holder: { select: { member: named } }, by: named, chargedTo: named,
      build: named, task: named, batch: { select: { number: true } }, of: { select: { seq: true } }, reverses: { select: { seq: true } },
    },
    orderBy: { seq: 'asc' },
  })
  return toCsv(ENTRY_COLUMNS, entries.map((e) => {
    const { date, time } = localParts(zone, e.at)
    const isReceipt = e.kind === 'receipt'
    const isSeen = e.buildId === null || seen.has(e.buildId)
    return [
      String(e.seq), isoDate(e.onDate), e.kind, e.item.name, String(e.lot.number), e.lot.code, amountField(e.qtyMilli), e.item.unit, moneyField(e.valueCents), isSeen ? (e.build?.name ?? '') : 'a team’s build', isSeen ? (e.task?.name ?? '') : '',
      e.batch === null ? '' : String(e.batch.number), e.chargedTo?.name ?? '', e.holder.member?.name ?? '', isReceipt ? (e.lot.supplier?.name ?? '') : '', isReceipt ? day(e.lot.expiresOn) : '', '',
      isSeen ? e.why : '', e.by.name, `${date} ${time}`, e.rule, e.reverses === null ? '' : String(e.reverses.seq), e.of === null ? '' : String(e.of.seq),
    ]
  }))
}
