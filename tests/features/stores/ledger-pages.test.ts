import { describe, expect, test } from 'vitest'
import { CLUB_HOLDER } from '../../../src/features/stores/public.ts'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const words = (html: string) => html.replace(/<[^>]+>/g, ' ').replaceAll('&amp;', '&').replaceAll('&#39;', "'").replace(/\s+/g, ' ')
const keeper = await club.signedIn(['storekeeper'], { name: 'Kit Keeper' })
const builder = await club.signedIn(['builder'], { name: 'Bo Builder' })

const left = async (lotId: string, holderId = CLUB_HOLDER) => Number((await club.db.lotBalance.findUnique({ where: { lotId_holderId: { lotId, holderId } } }))?.qtyMilli ?? 0)
const entries = (itemId: string) => club.db.stockEntry.findMany({ where: { itemId }, orderBy: { seq: 'asc' } })
const lotOf = (over: Parameters<typeof club.make.lot>[0] = {}) => club.make.lot({ on: '2026-06-01', ...over })

describe('drawing at the shelf', () => {
  test('a draw for a build is booked with its lot, and undone in one tap', async () => {
    const build = await club.make.build({ name: 'Dunlin' }, [builder.memberId])
    const lot = await lotOf({ qty: 2_000_000, cents: 4000 })
    const answer = await builder.post(`/stores/items/${lot.itemId}/draw`, { amount: '250', use: `build:${build.id}`, structural: 'on', onDate: '2026-06-06', why: 'Filleting' })
    expect(answer.statusCode).toBe(303)
    const [, drawn] = await entries(lot.itemId)
    expect(drawn).toMatchObject({ kind: 'draw', qtyMilli: -250_000n, valueCents: -500, buildId: build.id, why: 'Filleting', byId: builder.memberId })
    const page = await builder.get(String(answer.headers.location))
    expect(words(page.body)).toContain('Draw for Dunlin')
    expect(page.body).toContain(`action="/stores/entries/${drawn!.id}/reverse"`)
    expect((await builder.post(`/stores/entries/${drawn!.id}/reverse`, { why: 'Undone', then: `/stores/items/${lot.itemId}` })).headers.location).toBe(`/stores/items/${lot.itemId}`)
    expect(await left(lot.id)).toBe(2_000_000)
    const after = words((await builder.get(`/stores/items/${lot.itemId}`)).body)
    // The pair stands together: the draw struck out with its reversal, who, when and why.
    expect(after).toMatch(/Draw for Dunlin.*Reversed .*by Bo Builder: Undone \(\+250 g, €5\.00\)/)
  })

  test('the can weighed before and after gives the amount; millilitres by density', async () => {
    const item = await club.make.item({ unit: 'ml', density: 1.25, kind: 'paint' })
    const lot = await lotOf({ itemId: item.id, qty: 1_000_000 })
    expect((await builder.post(`/stores/items/${item.id}/draw`, { before: '1,250', after: '1000', use: 'club' })).statusCode).toBe(422)
    expect((await builder.post(`/stores/items/${item.id}/draw`, { before: '1250', after: '1000', use: 'club' })).statusCode).toBe(303)
    // 250 g at 1.25 g/ml are 200 ml.
    expect(await left(lot.id)).toBe(800_000)
  })

  test('short: the form says what is left, keeps what was typed and offers to weigh the can; then both are booked at once', async () => {
    const lot = await lotOf({ qty: 480_000, cents: 480, tareMg: 220_000n })
    const at = `/stores/items/${lot.itemId}/draw`
    const typed = { amount: '600', use: 'club', structural: 'on', why: 'Tapes' }
    const short = await builder.post(at, typed)
    expect(short.statusCode).toBe(422)
    expect(words(short.body)).toContain('Only 480 g of')
    expect(words(short.body)).toContain('Is there more in the can')
    expect(short.body).toContain('value="600"')
    expect(short.body).toContain('value="Tapes"')
    expect((await entries(lot.itemId)).length).toBe(1)
    // On the scale 900 g with the can of 220 g: 680 g.
    expect((await builder.post(at, { ...typed, weighedLot: lot.id, gross: '900' })).statusCode).toBe(303)
    expect((await entries(lot.itemId)).map((e) => [e.kind, Number(e.qtyMilli)])).toEqual([['receipt', 480_000], ['stocktake', 200_000], ['draw', -600_000]])
    const waiting = words((await keeper.get('/stores/awaiting')).body)
    expect(waiting).toContain('Weighed at the shelf: 680 g, the book had 480 g')
    expect(words((await keeper.get('/stores')).body)).toContain('1 difference weighed at the shelf waits')
    const [, difference] = await entries(lot.itemId)
    expect((await builder.post(`/stores/awaiting/${difference!.id}`)).statusCode).toBe(403)
    expect((await keeper.post(`/stores/awaiting/${difference!.id}`)).statusCode).toBe(303)
    expect(words((await keeper.get('/stores/awaiting')).body)).toContain('Nothing waits')
  })

  test.each([
    [{ amount: '' }, 'Say how much, in g'],
    [{ amount: '2 m' }, 'kept in g'],
    [{ amount: '-5' }, 'below nothing'],
    [{ amount: '1,250' }, 'read in two ways'],
    [{ amount: 'lots' }, 'is no amount'],
    [{ amount: '10', before: '500', after: '400' }, 'not both'],
    [{ amount: '', before: '400', after: '500' }, 'Heavier after than before'],
    [{ amount: '10', onDate: '2026-06-07' }, 'still to come'],
    [{ amount: '10', use: 'build:00000000-0000-4000-8000-00000000dead' }, 'not on the team'],
    [{ amount: '10', use: 'nonsense' }, 'Say what it is for'],
  ])('a draw with %j changes nothing and says why', async (over, message) => {
    const lot = await lotOf()
    const answer = await builder.post(`/stores/items/${lot.itemId}/draw`, { use: 'club', ...over })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain(message)
    expect(await left(lot.id)).toBe(1_000_000)
  })

  test('the same key twice, even at once, books once', async () => {
    const lot = await lotOf()
    const fields = { once: club.make.once(), amount: '100', use: 'club' }
    const at = `/stores/items/${lot.itemId}/draw`
    const answers = await Promise.all([builder.post(at, fields), builder.post(at, fields), builder.post(at, fields)])
    expect(answers.map((a) => a.statusCode)).toEqual([303, 303, 303])
    expect(await left(lot.id)).toBe(900_000)
  })

  test('own use is on one’s account; a member charges nobody else', async () => {
    const lot = await lotOf({ qty: 1000, cents: 100 })
    await builder.post(`/stores/items/${lot.itemId}/draw`, { amount: '0.5', use: 'own' })
    expect((await entries(lot.itemId))[1]).toMatchObject({ chargedToId: builder.memberId, valueCents: -50 })
    const other = await builder.post(`/stores/items/${lot.itemId}/draw`, { amount: '0.1', use: `member:${keeper.memberId}` })
    expect(words(other.body)).toContain('Only the storekeeper books on another member')
    expect((await keeper.post(`/stores/items/${lot.itemId}/draw`, { amount: '0.1', use: `member:${builder.memberId}` })).statusCode).toBe(303)
  })
})

