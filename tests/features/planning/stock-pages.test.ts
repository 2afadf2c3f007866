import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'
import { smallClub, textOf } from './club.ts'
import { stores } from './stock.ts'

// Saturday 30 May 2026, 10:00 in Berlin.
const club = await testClub({ now: '2026-05-30T08:00:00Z' })
const small = await smallClub(club)
const keeper = await club.signedIn(['storekeeper'])
const s = stores(club, small.ann.id)
const at = (local: string) => new Date(`${local}:00+02:00`)

const shop = await s.supplier('Harbour Supplies')
const resin = await s.item('Epoxy resin', { kind: 'resin', leadDays: 10, supplierId: shop.id, shelf: 'B2' })
const hardener = await s.item('Slow hardener', { kind: 'hardener', leadDays: 10, supplierId: shop.id, shelf: 'B2' })
const gloves = await s.item('Gloves', { unit: 'pcs', leadDays: 7, safetyMilli: 20_000n, supplierId: shop.id })
await s.pack(resin.id, '1 kg can', 1_000_000, 2_400)
await s.pack(resin.id, '5 kg drum', 5_000_000, 9_500)
await s.pack(hardener.id, '500 g bottle', 500_000, 1_600)
await s.pack(gloves.id, 'box of 100', 100_000, 900)
await club.db.cureProduct.update({ where: { id: small.epoxy.id }, data: { ratioA: 100, ratioB: 50, ratioBy: 'mass' } })
await club.db.system.create({ data: { productId: small.epoxy.id, resinItemId: resin.id, hardenerItemId: hardener.id } })
await s.lot(resin.id, 2_000_000)
await s.lot(hardener.id, 600_000)
await s.lot(gloves.id, 8_000)
const foils = await small.coat('Coat the foils')
const deck = await small.coat('Coat the deck', { phaseId: (await club.make.phase(small.build.id, { name: 'Deck' })).id })
// Foils: 800 + 400 g on 13 June; deck: 2,000 + 1,000 g on 27 June. There: 2,000 g resin, 600 g hardener.
// Resin: 2,000 − 800 = 1,200; 1,200 − 2,000 = −800. Hardener: 600 − 400 = 200; 200 − 1,000 = −800.
await s.plan(
  [
    { taskId: foils.id, buildId: small.build.id, itemId: resin.id, amountMilli: 800_000n, wantedAt: at('2026-06-13T10:00') },
    { taskId: foils.id, buildId: small.build.id, itemId: hardener.id, amountMilli: 400_000n, wantedAt: at('2026-06-13T10:00') },
    { taskId: deck.id, buildId: small.build.id, itemId: resin.id, amountMilli: 2_000_000n, wantedAt: at('2026-06-27T10:00') },
    { taskId: deck.id, buildId: small.build.id, itemId: hardener.id, amountMilli: 1_000_000n, wantedAt: at('2026-06-27T10:00') },
  ],
  [{}, {}, { shortMilli: 800_000n, coveredAt: at('2026-06-09T10:00') }, { shortMilli: 800_000n, coveredAt: at('2026-06-09T10:00') }],
)


test('the outlook names what runs out with the task it stops, and the day to order by', async () => {
  const page = textOf((await keeper.get('/stores/outlook')).body)
  expect(page).toContain(
    '2 items run out up to Sat 25 Jul; the first is Epoxy resin, which runs out week 26 (from 22 Jun): 800 g is missing for Skua: Coat the deck.'
  )
  // Gloves lie below their safety stock: what can't wait comes first. An order of 16 June is here by the end of the 26th, the day before.
  expect(page).toContain('3 items are to be ordered: first Gloves: order 12 pcs now; ordered today, it is here Sat 6 Jun.')
  expect(page).toMatch(/Gloves 8 pcs .* Epoxy resin 2 kg .* Slow hardener 600 g/)
  expect(page).toContain('Order 800 g by Tue 16 Jun.')
  // 600 g hardener at 100:50 go with 1,200 g resin: 1,800 g mixed, however much resin is left.
  expect(page).toContain('1.8 kg; Slow hardener sets the limit')
})

