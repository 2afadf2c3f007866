import { describe, expect, test } from 'vitest'
import {
  buildCost, CLUB_HOLDER, drawnOn, drawStock, holderOf, loadMaterials, returnStock, reverseEntry, stockOf, taskEntries, writeOff, type DrawStock,
} from '../../../src/features/stores/public.ts'
import { transact } from '../../../src/platform/database.ts'
import { toInstant } from '../../../src/platform/times.ts'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const keeper = await club.make.member(['storekeeper'])
const now = club.clock.now()
const ctx = club.make.ctx(keeper.id, { now })
const draw = async (input: Omit<DrawStock, 'structural'>) => {
  const booked = await transact(club.db, (tx) => drawStock(tx, ctx, { structural: true, ...input }))
  if (!booked.ok) throw new Error(JSON.stringify(booked.refusal))
  return booked.value
}
const requests = () => club.db.planRequest.count()

async function taskOf() {
  const build = await club.make.build()
  const phase = await club.make.phase(build.id)
  return club.db.task.create({ data: { buildId: build.id, phaseId: phase.id, name: 'Glass the hull', position: 1, kind: 'shared', workLowMin: 60, workLikelyMin: 60, workHighMin: 60 } })
}
/** A plan as it is shown, with one need. */
async function planned(itemId: string, taskId: string, buildId: string, amountMilli: bigint) {
  const plan = await club.db.plan.create({
    data: { madeAt: now, fromAt: now, coversRequest: 0n, causes: [], schedules: 1, tookMs: 1, status: 'feasible', score: {}, unplanned: [], dropped: [], missed: [], met: [], moves: [] },
  })
  await club.db.planNeed.create({ data: { planId: plan.id, itemId, taskId, buildId, structural: true, amountMilli, coveredAt: now, shortMilli: 0n } })
}

describe('what is there', () => {
  test('by what it is good for on a day, the club’s alone', async () => {
    const item = await club.make.item()
    const member = await club.make.member()
    const holderId = await transact(club.db, (tx) => holderOf(tx, member.id))
    await club.make.lot({ itemId: item.id, qty: 1000, by: keeper.id, expiresOn: new Date('2026-06-10') })
    await club.make.lot({ itemId: item.id, qty: 200, by: keeper.id, state: 'not_structural' })
    await club.make.lot({ itemId: item.id, qty: 30, by: keeper.id, state: 'discard' })
    await club.make.lot({ itemId: item.id, qty: 4, by: keeper.id, holderId })
    expect((await stockOf(club.db, '2026-06-10')).get(item.id)).toEqual({ fresh: 1000, notStructural: 200, testFirst: 0, total: 1230 })
    expect((await stockOf(club.db, '2026-06-11', [item.id])).get(item.id)).toEqual({ fresh: 0, notStructural: 200, testFirst: 1000, total: 1230 })
    expect((await stockOf(club.db, '2026-06-11', [])).size).toBe(0)
  })

  test('for the planner: on hand by fitness, open orders at the end of their day, overdue ones a day from now', async () => {
    const item = await club.make.item({ leadDays: 9 })
    await club.make.lot({ itemId: item.id, qty: 1000, by: keeper.id })
    await club.make.lot({ itemId: item.id, qty: 200, by: keeper.id, state: 'not_structural' })
    await club.make.lot({ itemId: item.id, qty: 50, by: keeper.id, expiresOn: new Date('2026-06-05'), on: '2026-06-01' })
    const order = (expectedOn: string, qtyMilli: bigint, receivedMilli = 0n, state: 'open' | 'cancelled' = 'open') =>
      club.db.stockOrder.create({ data: { orderedOn: new Date('2026-06-01'), expectedOn: new Date(expectedOn), state, byId: keeper.id, lines: { create: { itemId: item.id, qtyMilli, priceCents: 1, receivedMilli } } } })
    await order('2026-06-12', 300n, 100n)
    await order('2026-06-12', 25n)
    await order('2026-06-03', 7n)
    await order('2026-06-20', 9n, 9n)
    await order('2026-06-20', 9n, 0n, 'cancelled')
    const t = toInstant(now)
    const material = (await loadMaterials(club.db, t, now)).find(({ id }) => id === item.id)
    expect(material).toEqual({
      id: item.id, leadTime: 9 * 1440,
      supplies: [
        { at: t, amount: 1000, fit: 'structure' }, { at: t, amount: 200, fit: 'any' }, { at: t + 1440, amount: 7, fit: 'structure' },
        // 12 June ends in Berlin at 22:00 UTC.
        { at: toInstant(new Date('2026-06-12T22:00:00Z')), amount: 225, fit: 'structure' },
      ],
    })
  })
})