describe('what comes in', () => {
  test('several lines at once are lots of their own; one wrong line and none is booked', async () => {
    const [resin, ply] = [await club.make.item(), await club.make.item({ unit: 'pcs', kind: 'ply', shelfLifeDays: null })]
    const good = { receivedOn: '2026-06-05', item0: resin.id, amount0: '5 kg', cost0: '89.50', code0: 'R-77', expires0: '2027-06-01', item1: ply.id, amount1: '2.5', cost1: '120' }
    const wrong = await keeper.post('/stores/receive', { ...good, amount1: '3 kg' })
    expect(wrong.statusCode).toBe(422)
    expect(words(wrong.body)).toContain('Line 2: “3 kg” is in kg, but this is kept in pieces')
    expect(wrong.body).toContain('value="R-77"')
    expect(await club.db.lot.count({ where: { itemId: { in: [resin.id, ply.id] } } })).toBe(0)
    expect((await keeper.post('/stores/receive', good)).statusCode).toBe(303)
    const lots = await club.db.lot.findMany({ where: { itemId: { in: [resin.id, ply.id] } }, include: { balances: true } })
    expect(lots.map((l) => Number(l.balances[0]?.qtyMilli)).sort((a, b) => a - b)).toEqual([2500, 5_000_000])
    expect(lots.find((l) => l.itemId === resin.id)).toMatchObject({ code: 'R-77', expiresOn: new Date('2027-06-01') })
  })

  test.each([
    [{ receivedOn: '2026-06-07' }, 'still to come'],
    [{ expires0: '2026-06-01' }, 'gone off before it came'],
    [{ cost0: '' }, 'say what it cost'],
    [{ item0: '' }, 'choose what came'],
    [{ item0: '', amount0: '', cost0: '' }, 'Nothing is filled in'],
  ])('a delivery with %j is refused and changes nothing', async (over, message) => {
    const item = await club.make.item()
    const answer = await keeper.post('/stores/receive', { receivedOn: '2026-06-05', item0: item.id, amount0: '5', cost0: '10', ...over })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain(message)
    expect(await club.db.lot.count({ where: { itemId: item.id } })).toBe(0)
  })

  test('an order’s open lines are filled in; what came closes it, and a reversal opens it again', async () => {
    const item = await club.make.item()
    const order = await club.db.stockOrder.create({
      data: { orderedOn: new Date('2026-06-01'), expectedOn: new Date('2026-06-10'), byId: keeper.memberId, lines: { create: { itemId: item.id, qtyMilli: 10_000_000n, priceCents: 20_000 } } },
    })
    const page = await keeper.get(`/stores/receive?order=${order.id}`)
    expect(page.body).toContain('value="10000"')
    expect(page.body).toContain('value="200.00"')
    const receive = (amount0: string) => keeper.post('/stores/receive', { receivedOn: '2026-06-05', orderId: order.id, item0: item.id, amount0, cost0: '100' })
    expect((await receive('4 kg')).statusCode).toBe(303)
    const state = async () => (await club.db.stockOrder.findUniqueOrThrow({ where: { id: order.id } })).state
    expect(await state()).toBe('open')
    expect((await keeper.get(`/stores/receive?order=${order.id}`)).body).toContain('value="6000"')
    await receive('6 kg')
    expect(await state()).toBe('received')
    expect(words((await receive('1 kg')).body)).toContain('is received already')
    const last = (await entries(item.id)).at(-1)!
    await keeper.post(`/stores/entries/${last.id}/reverse`, { why: 'The wrong order' })
    expect(await state()).toBe('open')
    expect(Number((await club.db.orderLine.findFirstOrThrow({ where: { orderId: order.id } })).receivedMilli)).toBe(4_000_000)
  })

  test('a member brings own stock, uses it without a charge and lends it; the club’s they can’t book in', async () => {
    const item = await club.make.item()
    expect((await builder.post('/stores/receive', { receivedOn: '2026-06-05', holder: 'own', item0: item.id, amount0: '1000', cost0: '30' })).statusCode).toBe(303)
    expect((await builder.post('/stores/receive', { receivedOn: '2026-06-05', holder: 'club', item0: item.id, amount0: '1', cost0: '1' })).statusCode).toBe(403)
    const lot = await club.db.lot.findFirstOrThrow({ where: { itemId: item.id }, include: { balances: true } })
    expect(lot.balances[0]?.holderId).not.toBe(CLUB_HOLDER)
    await builder.post(`/stores/items/${item.id}/draw`, { amount: '100', from: 'own', use: 'own' })
    expect((await entries(item.id)).at(-1)).toMatchObject({ kind: 'draw', chargedToId: null, valueCents: -300 })
    expect((await builder.post(`/stores/items/${item.id}/transfer`, { lotId: lot.id, what: 'lend-club', amount: '400' })).statusCode).toBe(303)
    expect(words((await builder.get('/stores/own')).body)).toMatch(/the club 400 g/)
    const above = await builder.post(`/stores/items/${item.id}/transfer`, { lotId: lot.id, what: 'back-member', amount: '401' })
    expect(above.statusCode).toBe(422)
    expect((await builder.post(`/stores/items/${item.id}/transfer`, { lotId: lot.id, what: 'to-member', amount: '10' })).statusCode).toBe(403)
    expect((await builder.post(`/stores/items/${item.id}/transfer`, { lotId: lot.id, what: 'back-member', amount: '400' })).statusCode).toBe(303)
    expect(words((await builder.get('/stores/own')).body)).toContain('Nothing is lent either way')
  })
})