test('an item’s level is a sentence, a chart and a table that say the same', async () => {
  const answer = await keeper.get(`/stores/items/${resin.id}/level`)
  const page = textOf(answer.body)
  expect(page).toContain(
    '2 kg Epoxy resin is there. The plan asks for 2.8 kg up to week 26 (from 22 Jun); the stock runs out week 26 (from 22 Jun): 800 g is missing for Skua: Coat the deck. Order 800 g by Tue 16 Jun.'
  )
  expect(page).toContain('It is one part of Slow epoxy: when it runs out there is no Slow epoxy, however much Slow hardener there is.')
  expect(page).toMatch(/Week by week .*8 Jun 800 g 1.2 kg 22 Jun 2 kg 800 g missing/)
  expect(page).toMatch(/now There 2 kg .*Coat the foils −800 g 1.2 kg .*Coat the deck −2 kg 0 g 800 g missing/)
  expect(answer.body).toMatch(/<svg class="stock-chart"[^>]* role="img" aria-label="Stock level of Epoxy resin\. 2 kg Epoxy resin is there\./)
  for (const mark of ['chart-mark-order', 'chart-mark-out']) expect(answer.body).toContain(`class="${mark}"`)
})

test('a lot that passes its date before it is used is named on the item’s page', async () => {
  const ply = await s.item('6 mm ply', { unit: 'pcs' })
  const lot = await s.lot(ply.id, 4_000, { expiresOn: new Date('2026-06-20T00:00:00Z') })
  const page = textOf((await keeper.get(`/stores/items/${ply.id}/level`)).body)
  expect(page).toContain(`Lot ${lot.number} : 4 pcs would be left of it after its last day, Sat 20 Jun, and must be tested then.`)
})

test('a build is told what is left for her: the hull, but not the deck', async () => {
  const page = textOf((await keeper.get(`/builds/${small.build.id}/stock`)).body)
  expect(page).toContain('What is left covers Hull, but not Deck: 800 g Epoxy resin and 800 g Slow hardener are missing.')
  expect(page).toMatch(/Epoxy resin 2.8 kg 2 kg 800 g/)
  expect(page).toContain('Missing: 800 g of 2 kg Epoxy resin and 800 g of 1 kg Slow hardener; ordered today, here Tue 9 Jun.')
})

test('the noticeboard says what runs out or must be ordered within a week, and nothing else', async () => {
  const page = () => keeper.get('/').then((r) => textOf(r.body))
  expect(await page()).toContain('Stores this week Buying list Gloves: order 12 pcs now; ordered today, it is here Sat 6 Jun.')
  expect(await page()).not.toContain('Epoxy resin: runs out')
  // Ten days later the resin must be ordered within the week.
  club.clock.set(at('2026-06-10T10:00'))
  expect(await page()).toContain('Epoxy resin: runs out week 26 (from 22 Jun): 800 g is missing for Skua: Coat the deck; order 800 g by Tue 16 Jun.')
  club.clock.set(new Date('2026-05-30T08:00:00Z'))
})

test('work of a build that is its team’s alone is not named to others', async () => {
  await club.db.build.update({ where: { id: small.build.id }, data: { visibility: 'team' } })
  for (const url of ['/stores/outlook', `/stores/items/${resin.id}/level`, '/stores/buying', '/']) {
    const page = textOf((await keeper.get(url)).body)
    expect(page).not.toContain('Skua')
    expect(page).not.toContain('Coat the deck')
    if (url !== '/') expect(page).toContain('800 g is missing for work on another build')
  }
  expect((await keeper.get(`/builds/${small.build.id}/stock`)).statusCode).toBe(404)
  await club.db.build.update({ where: { id: small.build.id }, data: { visibility: 'club' } })
})

test('the buying list looks as far as it is asked to, in packs that are never short', async () => {
  const page = async (query: string) => textOf((await keeper.get(`/stores/buying${query}`)).body)
  // 800 g: a can of 1 kg (24.00) is cheaper than a drum of 5 kg (95.00); hardener in two bottles of 500 g.
  const all = await page('')
  expect(all).toContain('3 items are to be ordered so that everything lasts until Sat 25 Jul, for about €65.00.')
  expect(all).toContain('Epoxy resin: 800 g 1 × 1 kg can : 1 kg, 200 g over, €24.00.')
  expect(all).toContain('Slow hardener: 800 g 2 × 500 g bottle : 1 kg, 200 g over, €32.00.')
  // To print, or for who may not order: the same as a table, with nothing to send.
  const reader = await club.signedIn(['builder'])
  const read = (await reader.get('/stores/buying')).body
  expect(textOf(read)).toMatch(/Item Packs Missing Bought Order by Cost .*Epoxy resin 1 × 1 kg can 800 g 1 kg Tue 16 Jun €24\.00 .*Together: €65\.00/)
  expect(read).not.toContain('name="pick"')
  // In two weeks only the foils are coated.
  expect(await page('?weeks=2')).toContain('One item is to be ordered so that everything lasts until Sat 13 Jun, for about €9.00.')
  const bad = await keeper.get('/stores/buying?weeks=soon')
  expect(bad.statusCode).toBe(422)
  expect(textOf(bad.body)).toContain('Whole weeks from 1 to 104, not “soon”')
  for (const nobody of [`/stores/items/${small.build.id}/level`, '/stores/items/nothing/level']) {
    expect((await keeper.get(nobody)).statusCode).toBe(404)
  }
})

test('what no task asks for is bought at its reorder point, from what was drawn', async () => {
  const discs = await s.item('Sanding discs', { unit: 'pcs', leadDays: 14 })
  const discLot = await s.lot(discs.id, 60_000, { receivedOn: new Date('2026-03-31T00:00:00Z') })
  // 31 March to 30 May are 61 days; six draws of 8 leave 12 of 60. A draw that was reversed was none.
  for (const n of [0, 1, 2, 3, 4, 5]) {
    await s.entry({ kind: 'draw', itemId: discs.id, lotId: discLot.id, qtyMilli: -8_000, onDate: new Date(Date.UTC(2026, 3, 11 + 7 * n)) })
  }
  const wrong = await s.entry({ kind: 'draw', itemId: discs.id, lotId: discLot.id, qtyMilli: -10_000, onDate: new Date('2026-05-20T00:00:00Z') })
  await s.entry(
    {
      kind: 'reversal', itemId: discs.id, lotId: discLot.id, qtyMilli: 10_000, onDate: new Date('2026-05-21T00:00:00Z'), reversesId: wrong.id,
      why: 'typed twice',
    }
  )
  // Mean 48 / 61 = 0.786885 a day. Squares 6 × 64 = 384 − 61 × 0.786885² = 346.2295; / 60 = 5.77049: sd 2.402185.
  // Point: 0.786885 × 14 = 11.0164, + 1.644854 × 2.402185 × √14 (3.741657) = 14.7844: 25.8008, so 26. There are 12: at or below it.
  const page = textOf((await keeper.get(`/stores/items/${discs.id}/level`)).body)
  expect(page).toContain(
    '12 pcs Sanding discs is there. No task asks for it. About 5.5 pcs a week went out in the last 9 weeks; what is there and on order lasts about 2 weeks.'
  )
  expect(page).toContain('Its reorder point is 26 pcs.')
  // Eight weeks of use: 56 × 0.786885 = 44.0656; 26 + 44.0656 − 12 = 58.0656, so 59.
  expect(page).toContain('Order 59 pcs today.')
})
