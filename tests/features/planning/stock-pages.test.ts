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
const decks = await small.phase
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
void decks

test('the outlook names what runs out with the task it stops, and the day to order by', async () => {
  const page = textOf((await keeper.get('/stores/outlook')).body)
  console.log(page.slice(0, 3000))
  expect(page).toContain('2 items run out')
})

test('an item’s level', async () => {
  const page = textOf((await keeper.get(`/stores/items/${resin.id}/level`)).body)
  console.log(page.slice(0, 3000))
})
test('buying', async () => {
  const page = textOf((await keeper.get('/stores/buying')).body)
  console.log(page.slice(0, 3500))
})
test('build', async () => {
  const page = textOf((await keeper.get(`/builds/${small.build.id}/stock`)).body)
  console.log(page.slice(0, 3500))
})