describe('lots and entries', () => {
  test('a test’s result moves the state; a fresh one past its date needs a day', async () => {
    const lot = await lotOf({ expiresOn: new Date('2026-06-02') })
    const at = `/stores/lots/${lot.id}`
    expect(words((await keeper.get(at)).body)).toContain('test first')
    const noDay = await keeper.post(`${at}/test`, { found: 'Gelled in 20 min', state: 'fresh' })
    expect(words(noDay.body)).toContain('say how long the test vouches for it')
    expect(noDay.body).toContain('Gelled in 20 min')
    expect((await keeper.post(`${at}/test`, { found: 'Gelled late', state: 'not_structural' })).statusCode).toBe(303)
    const page = words((await keeper.get(at)).body)
    expect(page).toContain('not structural')
    expect(page).toContain('Follow the maker’s data sheet')
    expect((await builder.post(`${at}/test`, { found: 'x', state: 'fresh' })).statusCode).toBe(403)
    expect(await club.db.auditRow.count({ where: { entityId: lot.id, what: 'lot tested' } })).toBe(1)
  })

  test.each([
    [{ openedOn: '2026-05-20' }, 'opened before that'],
    [{ openedOn: '2026-06-30' }, 'still to come'],
    [{ expiresOn: '2026-05-20' }, 'look at both dates'],
    [{ tare: 'heavy' }, 'is no amount'],
  ])('a lot put right with %j is refused at the field', async (over, message) => {
    const lot = await lotOf()
    const answer = await keeper.post(`/stores/lots/${lot.id}`, { version: '1', code: 'Z-9', ...over })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain(message)
    expect(answer.body).toContain('value="Z-9"')
    expect((await club.db.lot.findUniqueOrThrow({ where: { id: lot.id } })).code).toBe('')
  })

  test('a stale edit of a lot shows what is stored', async () => {
    const lot = await lotOf()
    expect((await keeper.post(`/stores/lots/${lot.id}`, { version: '1', code: 'first' })).statusCode).toBe(303)
    const stale = await keeper.post(`/stores/lots/${lot.id}`, { version: '1', code: 'second' })
    expect(stale.statusCode).toBe(409)
    expect(words(stale.body)).toContain('Stored meanwhile: first')
  })

  test('part of a draw comes back; above the draw it says how much can', async () => {
    const lot = await lotOf()
    await builder.post(`/stores/items/${lot.itemId}/draw`, { amount: '300', use: 'club' })
    const draw = (await entries(lot.itemId)).at(-1)!
    const at = `/stores/entries/${draw.id}`
    const above = await builder.post(`${at}/return`, { amount: '301' })
    expect([above.statusCode, words(above.body).includes('At most 300 g of this draw can come back')]).toEqual([422, true])
    expect((await builder.post(`${at}/return`, { amount: '120', why: 'Left in the pot' })).statusCode).toBe(303)
    expect(await left(lot.id)).toBe(820_000)
    expect(words((await builder.get(at)).body)).toContain('At most 180 g')
  })

  test('others’ entries: a member is told who can, the storekeeper needs a reason', async () => {
    const lot = await lotOf()
    await keeper.post(`/stores/items/${lot.itemId}/draw`, { amount: '300', use: 'club' })
    const draw = (await entries(lot.itemId)).at(-1)!
    const denied = await builder.post(`/stores/entries/${draw.id}/reverse`, { why: 'mine now' })
    expect([denied.statusCode, words(denied.body).includes('or the storekeeper')]).toEqual([403, true])
    expect((await keeper.post(`/stores/entries/${draw.id}/reverse`, { why: '  ' })).statusCode).toBe(422)
    expect((await keeper.post(`/stores/entries/${draw.id}/reverse`, { why: 'Typed twice' })).statusCode).toBe(303)
    expect((await keeper.post(`/stores/entries/${draw.id}/reverse`, { why: 'Again' })).statusCode).toBe(409)
  })

  test('write-offs and price corrections say why, and go to the right address', async () => {
    const lot = await lotOf({ qty: 1_000_000, cents: 1000 })
    const at = `/stores/items/${lot.itemId}`
    expect((await builder.post(`${at}/write-off`, { lotId: lot.id, amount: '10', why: 'spilt' })).statusCode).toBe(403)
    expect(words((await keeper.post(`${at}/write-off`, { lotId: lot.id, amount: '10', why: '' })).body)).toContain('Why: fill this in')
    expect((await keeper.post(`${at}/write-off`, { lotId: lot.id, amount: '10', why: 'Spilt' })).statusCode).toBe(303)
    const other = await lotOf()
    expect(words((await keeper.post(`${at}/write-off`, { lotId: other.id, amount: '10', why: 'Spilt' })).body)).toContain('Choose a lot of this item')
    expect(words((await keeper.get(`${at}/correct`)).body)).toContain(`lot ${lot.number}: cost €10.00`)
    expect((await keeper.post(`${at}/correct`, { lotId: lot.id, cost: '12.00', why: 'Postage' })).statusCode).toBe(303)
    expect(words((await keeper.get(`${at}/correct`)).body)).toContain(`lot ${lot.number}: cost €12.00`)
    expect(words((await keeper.post(`${at}/correct`, { lotId: lot.id, cost: '12', why: 'Postage' })).body)).toContain('That is what the book says already')
    // 10 of 1000 g were written off: 2 cents of the 200; 198 stay in stock, worth 990 before.
    expect(Number((await club.db.stockAccount.findUniqueOrThrow({ where: { itemId_holderId: { itemId: lot.itemId, holderId: CLUB_HOLDER } } })).valueCents)).toBe(1188)
  })
})

