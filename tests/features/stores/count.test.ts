import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const keeper = await club.signedIn(['storekeeper'], { name: 'Kit Keeper' })
const helper = await club.signedIn(['helper'])
const words = (html: string) => html.replace(/<[^>]+>/g, ' ').replaceAll('&amp;', '&').replaceAll('&#39;', "'").replace(/\s+/g, ' ')
const lotOf = async (name: string, qty = 1_000_000, cents = 1000) => {
  const item = await club.make.item({ name, shelf: 'Rack 3' })
  return { ...(await club.make.lot({ itemId: item.id, qty, cents })), item }
}
const left = async (lotId: string) => Number((await club.db.lotBalance.findFirstOrThrow({ where: { lotId } })).qtyMilli)
const row = (number: number, counted: string, book: number, why = '') => ({ [`n${number}`]: counted, [`b${number}`]: String(book), [`w${number}`]: why })

test('the sheet is blind, or has what the book says', async () => {
  const lot = await lotOf('Sheet resin', 1_234_000)
  const blind = words((await helper.get('/stores/count/sheet')).body)
  expect(blind).toContain(`Rack 3 Sheet resin ${lot.number}`)
  expect(blind).not.toContain('1.234 kg')
  expect(words((await helper.get('/stores/count/sheet?book=on&shelf=Rack+3')).body)).toContain('1.234 kg')
  expect(words((await helper.get('/stores/count/sheet?shelf=Elsewhere')).body)).toContain('Nothing is there to count')
})

test('the storekeeper’s differences are booked and approved at once; an empty row is not counted, an equal one books nothing', async () => {
  const [a, b, c] = [await lotOf('Count A'), await lotOf('Count B'), await lotOf('Count C')]
  const answer = await keeper.post('/stores/count/new', {
    ...row(a.number, '950', 1_000_000, 'left in the cups'), ...row(b.number, '1 kg', 1_000_000), ...row(c.number, '', 1_000_000, 'not looked at'), note: 'June',
  })
  expect(answer.statusCode).toBe(303)
  expect([await left(a.id), await left(b.id), await left(c.id)]).toEqual([950_000, 1_000_000, 1_000_000])
  const entries = await club.db.stockEntry.findMany({ where: { kind: 'stocktake', lotId: { in: [a.id, b.id, c.id] } }, include: { review: true, count: { include: { lines: true } } } })
  // 50 g of 1000 g at 10.00: 0.50.
  expect(entries.map((e) => [e.lotId, Number(e.qtyMilli), e.valueCents, e.why, e.review?.byId])).toEqual([[a.id, -50_000, -50, 'left in the cups', keeper.memberId]])
  expect(entries[0]!.count!.lines).toHaveLength(2)
  const page = words((await helper.get(String(answer.headers.location))).body)
  expect(page).toContain('2 lots counted by Kit Keeper; 1 difference, together -€0.50. June')
  expect(page).toContain('by Kit Keeper')
})

test('anybody else’s differences are in the book and wait for the storekeeper', async () => {
  const lot = await lotOf('Waiting')
  const answer = await helper.post('/stores/count/new', row(lot.number, '1100', 1_000_000, 'found a second can'))
  expect(answer.statusCode).toBe(303)
  expect(await left(lot.id)).toBe(1_100_000)
  const entry = await club.db.stockEntry.findFirstOrThrow({ where: { kind: 'stocktake', lotId: lot.id }, include: { review: true } })
  expect([Number(entry.qtyMilli), entry.valueCents, entry.review]).toEqual([100_000, 100, null])
  expect(words((await helper.get(String(answer.headers.location))).body)).toContain('1 difference waits for the storekeeper')
})

test.each([
  ['a difference without what explains it', '900', 1_000_000, '', 'say what explains the difference'],
  ['an amount that is none', 'half', 1_000_000, 'x', 'is no amount'],
  ['another unit', '900 ml', 1_000_000, 'x', 'is in ml, but this is kept in g'],
  ['less than nothing', '-1', 1_000_000, 'x', 'below nothing'],
  ['a book that moved meanwhile', '900', 990_000, 'x', 'the book now has 1 kg'],
])('%s is told at its row, and the whole count books nothing', async (_what, counted, book, why, message) => {
  const [good, bad] = [await lotOf(`Good ${message}`), await lotOf(`Bad ${message}`)]
  const before = [await club.db.stockEntry.count(), await club.db.stockCount.count(), await club.db.stockCountLine.count()]
  const answer = await keeper.post('/stores/count/new', { ...row(good.number, '10', 1_000_000, 'spilt'), ...row(bad.number, counted, book, why) })
  expect(answer.statusCode).toBe(422)
  expect(words(answer.body)).toContain(`Lot ${bad.number}: `)
  expect(words(answer.body)).toContain(message)
  expect(answer.body).toContain('value="spilt"')
  expect([await club.db.stockEntry.count(), await club.db.stockCount.count(), await club.db.stockCountLine.count()]).toEqual(before)
})

test('a can that the book has emptied can be found to hold something, at what it cost', async () => {
  const lot = await lotOf('Emptied', 1_000_000, 1200)
  expect((await keeper.post('/stores/count/new', row(lot.number, '0', 1_000_000, 'looked empty'))).statusCode).toBe(303)
  expect(words((await keeper.get('/stores/count/new')).body)).toContain(`Lot ${lot.number}: Emptied`)
  expect((await keeper.post('/stores/count/new', row(lot.number, '250', 0, 'was behind the rack'))).statusCode).toBe(303)
  const account = await club.db.stockAccount.findFirstOrThrow({ where: { itemId: lot.item.id } })
  // A quarter of 12.00.
  expect([Number(account.qtyMilli), Number(account.valueCents)]).toEqual([250_000, 300])
})

test('nothing filled in counts nothing', async () => {
  expect((await keeper.post('/stores/count/new', { n1: '' })).statusCode).toBe(422)
})
