import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'
import { drawStock } from '../../../src/features/stores/public.ts'
import { askForPlan, command, planned, planNow, smallClub, textOf } from './club.ts'
import { stores } from './stock.ts'

// Saturday 30 May 2026, 10:00 in Berlin.
const club = await testClub({ now: '2026-05-30T08:00:00Z' })
const small = await smallClub(club)
const keeper = await club.signedIn(['storekeeper'])
const s = stores(club, small.ann.id)
const { db } = club

const shop = await s.supplier('Harbour Supplies')
const mill = await s.supplier('Inland Mill')
const resin = await s.item('Epoxy resin', { kind: 'resin', leadDays: 7, supplierId: shop.id, shelf: 'B2' })
const hardener = await s.item('Slow hardener', { kind: 'hardener', leadDays: 10, supplierId: shop.id })
const ply = await s.item('6 mm ply', { kind: 'ply', unit: 'pcs', leadDays: 5, safetyMilli: 1_000n, supplierId: mill.id })
await s.pack(resin.id, '1 kg can', 1_000_000, 2_400)
await s.pack(hardener.id, '500 g bottle', 500_000, 1_600)
const sheet = await s.pack(ply.id, 'sheet', 1_000, 6_000)
await s.lot(resin.id, 1_000_000)
await s.lot(hardener.id, 1_000_000)
await s.lot(ply.id, 2_000)

// Four Saturdays from 10:00 to 16:00; each coat is released on a Saturday of its own.
for (const date of ['2026-06-06', '2026-06-13', '2026-06-20', '2026-06-27']) await small.session(date, '10:00', '16:00')
const materials = (rows: [string, number][]) => (
  { create: rows.map(([itemId, likely]) => ({ itemId, name: itemId, unit: itemId === ply.id ? 'pcs' : 'g', low: likely, likely, high: likely })) }
)
const first = await small.coat(
  'Coat the foils', { releaseOn: new Date('2026-06-13T00:00:00Z'), materials: materials([[resin.id, 800], [hardener.id, 320]]) },
)
const second = await small.coat(
  'Coat the deck', { releaseOn: new Date('2026-06-20T00:00:00Z'), materials: materials([[resin.id, 1_500], [hardener.id, 600], [ply.id, 1.5]]) },
)

const needs = async () => {
  const plan = await db.plan.findFirstOrThrow({ orderBy: { id: 'desc' }, include: { needs: true } })
  return plan.needs.map(
    (n) => ({ task: n.taskId, item: n.itemId, milli: Number(n.amountMilli), short: Number(n.shortMilli), wanted: n.wantedAt?.toISOString() })
  )
}

test('a plan keeps what its tasks take from the stores, and what of it is missing', async () => {
  await askForPlan(club)
  expect(await planNow(club)).toBe('planned')
  // Resin 1,000 − 800 = 200 for the deck's 1,500: 1,300 g short. Hardener 1,000 − 320 = 680 for 600. Ply 2 for 1.5.
  expect(await needs()).toEqual(expect.arrayContaining([
    { task: first.id, item: resin.id, milli: 800_000, short: 0, wanted: '2026-06-13T08:00:00.000Z' },
    { task: second.id, item: resin.id, milli: 1_500_000, short: 1_300_000, wanted: '2026-06-20T08:00:00.000Z' },
    { task: second.id, item: hardener.id, milli: 600_000, short: 0, wanted: '2026-06-20T08:00:00.000Z' },
    { task: second.id, item: ply.id, milli: 1_500, short: 0, wanted: '2026-06-20T08:00:00.000Z' },
  ]))
  expect((await planned(club)).map((p) => p.replace(/ by .*/, ''))).toEqual(['Coat the foils Sat 10:00–11:00', 'Coat the deck Sat 10:00–11:00'])
})

test('what the list says is ordered resolves the run-out, and the plan counts on it', async () => {
  const level = `/stores/items/${resin.id}/level`
  expect(textOf((await keeper.get(level)).body)).toContain(
    'the stock runs out Sat 20 Jun: 1.3 kg is missing for Skua: Coat the deck. Order 1.3 kg by Fri 12 Jun.'
  )
  const list = await keeper.get('/stores/buying')
  const page = textOf(list.body)
  // 1.3 kg in cans of 1 kg: two. Ply: 2 − 1.5 = 0.5 sheets, half a sheet below the safety stock of one: one sheet. 2 × 24 + 60 = 108.
  expect(page).toContain('Epoxy resin: 1.3 kg 2 × 1 kg can : 2 kg, 700 g over, €48.00.')
  expect(page).toMatch(/6 mm ply: 0.5 \S+ 1 × sheet/)
  expect(page).not.toContain('Slow hardener:')
  expect(page).toContain('2 items are to be ordered so that everything lasts until Sat 25 Jul, for about €108.00.')

  const sent = await keeper.post(
    '/stores/buying', { weeks: 'plan', undated: '', pick: [resin.id, ply.id], [`short_${resin.id}`]: 1_300_000, [`short_${ply.id}`]: 500 },
  )
  expect(sent.statusCode).toBe(303)
  const orders = await db.stockOrder.findMany({ include: { lines: true }, orderBy: { number: 'asc' } })
  expect(orders.map((o) => [o.supplierId, o.expectedOn.toISOString().slice(0, 10), o.lines.map((l) => [l.itemId, l.packs, Number(l.qtyMilli), l.priceCents])])).toEqual([
    [shop.id, '2026-06-06', [[resin.id, 2, 2_000_000, 4_800]]],
    [mill.id, '2026-06-04', [[ply.id, 1, 1_000, 6_000]]],
  ])
  expect(await planNow(club)).toBe('planned')
  expect((await needs()).filter((n) => n.short > 0)).toEqual([])
  expect(textOf((await keeper.get(level)).body)).toContain('all of it is covered; 700 g is left then.')
  expect(textOf((await keeper.get('/stores/buying')).body)).toContain('Nothing needs to be ordered.')
  expect(textOf((await keeper.get('/stores/outlook')).body)).toContain('All that the plan asks for up to Sat 25 Jul is there or on order')
})

