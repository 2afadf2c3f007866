import type { Reader } from '../../../platform/database.ts'
import { found } from '../../../platform/errors.ts'
import { lotsOf, type Looker } from './ledger-items.ts'
import { supplierChoices } from './items.ts'

const ITEM = { id: true, name: true, kind: true, unit: true, density: true, shelf: true, isActive: true } as const

/** Builds under construction that a person may book draws for. */
async function drawBuilds(db: Reader, looker: Looker) {
  const all = looker.roles.includes('officer') || looker.roles.includes('keyholder')
  const seen = looker.roles.includes('officer') ? {} : { OR: [{ visibility: 'club' as const }, { team: { some: { memberId: looker.id } } }] }
  return db.build.findMany({
    where: { AND: [{ state: { not: 'launched' } }, seen, all ? {} : { team: { some: { memberId: looker.id } } }] }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }],
  })
}

const activeMembers = (db: Reader) => db.member.findMany({ where: { isActive: true }, select: { id: true, name: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })

export async function drawPage(db: Reader, itemId: string, today: string, looker: Looker) {
  const item = found(await db.item.findUnique({ where: { id: itemId }, select: ITEM }))
  const lots = await lotsOf(db, { itemId, balances: { some: { qtyMilli: { gt: 0 } } } }, today)
  // Cans that may hold something though the book says they are empty.
  const cans = await db.lot.findMany({ where: { itemId, state: { not: 'discard' } }, select: { id: true, number: true }, orderBy: { number: 'desc' }, take: 12 })
  return {
    item, today, lots: lots.map((lot) => ({ ...lot, mine: lot.held.find((h) => h.memberId === looker.id)?.milli ?? 0 })), cans, builds: await drawBuilds(db, looker), members: await activeMembers(db),
  }
}
export type DrawModel = Awaited<ReturnType<typeof drawPage>>

/** For write-offs, moves and price corrections: the lots of an item that they can be about. */
export async function lotFormPage(db: Reader, itemId: string, today: string, looker: Looker) {
  const item = found(await db.item.findUnique({ where: { id: itemId }, select: ITEM }))
  const lots = await lotsOf(db, { itemId }, today)
  const bought = await db.stockEntry.groupBy({ by: ['lotId'], where: { itemId, OR: [{ kind: 'receipt', reversedBy: null }, { kind: 'price_correction' }, { kind: 'reversal', reverses: { kind: 'price_correction' } }] }, _sum: { valueCents: true } })
  // A charged correction is booked with the sign turned.
  const charged = await db.stockEntry.groupBy({
    by: ['lotId'], where: { itemId, OR: [{ kind: 'price_correction', ofEntryId: { not: null } }, { kind: 'reversal', reverses: { kind: 'price_correction', ofEntryId: { not: null } } }] }, _sum: { valueCents: true },
  })
  const cost = new Map(bought.map((row) => [row.lotId, row._sum.valueCents ?? 0]))
  for (const row of charged) cost.set(row.lotId, (cost.get(row.lotId) ?? 0) - 2 * (row._sum.valueCents ?? 0))
  return { item, today, members: await activeMembers(db), lots: lots.map((lot) => ({ ...lot, costCents: cost.get(lot.id) ?? 0, mine: lot.held.find((h) => h.memberId === looker.id)?.milli ?? 0 })) }
}
export type LotFormModel = Awaited<ReturnType<typeof lotFormPage>>

/** Receiving: by itself, or the open lines of an order. */
export async function receivePage(db: Reader, today: string, orderId: string | null) {
  const items = await db.item.findMany({ where: { isActive: true }, select: { id: true, name: true, unit: true, kind: true, shelfLifeDays: true }, orderBy: [{ name: 'asc' }, { id: 'asc' }] })
  const order = orderId === null ? null : await db.stockOrder.findUnique({ where: { id: orderId }, select: { id: true, number: true, supplierId: true, state: true, lines: { orderBy: [{ item: { name: 'asc' } }, { id: 'asc' }] } } })
  const open = order?.state === 'open' ? order.lines.filter((line) => line.receivedMilli < line.qtyMilli) : []
  return {
    today, items, suppliers: await supplierChoices(db),
    order: order === null ? null : { id: order.id, number: order.number, supplierId: order.supplierId, isOpen: order.state === 'open' },
    lines: open.map((line) => {
      const rest = Number(line.qtyMilli - line.receivedMilli)
      return { itemId: line.itemId, milli: rest, cents: Math.round((line.priceCents * rest) / Number(line.qtyMilli)) }
    }),
  }
}
export type ReceiveModel = Awaited<ReturnType<typeof receivePage>>
