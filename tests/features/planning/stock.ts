/** Rows of the stores for tests of what lies ahead. */
import { randomUUID } from 'node:crypto'
import type { Prisma } from '../../../src/platform/generated/client.ts'
import type { TestClub } from '../../support/app.ts'
import { day } from './club.ts'

const CLUB = '00000000-0000-4000-8000-000000000001'

export function stores(club: TestClub, memberId: string) {
  const { db } = club
  let count = 0
  const item = (name: string, over: Partial<Prisma.ItemUncheckedCreateInput> = {}) => db.item.create(
    { data: { name, kind: 'other', unit: 'g', ...over } }
  )
  /** A lot with its opening receipt at no cost. */
  const lot = async (itemId: string, milli: number, over: Partial<Prisma.LotUncheckedCreateInput> = {}) => {
    const made = await db.lot.create({ data: { itemId, receivedOn: day('2026-05-01'), ...over } })
    await entry({ kind: 'receipt', itemId, lotId: made.id, qtyMilli: milli, onDate: over.receivedOn as Date ?? day('2026-05-01') })
    return made
  }
  const entry = (over: Omit<Prisma.StockEntryUncheckedCreateInput, 'holderId' | 'valueCents' | 'rule' | 'at' | 'byId'>) =>
    db.$transaction(async (tx) => {
      const row = await tx.stockEntry.create(
        { data: { holderId: CLUB, valueCents: 0, rule: 'average', at: club.clock.now(), byId: memberId, ...over } }
      )
      const account = await tx.stockAccount.findUniqueOrThrow({ where: { itemId_holderId: { itemId: over.itemId, holderId: CLUB } } })
      await tx.stockAccount.update({
        where: { itemId_holderId: { itemId: over.itemId, holderId: CLUB } }, data: {
          layers: account.qtyMilli === 0n ? [] : [{ q: Number(account.qtyMilli), v: 0 }],
        },
      })
      return row
    })
  const order = (itemId: string, milli: number, expectedOn: string, over: Partial<Prisma.StockOrderUncheckedCreateInput> = {}) =>
    db.stockOrder.create({
      data: {
        orderedOn: day('2026-05-20'), expectedOn: day(expectedOn), byId: memberId, ...over,
        lines: { create: [{ itemId, qtyMilli: BigInt(milli), priceCents: 0 }] },
      },
    })
  const pack = (itemId: string, name: string, milli: number, priceCents: number, over: Partial<Prisma.ItemPackUncheckedCreateInput> = {}) =>
    db.itemPack.create({ data: { itemId, name, qtyMilli: BigInt(milli), priceCents, ...over } })
  const supplier = (name: string) => db.supplier.create({ data: { name } })
  type Need = Prisma.PlanNeedUncheckedCreateInput
  type Asked = Omit<Need, 'planId' | 'coveredAt' | 'shortMilli' | 'structural'>
  /** A plan that asks for these, as the planner would have kept it. */
  const plan = async (needs: readonly Asked[], covered: Partial<Pick<Need, 'coveredAt' | 'shortMilli'>>[] = []) => {
    const now = club.clock.now()
    const made = await db.plan.create({
      data: {
        madeAt: now, fromAt: now, coversRequest: 0n, causes: [], schedules: 1, tookMs: 1, status: 'feasible', score: {}, unplanned: [], dropped: [],
        missed: [], met: [], moves: [],
      },
    })
    await db.planNeed.createMany(
      { data: needs.map((n, at) => ({ planId: made.id, coveredAt: now, shortMilli: 0n, structural: true, ...n, ...covered[at] })) }
    )
    return made
  }
  return { item, lot, entry, order, pack, supplier, plan, next: () => ++count, id: () => randomUUID() }
}