test('the same list sent again by somebody else orders nothing twice', async () => {
  const other = await club.signedIn(['officer'])
  const again = await other.post('/stores/buying', { weeks: 'plan', pick: resin.id, [`short_${resin.id}`]: 1_300_000 })
  expect(again.statusCode).toBe(409)
  expect(textOf(again.body)).toContain('Less Epoxy resin is missing than when you looked')
  expect(await db.stockOrder.count()).toBe(2)
})

test('nothing ticked, no number of packs and no pack at all are said beside the field, and order nothing', async () => {
  await db.item.update({ where: { id: ply.id }, data: { safetyMilli: 5_000n } })
  // 2 + 1 on order − 1.5 = 1.5 sheets; 3.5 below five.
  const count = await db.stockOrder.count()
  for (const [fields, status, says] of [
    [{}, 422, 'Nothing is ticked, so nothing was ordered.'],
    [{ pick: ply.id, [`short_${ply.id}`]: 3_500, [`packs_${sheet.id}`]: 'four' }, 422, 'A whole number of packs from 0 to 9999, not “four”'],
    [{ pick: ply.id, [`short_${ply.id}`]: 3_500, [`packs_${sheet.id}`]: '-4' }, 422, 'not “-4”'],
    [{ pick: ply.id, [`short_${ply.id}`]: 3_500, [`packs_${sheet.id}`]: '0' }, 422, '6 mm ply: no pack; untick it if none is to be ordered'],
    [{ weeks: 'many', pick: ply.id, [`short_${ply.id}`]: 3_500 }, 422, 'Whole weeks from 1 to 104, not “many”'],
    [{ pick: resin.id, [`short_${resin.id}`]: 1 }, 409, 'Less Epoxy resin is missing'],
  ] as const) {
    const answer = await keeper.post('/stores/buying', { ...fields })
    expect(answer.statusCode, says).toBe(status)
    expect(textOf(answer.body)).toContain(says)
  }
  expect(await db.stockOrder.count()).toBe(count)
  const builder = await club.signedIn(['builder'])
  expect((await builder.post('/stores/buying', { pick: ply.id })).statusCode).toBe(403)
})

test('two who send the same list at once order it once', async () => {
  const fields = { pick: ply.id, [`short_${ply.id}`]: 3_500, [`packs_${sheet.id}`]: 4 }
  const before = await db.stockOrder.count()
  const sent = await Promise.all(
    [keeper.post('/stores/buying', fields), keeper.post('/stores/buying', fields), keeper.post('/stores/buying', fields)]
  )
  expect(sent.map((r) => r.statusCode).sort()).toEqual([303, 409, 409])
  expect(await db.stockOrder.count()).toBe(before + 1)
})

test('an order that is late is counted on from tomorrow, and said to be late', async () => {
  await s.order(hardener.id, 500_000, '2026-05-28')
  expect(textOf((await keeper.get(`/stores/items/${hardener.id}/level`)).body)).toMatch(
    /Order \d+ was expected Thu 28 May and is not here yet: ask the supplier\./
  )
})

test('what a piece takes from the stores stands on the session’s sheet, with its shelf', async () => {
  const on = await db.session.findFirstOrThrow({ where: { date: new Date('2026-06-13T00:00:00Z') } })
  expect(textOf((await keeper.get(`/sessions/${on.id}/sheet`)).body)).toContain(
    'From the stores: 800 g Epoxy resin (shelf B2) and 320 g Slow hardener.'
  )
})

test('what was drawn for a task since the plan counts once: gone from the shelf, and not asked for any more', async () => {
  const level = async () => textOf((await keeper.get(`/stores/items/${resin.id}/level`)).body)
  // 1,000 and 2,000 on order; 800 for the foils, 1,500 for the deck: 700 left, before the draw and after it.
  expect(await level()).toContain(
    '1 kg Epoxy resin is there and 2 kg is on order. The plan asks for 2.3 kg up to Sat 20 Jun, and all of it is covered; 700 g is left then.'
  )
  const requests = await db.planRequest.count()
  await command(
    club, small.ann.id,
    (tx, ctx) => drawStock(tx, ctx, { itemId: resin.id, qtyMilli: 800_000, structural: true, buildId: small.build.id, taskId: first.id }),
  )
  // What was set aside for it: no new plan is asked for.
  expect(await db.planRequest.count()).toBe(requests)
  expect(await level()).toContain(
    '200 g Epoxy resin is there and 2 kg is on order. The plan asks for 1.5 kg up to Sat 20 Jun, and all of it is covered; 700 g is left then.'
  )
  const on = await db.session.findFirstOrThrow({ where: { date: new Date('2026-06-13T00:00:00Z') } })
  expect(textOf((await keeper.get(`/sessions/${on.id}/sheet`)).body)).toContain('From the stores: 320 g Slow hardener.')
})

test('needs of plans long gone are dropped with their pieces', async () => {
  const old = await s.plan([{ taskId: first.id, buildId: small.build.id, itemId: resin.id, amountMilli: 1n, wantedAt: null }])
  expect(await db.planNeed.count({ where: { planId: old.id } })).toBe(1)
  for (let n = 0; n < 50; n++) await s.plan([])
  await askForPlan(club)
  expect(await planNow(club)).toBe('planned')
  expect(await db.planNeed.count({ where: { planId: old.id } })).toBe(0)
})
