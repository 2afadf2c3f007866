import { expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const keeper = await club.signedIn(['storekeeper'])
const words = (html: string) => html.replace(/<[^>]+>/g, ' ').replaceAll('&amp;', '&').replaceAll('&#39;', "'").replace(/\s+/g, ' ')
const ann = await club.make.member(['builder'], { name: 'Ann Aker' })
const build = await club.make.build({ name: 'Slip boat' })
const resin = await club.make.item({ name: 'Slip resin' })
const lot = await club.make.lot({ itemId: resin.id, qty: 1_000_000, cents: 2000 })
const gloves = await club.make.item({ name: 'Slip gloves', unit: 'pcs', kind: 'protective', isShared: true })
await club.make.lot({ itemId: gloves.id, qty: 100_000, cents: 1500 })
const row = (at: number, what: string, qty: string, use: string, over: Record<string, string> = {}) => ({ [`what${at}`]: what, [`qty${at}`]: qty, [`use${at}`]: use, [`who${at}`]: ann.id, ...over })
const draws = () => club.db.stockEntry.findMany({ where: { kind: 'draw' }, orderBy: { seq: 'asc' } })

test('a day’s slip is booked whole: items by name or lot, for a build, the club or oneself', async () => {
  const answer = await keeper.post('/stores/slip', {
    date: '2026-06-05',
    ...row(0, `lot ${lot.number}`, '250 g', `build:${build.id}`), ...row(1, 'slip glo', '12', 'club'), ...row(4, 'SLIP RESIN', '0.1 kg', `member:${ann.id}`, { on4: '2026-06-04' }),
  })
  expect(answer.statusCode).toBe(303)
  // 1000 g cost 20.00: 250 g is 5.00, then 100 g of 750 g for 15.00 is 2.00; 12 of 100 gloves for 15.00 are 1.80.
  expect((await draws()).map((e) => [e.itemId, Number(e.qtyMilli), e.valueCents, e.buildId, e.chargedToId, e.onDate.toISOString().slice(0, 10), e.why, e.byId])).toEqual([
    [resin.id, -250_000, -500, build.id, null, '2026-06-05', 'Paper slip: taken by Ann Aker', keeper.memberId],
    [gloves.id, -12_000, -180, null, null, '2026-06-05', 'Paper slip: taken by Ann Aker', keeper.memberId],
    [resin.id, -100_000, -200, null, ann.id, '2026-06-04', 'Paper slip: taken by Ann Aker', keeper.memberId],
  ])
})

test('one wrong row and nothing is booked; each row says what it needs', async () => {
  const before = (await draws()).length
  const answer = await keeper.post('/stores/slip', {
    date: '2026-06-05',
    ...row(0, 'Slip resin', '100', 'club'),
    ...row(1, 'Slip resin', '600', 'club'),
    ...row(2, 'Slip', '1', 'club'),
    ...row(3, 'lot 999999', '1', 'club'),
    ...row(4, 'Slip gloves', '2 ml', 'club'),
    ...row(5, 'Slip gloves', '2', 'build:00000000-0000-4000-8000-000000000009'),
    ...row(6, 'Slip gloves', '2', 'club', { on6: '2026-06-07' }),
    ...row(7, 'Slip gloves', '2', 'club', { who7: '' }),
  })
  expect(answer.statusCode).toBe(422)
  const page = words(answer.body)
  // 650 g are left; row 1 takes 100 of them first.
  expect(page).toContain('Row 2: Only 550 g of Slip resin is left by the book')
  expect(page).toContain('Row 3: “Slip” may be Slip gloves or Slip resin: write more of it')
  expect(page).toContain('Row 4: there is no lot 999999')
  expect(page).toContain('Row 5: “2 ml” is in ml, but this is kept in pieces')
  expect(page).toContain('Row 6: choose what it was for')
  expect(page).toContain('Row 7: That day is still to come')
  expect(page).toContain('Row 8: choose who took it')
  expect(answer.body).toContain('value="lot 999999"')
  expect((await draws()).length).toBe(before)
})

test('the same slip sent twice is booked once, and a build that one may not see is not there', async () => {
  const once = club.make.once()
  const sent = { once, date: '2026-06-06', ...row(0, 'Slip gloves', '2', 'club') }
  const before = (await draws()).length
  expect([(await keeper.post('/stores/slip', sent)).statusCode, (await keeper.post('/stores/slip', sent)).statusCode]).toEqual([303, 303])
  expect((await draws()).length).toBe(before + 1)
  const hidden = await club.make.build({ name: 'Hidden boat', visibility: 'team' })
  expect((await keeper.get('/stores/slip')).body).not.toContain('Hidden boat')
  expect(words((await keeper.post('/stores/slip', { date: '2026-06-06', ...row(0, 'Slip gloves', '2', `build:${hidden.id}`) })).body)).toContain('choose what it was for')
})

test('an empty slip books nothing, and slips are the storekeeper’s', async () => {
  expect((await keeper.post('/stores/slip', { date: '2026-06-06' })).statusCode).toBe(422)
  expect((await (await club.signedIn(['builder'])).get('/stores/slip')).statusCode).toBe(403)
})