describe('what a task took', () => {
  test('net of returns and reversals, with its entries in pairs, and what its build has cost', async () => {
    const task = await taskOf()
    const lot = await club.make.lot({ qty: 1_000_000, cents: 2000, by: keeper.id })
    const about = { itemId: lot.itemId, buildId: task.buildId, taskId: task.id }
    const first = await draw({ ...about, qtyMilli: 300_000 })
    const wrong = await draw({ ...about, qtyMilli: 50_000 })
    await transact(club.db, (tx) => returnStock(tx, ctx, { entryId: first.entryIds[0]!, qtyMilli: 100_000 }))
    await transact(club.db, (tx) => reverseEntry(tx, ctx, { entryId: wrong.entryIds[0]!, why: 'Twice' }))
    await transact(club.db, (tx) => writeOff(tx, ctx, { lotId: lot.id, qtyMilli: 1000, why: 'Spilt' }))
    expect((await drawnOn(club.db, [task.id])).get(task.id)).toEqual(new Map([[lot.itemId, 200_000]]))
    const entries = await taskEntries(club.db, task.id)
    expect(entries.map((e) => [e.kind, e.qtyMilli, e.reversal?.qtyMilli ?? null, e.reversal?.why ?? null])).toEqual([
      ['return', 100_000, null, null], ['draw', -50_000, 50_000, 'Twice'], ['draw', -300_000, null, null],
    ])
    const cost = await buildCost(club.db, task.buildId)
    expect([cost.cents, cost.byItem[0]?.milli, cost.byItem[0]?.cents]).toEqual([400, 200_000, 400])
  })
})

describe('what the planner is asked anew for', () => {
  test('a draw of what no plan needs: nothing', async () => {
    const lot = await club.make.lot({ qty: 1000, by: keeper.id })
    const before = await requests()
    await draw({ itemId: lot.itemId, qtyMilli: 10 })
    expect(await requests()).toBe(before)
  })

  test('a task’s own need: nothing until more goes than was set aside for it; any other draw of it: a plan', async () => {
    const task = await taskOf()
    const lot = await club.make.lot({ qty: 10_000, by: keeper.id })
    await planned(lot.itemId, task.id, task.buildId, 500n)
    const about = { itemId: lot.itemId, buildId: task.buildId, taskId: task.id }
    const before = await requests()
    await draw({ ...about, qtyMilli: 300 })
    await draw({ ...about, qtyMilli: 200 })
    expect(await requests()).toBe(before)
    await draw({ ...about, qtyMilli: 1 })
    expect(await requests()).toBe(before + 1)
    await draw({ itemId: lot.itemId, qtyMilli: 1 })
    expect(await requests()).toBe(before + 2)
    const cause = await club.db.planRequest.findFirst({ orderBy: { id: 'desc' } })
    expect(cause?.cause).toMatch(/^Item \d+ drawn$/)
    expect(Number((await club.db.stockAccount.findUniqueOrThrow({ where: { itemId_holderId: { itemId: lot.itemId, holderId: CLUB_HOLDER } } })).qtyMilli)).toBe(9498)
  })
})
