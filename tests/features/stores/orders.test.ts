import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const keeper = await club.signedIn(['storekeeper'])
const words = (html: string) => html.replace(/<[^>]+>/g, ' ').replaceAll('&amp;', '&').replaceAll('&#39;', "'").replace(/\s+/g, ' ')
const supplier = await club.db.supplier.create({ data: { name: 'Quay Stores', phone: '+00 1' } })
const resin = await club.make.item({ name: 'Ordered resin', unit: 'g' })
const pack = await club.db.itemPack.create({ data: { itemId: resin.id, name: '6 kg can', qtyMilli: 6_000_000, priceCents: 8950 } })
const tape = await club.make.item({ name: 'Ordered tape', unit: 'm', kind: 'tape' })
const form = (over: Record<string, string> = {}) => ({ supplierId: supplier.id, orderedOn: '2026-06-06', expectedOn: '2026-06-20', ...over })

test('an order has packs at their price and loose amounts, and plans are asked anew', async () => {
  const asked = await club.db.planRequest.count()
  const answer = await keeper.post('/stores/orders/new', form({ what0: `pack:${pack.id}`, qty0: '2', what3: `item:${tape.id}`, qty3: '12.5', price3: '30' }))
  expect(answer.statusCode).toBe(303)
  const order = await club.db.stockOrder.findFirstOrThrow({ include: { lines: { orderBy: { priceCents: 'desc' } } } })
  // 2 x 6 kg for 2 x 89.50; 12.5 m for 30.00.
  expect(order.lines.map((l) => [l.packs, Number(l.qtyMilli), l.priceCents])).toEqual([[2, 12_000_000, 17_900], [1, 12_500, 3000]])
  expect(await club.db.planRequest.count()).toBe(asked + 1)
  const page = words((await keeper.get(`/stores/orders/${order.id}`)).body)
  expect(page).toContain('2 × 6 kg can')
  expect(page).toContain('€209.00')
  expect(words((await keeper.get('/stores/orders')).body)).toContain('Ordered resin, Ordered tape')
})

test.each([
  ['nothing on it', {}, 'Line 1: choose what is ordered'],
  ['half a pack', { what0: `pack:${pack.id}`, qty0: '0.5' }, 'Line 1: “0.5” is no number of packs'],
  ['an amount without an item', { what1: '', qty1: '3' }, 'Line 2: choose what is ordered'],
  ['a wrong unit', { what0: `item:${tape.id}`, qty0: '3 kg' }, 'is in kg, but this is kept in m'],
  ['expected before it was ordered', { expectedOn: '2026-06-01', what0: `pack:${pack.id}`, qty0: '1' }, 'Expected on: before it was ordered'],
  ['ordered tomorrow', { orderedOn: '2026-06-07', what0: `pack:${pack.id}`, qty0: '1' }, 'Ordered on: not in the future'],
  ['a price that is none', { what0: `pack:${pack.id}`, qty0: '1', price0: 'cheap' }, 'Line 1: “cheap” is no sum'],
])('%s is told at its line and orders nothing', async (_what, over, message) => {
  const before = await club.db.stockOrder.count()
  const answer = await keeper.post('/stores/orders/new', form({ note: 'kept note', ...over }))
  expect(answer.statusCode).toBe(422)
  expect(words(answer.body)).toContain(message)
  expect(answer.body).toContain('value="kept note"')
  expect(await club.db.stockOrder.count()).toBe(before)
})

test('the expected day moves with a version check; nothing came: called off, something came: done', async () => {
  const place = async () => {
    const answer = await keeper.post('/stores/orders/new', form({ what0: `pack:${pack.id}`, qty0: '1' }))
    return String(answer.headers.location)
  }
  const first = await place()
  expect((await keeper.post(first, { expectedOn: '2026-06-25', note: '', version: '1' })).statusCode).toBe(303)
  expect((await keeper.post(first, { expectedOn: '2026-06-26', note: '', version: '1' })).statusCode).toBe(409)
  expect((await keeper.post(`${first}/end`, { version: '2' })).statusCode).toBe(303)
  const [idOf1, second] = [first.split('/').at(-1)!, await place()]
  expect((await club.db.stockOrder.findUniqueOrThrow({ where: { id: idOf1 } })).state).toBe('cancelled')
  const idOf2 = second.split('/').at(-1)!
  await club.db.orderLine.updateMany({ where: { orderId: idOf2 }, data: { receivedMilli: 1000 } })
  expect((await keeper.post(`${second}/end`, { version: '1' })).statusCode).toBe(303)
  expect((await club.db.stockOrder.findUniqueOrThrow({ where: { id: idOf2 } })).state).toBe('received')
  expect((await keeper.post(`${second}/end`, { version: '2' })).statusCode).toBe(422)
})

test('suppliers: a name once, a stale edit is told', async () => {
  expect((await keeper.post('/stores/suppliers/new', { name: 'quay stores' })).statusCode).toBe(422)
  const answer = await keeper.post('/stores/suppliers/new', { name: 'Other Quay', address: '2 Quay', phone: '+00 2' })
  expect(answer.statusCode).toBe(303)
  const at = String(answer.headers.location)
  expect((await keeper.post(at, { name: 'Other Quay', phone: '+00 3', version: '1' })).statusCode).toBe(303)
  expect((await keeper.post(at, { name: 'Other Quay', phone: '+00 4', version: '1' })).statusCode).toBe(409)
  const builder = await club.signedIn(['builder'])
  expect([(await builder.get(at)).statusCode, (await builder.post(at, { name: 'X', version: '2' })).statusCode]).toEqual([200, 403])
})