describe('who sees what', () => {
  test('money is for those who keep it and for the team; a team’s own build is not named to others', async () => {
    const build = await club.make.build({ name: 'Secret Skiff', visibility: 'team' }, [builder.memberId])
    const lot = await lotOf({ qty: 1_000_000, cents: 1234_00 })
    await builder.post(`/stores/items/${lot.itemId}/draw`, { amount: '500', use: `build:${build.id}` })
    const draw = (await entries(lot.itemId)).at(-1)!
    const helper = await club.signedIn(['helper'])
    const seen = words((await helper.get(`/stores/items/${lot.itemId}`)).body)
    expect(seen).not.toContain('Secret Skiff')
    expect(seen).not.toContain('617')
    expect((await helper.get(`/stores/entries/${draw.id}`)).statusCode).toBe(404)
    expect((await helper.post(`/stores/entries/${draw.id}/return`, { amount: '1' })).statusCode).toBe(404)
    expect((await helper.get(`/stores/trace?build=${build.id}`)).body).not.toContain('Secret Skiff')
    const own = words((await builder.get(`/stores/items/${lot.itemId}`)).body)
    expect(own).toContain('Secret Skiff')
    expect(own).toContain('617.00')
  })

  test('a lot leads to what it went into, and a build back to its lots', async () => {
    const build = await club.make.build({ name: 'Plover' }, [builder.memberId])
    const lot = await lotOf({ code: 'TR-4711' })
    await builder.post(`/stores/items/${lot.itemId}/draw`, { amount: '300', use: `build:${build.id}` })
    const draw = (await entries(lot.itemId)).at(-1)!
    await builder.post(`/stores/entries/${draw.id}/return`, { amount: '100' })
    expect(words((await builder.get('/stores/trace?q=tr-47')).body)).toContain('TR-4711')
    expect(words((await builder.get(`/stores/trace?q=${lot.number}`)).body)).toContain('TR-4711')
    expect(words((await builder.get(`/stores/lots/${lot.id}`)).body)).toMatch(/Plover 200 g/)
    expect(words((await builder.get(`/stores/trace?build=${build.id}`)).body)).toMatch(new RegExp(`no task .* ${lot.number} 200 g`))
  })

  test('the overview finds items by name, shelf and lot code, and shows label elements on the item', async () => {
    const item = await club.make.item({ name: 'Laminating hardener', kind: 'hardener', shelf: 'B2', signalWord: 'Danger', pictograms: ['GHS05', 'GHS07'], hazards: ['Causes severe skin burns'] })
    await lotOf({ itemId: item.id, code: 'HX-1' })
    for (const q of ['laminating', 'b2', 'hx-1']) expect(words((await builder.get(`/stores?q=${q}`)).body)).toContain('Laminating hardener')
    expect(words((await builder.get('/stores?q=nothing-like-it')).body)).toContain('Nothing here is called')
    const page = words((await builder.get(`/stores/items/${item.id}`)).body)
    for (const part of ['Danger', 'Corrosion', '(GHS07)', 'Causes severe skin burns', 'sensitises skin and airways']) expect(page).toContain(part)
  })

  test('signed out, nothing is shown or booked', async () => {
    const lot = await lotOf()
    expect((await club.signedOut.get(`/stores/items/${lot.itemId}`)).statusCode).toBe(303)
    expect((await club.signedOut.post(`/stores/items/${lot.itemId}/draw`, { amount: '1', use: 'club' })).statusCode).toBe(401)
  })
})
