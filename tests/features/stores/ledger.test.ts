import { describe, expect, test } from 'vitest'
import { CLUB_HOLDER, correctPrice, drawStock, holderOf, receiveStock, returnStock, reverseEntry, stocktakeLot, transferStock, writeOff, type Booked } from '../../../src/features/stores/public.ts'
import type { Result } from '../../../src/core/result.ts'
import { transact, type Tx } from '../../../src/platform/database.ts'
import type { Ctx, Refusal } from '../../../src/platform/write.ts'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const keeper = await club.make.member(['storekeeper'])
const ctx = (over: Partial<Ctx> = {}): Ctx => club.make.ctx(keeper.id, { now: club.clock.now(), ...over })

class Undone extends Error {}
/** As a request does it: a refusal rolls everything back. */
async function run<T>(command: (tx: Tx) => Promise<Result<T, Refusal>>): Promise<Result<T, Refusal>> {
  let result: Result<T, Refusal> | undefined
  try {
    await transact(club.db, async (tx) => {
      result = await command(tx)
      if (!result.ok) throw new Undone()
    })
  } catch (error) {
    if (!(error instanceof Undone)) throw error
  }
  return result!
}
async function done<T>(command: (tx: Tx) => Promise<Result<T, Refusal>>): Promise<T> {
  const result = await run(command)
  if (!result.ok) throw new Error(JSON.stringify(result.refusal))
  return result.value
}
async function refusal(command: (tx: Tx) => Promise<Result<unknown, Refusal>>): Promise<Refusal> {
  const result = await run(command)
  if (result.ok) throw new Error('it was booked')
  return result.refusal
}
const account = async (itemId: string, holderId = CLUB_HOLDER) => {
  const row = await club.db.stockAccount.findUniqueOrThrow({ where: { itemId_holderId: { itemId, holderId } } })
  return [Number(row.qtyMilli), Number(row.valueCents)]
}
const left = async (lotId: string, holderId = CLUB_HOLDER) => Number((await club.db.lotBalance.findUnique({ where: { lotId_holderId: { lotId, holderId } } }))?.qtyMilli ?? 0)
const receive = (itemId: string, qtyMilli: number, valueCents: number, over: object = {}) =>
  done((tx) => receiveStock(tx, ctx(), { itemId, qtyMilli, valueCents, receivedOn: '2026-06-01', code: '', expiresOn: null, ...over }))
const draw = (itemId: string, qtyMilli: number, over: object = {}): Promise<Booked> => done((tx) => drawStock(tx, ctx(), { itemId, qtyMilli, structural: true, ...over }))

describe('what leaves and comes back', () => {
  test('a draw leaves at the average, rounded half up, and the last gram takes the last cent', async () => {
    const { id } = await club.make.item()
    await receive(id, 3000, 100)
    // 1 of 3 g at 100 cents: 33.33 → 33; of the 67 cents left, 1 of 2 g: 33.5 → 34; the last takes 33.
    expect((await draw(id, 1000)).valueCents).toBe(33)
    expect((await draw(id, 1000)).valueCents).toBe(34)
    expect((await draw(id, 1000)).valueCents).toBe(33)
    expect(await account(id)).toEqual([0, 0])
  })

  test('two lots share one cost, the earlier date goes first and a draw may take from both', async () => {
    const { id } = await club.make.item()
    const late = await receive(id, 1_000_000, 1500, { expiresOn: '2027-06-01' })
    const soon = await receive(id, 500_000, 900, { expiresOn: '2026-09-01' })
    const booked = await draw(id, 700_000)
    // 2400 cents for 1500 g: 500 g cost 800, 200 of the 1000 g left at 1600 cost 320.
    expect(booked.parts).toEqual([
      { lotId: soon.lotId, number: soon.number, qtyMilli: 500_000, valueCents: 800 },
      { lotId: late.lotId, number: late.number, qtyMilli: 200_000, valueCents: 320 },
    ])
    expect(await left(late.lotId)).toBe(800_000)
    expect(await account(id)).toEqual([800_000, 1280])
  })

  test('parts of a draw come back at what they left at, and all of them to the cent', async () => {
    const { id } = await club.make.item()
    await receive(id, 7000, 1000)
    const { entryIds } = await draw(id, 3000)
    // 3 of 7 g: 428.57 → 429. Back 1 of 3: 143, 1 of the 2 still out at 286: 143, the last 143.
    await receive(id, 1000, 999)
    for (const cents of [143, 143, 143]) expect((await done((tx) => returnStock(tx, ctx(), { entryId: entryIds[0]!, qtyMilli: 1000 }))).valueCents).toBe(cents)
    expect(await account(id)).toEqual([8000, 1999])
    const again = await refusal((tx) => returnStock(tx, ctx(), { entryId: entryIds[0]!, qtyMilli: 1 }))
    expect([again.status, again.fields?.['amount']]).toEqual([422, 'All of this draw has come back already.'])
  })

  test('a return above the draw changes nothing and says what can come back', async () => {
    const { id } = await club.make.item()
    await receive(id, 500_000, 500)
    const { entryIds } = await draw(id, 300_000)
    await done((tx) => returnStock(tx, ctx(), { entryId: entryIds[0]!, qtyMilli: 100_000 }))
    const above = await refusal((tx) => returnStock(tx, ctx(), { entryId: entryIds[0]!, qtyMilli: 200_001 }))
    expect(above.fields?.['amount']).toBe('At most 200 g of this draw can come back.')
    expect(await account(id)).toEqual([300_000, 300])
  })

  test('a draw of which part came back is undone for the rest', async () => {
    const { id } = await club.make.item()
    await receive(id, 500_000, 500)
    const { entryIds } = await draw(id, 300_000)
    await done((tx) => returnStock(tx, ctx(), { entryId: entryIds[0]!, qtyMilli: 100_000 }))
    expect((await done((tx) => reverseEntry(tx, ctx(), { entryId: entryIds[0]!, why: 'Wrong build' }))).parts[0]).toMatchObject({ qtyMilli: 200_000, valueCents: 200 })
    expect(await account(id)).toEqual([500_000, 500])
    expect((await refusal((tx) => reverseEntry(tx, ctx(), { entryId: entryIds[0]!, why: 'Twice' }))).message).toBe('This entry was reversed already.')
  })
})

describe('who may undo', () => {
  test('one’s own entry within a day; after that, and others’ entries, the storekeeper', async () => {
    const helper = await club.make.member(['helper'])
    const as = (over: Partial<Ctx> = {}) => ctx({ member: { id: helper.id, name: 'H', roles: ['helper'] }, may: (p) => p === 'stores.draw', ...over })
    const { id } = await club.make.item()
    await receive(id, 500_000, 500)
    const own = await done((tx) => drawStock(tx, as(), { itemId: id, qtyMilli: 1000, structural: false }))
    const others = await draw(id, 1000)
    const dayOn = new Date(club.clock.now().getTime() + 25 * 3_600_000)
    expect((await refusal((tx) => reverseEntry(tx, as({ now: dayOn }), { entryId: own.entryIds[0]!, why: 'x' }))).status).toBe(403)
    expect((await refusal((tx) => reverseEntry(tx, as(), { entryId: others.entryIds[0]!, why: 'x' }))).status).toBe(403)
    await done((tx) => reverseEntry(tx, as(), { entryId: own.entryIds[0]!, why: 'Meant another' }))
    await done((tx) => reverseEntry(tx, ctx({ now: dayOn }), { entryId: others.entryIds[0]!, why: 'Not used' }))
    expect(await account(id)).toEqual([500_000, 500])
  })

  test('a receipt is undone while all of it is there; after a draw it says what stands in the way', async () => {
    const { id } = await club.make.item()
    const { entryId } = await receive(id, 500_000, 500)
    const drawn = await draw(id, 120_000)
    expect((await refusal((tx) => reverseEntry(tx, ctx(), { entryId, why: 'Typed twice' }))).message).toContain('120 g has gone out again')
    await done((tx) => reverseEntry(tx, ctx(), { entryId: drawn.entryIds[0]!, why: 'Typed twice' }))
    await done((tx) => reverseEntry(tx, ctx(), { entryId, why: 'Typed twice' }))
    expect(await account(id)).toEqual([0, 0])
  })
})

describe('when book and can differ', () => {
  test('a draw above the stock changes nothing and says what is left and where', async () => {
    const { id, name } = await club.make.item()
    const lot = await receive(id, 480_000, 500)
    const short = await refusal((tx) => drawStock(tx, ctx(), { itemId: id, qtyMilli: 600_000, structural: true }))
    expect(short.fields).toEqual({ amount: `Only 480 g of ${name} is left by the book.` })
    expect(short.current).toEqual({ itemId: id, name, unit: 'g', leftMilli: 480_000, lots: [{ lotId: lot.lotId, number: lot.number, leftMilli: 480_000 }] })
    expect(await club.db.stockEntry.count({ where: { itemId: id } })).toBe(1)
  })

  test('the can weighed: the difference first, waiting for the storekeeper, then the draw, in one step', async () => {
    const { id } = await club.make.item()
    const lot = await receive(id, 480_000, 480)
    await draw(id, 600_000, { weighed: { lotId: lot.lotId, leftMilli: 650_000 } })
    const rows = await club.db.stockEntry.findMany({ where: { itemId: id }, orderBy: { seq: 'asc' }, include: { review: true } })
    // 170 g more than the book had, at the average of 1 cent a gram; then 600 of 650 g.
    expect(rows.map((e) => [e.kind, Number(e.qtyMilli), e.valueCents])).toEqual([['receipt', 480_000, 480], ['stocktake', 170_000, 170], ['draw', -600_000, -600]])
    expect(rows[1]).toMatchObject({ review: null, countId: null, why: 'Weighed at the shelf: 650 g, the book had 480 g' })
    expect(await left(lot.lotId)).toBe(50_000)
  })

  test('a can that the book calls empty is weighed in at the price of its receipt', async () => {
    const { id } = await club.make.item()
    const lot = await receive(id, 100_000, 250)
    await draw(id, 100_000)
    await draw(id, 10_000, { weighed: { lotId: lot.lotId, leftMilli: 40_000 } })
    // 40 g at 2.5 cents is 100; 10 of 40 g is 25.
    expect(await account(id)).toEqual([30_000, 75])
  })

  test('a can that holds less than the draw even when weighed books neither', async () => {
    const { id } = await club.make.item()
    const lot = await receive(id, 480_000, 480)
    const short = await refusal((tx) => drawStock(tx, ctx(), { itemId: id, qtyMilli: 600_000, structural: true, weighed: { lotId: lot.lotId, leftMilli: 500_000 } }))
    expect(short.fields?.['amount']).toContain('Only 500 g')
    expect(await left(lot.lotId)).toBe(480_000)
  })
})

describe('states of lots', () => {
  test('past its date a lot is not drawn until a person tested it, and the refusal names it', async () => {
    const { id } = await club.make.item()
    const old = await receive(id, 400_000, 400, { expiresOn: '2026-06-05' })
    const fresh = await receive(id, 100_000, 100, { expiresOn: '2026-06-06' })
    const short = await refusal((tx) => drawStock(tx, ctx(), { itemId: id, qtyMilli: 150_000, structural: true }))
    expect(short.message).toContain(`Only 100 g`)
    expect(short.message).toContain(`400 g in lot ${old.number} (test first)`)
    expect((await refusal((tx) => drawStock(tx, ctx(), { itemId: id, qtyMilli: 1, structural: false, lotId: old.lotId }))).fields?.['lotId']).toContain('past its date')
    await club.db.lotTest.create({ data: { lotId: old.lotId, at: club.clock.now(), memberId: keeper.id, found: 'Set hard in a cup', state: 'fresh', expiresOn: new Date('2026-12-01') } })
    // Vouched for until December, it goes after the one of today.
    expect((await draw(id, 150_000)).parts.map((p) => [p.lotId, p.qtyMilli])).toEqual([[fresh.lotId, 100_000], [old.lotId, 50_000]])
  })

  test('not for structure: only for what bears no load, and there it goes first', async () => {
    const { id } = await club.make.item()
    const fresh = await receive(id, 100_000, 100)
    const weak = await receive(id, 100_000, 100)
    await club.db.lot.update({ where: { id: weak.lotId }, data: { state: 'not_structural' } })
    expect((await refusal((tx) => drawStock(tx, ctx(), { itemId: id, qtyMilli: 150_000, structural: true }))).message).toContain('not structural')
    expect((await draw(id, 150_000, { structural: false })).parts.map((p) => p.lotId)).toEqual([weak.lotId, fresh.lotId])
  })

  test('a can goes off so many days after its first draw, where the item says so', async () => {
    const { id } = await club.make.item({ openedLifeDays: 30 })
    const lot = await receive(id, 100_000, 100, { expiresOn: '2027-01-01' })
    await draw(id, 1000, { onDate: '2026-06-02' })
    expect((await club.db.lot.findUniqueOrThrow({ where: { id: lot.lotId } })).openedOn).toEqual(new Date('2026-06-02'))
    // 2 June and 30 days: good on 2 July, not on the 3rd.
    const on = (iso: string) => run((tx) => drawStock(tx, ctx({ now: new Date(`${iso}T10:00:00Z`) }), { itemId: id, qtyMilli: 1, structural: true }))
    expect((await on('2026-07-03')).ok).toBe(false)
    expect((await on('2026-07-02')).ok).toBe(true)
  })
})

describe('dates', () => {
  test.each([
    [{ receivedOn: '2026-06-07' }, 'receivedOn', 'still to come'],
    [{ expiresOn: '2026-05-31' }, 'expiresOn', 'gone off before it came'],
    [{ receivedOn: '1926-06-01' }, 'receivedOn', 'look at the year'],
    [{ qtyMilli: 0 }, 'amount', 'more than nothing'],
    [{ valueCents: -1 }, 'cost', '0 or more'],
  ])('a receipt with %j is refused at its field', async (over, field, message) => {
    const { id } = await club.make.item()
    const input = { itemId: id, qtyMilli: 1000, valueCents: 10, receivedOn: '2026-06-01', code: '', expiresOn: null, ...over }
    const wrong = await refusal((tx) => receiveStock(tx, ctx(), input))
    expect(wrong.fields?.[field]).toContain(message)
    expect(await club.db.lot.count({ where: { itemId: id } })).toBe(0)
  })

  test('a draw of tomorrow is refused', async () => {
    const { id } = await club.make.item()
    await receive(id, 1000, 10)
    expect((await refusal((tx) => drawStock(tx, ctx(), { itemId: id, qtyMilli: 1, structural: false, onDate: '2026-06-07' }))).fields?.['onDate']).toContain('still to come')
  })
})

describe('between the club and a member', () => {
  test('lent, used from, given back, and what is outstanding bounds what goes back', async () => {
    const { id } = await club.make.item()
    const member = await club.make.member()
    const holderId = await done(async (tx) => ({ ok: true, value: await holderOf(tx, member.id) }))
    const own = await receive(id, 1_000_000, 3000, { holderId })
    const clubs = await receive(id, 1_000_000, 1000)
    await done((tx) => transferStock(tx, ctx(), { lotId: own.lotId, fromHolderId: holderId, toHolderId: CLUB_HOLDER, qtyMilli: 400_000, loan: 'lend' }))
    // 400 of 1000 g at 3000 cents: 1200 go over.
    expect(await account(id, holderId)).toEqual([600_000, 1800])
    expect(await account(id)).toEqual([1_400_000, 2200])
    const back = (qtyMilli: number, lotId = own.lotId) => run((tx) => transferStock(tx, ctx(), { lotId, fromHolderId: CLUB_HOLDER, toHolderId: holderId, qtyMilli, loan: 'give_back' }))
    const above = await back(400_001)
    expect(above.ok ? '' : above.refusal.fields?.['amount']).toBe('Only 400 g is left.')
    expect((await back(150_000)).ok).toBe(true)
    // From whichever lot: what counts is how much of the item is lent.
    const rest = await back(250_001, clubs.lotId)
    expect(rest.ok ? '' : rest.refusal.fields?.['amount']).toBe('Only 250 g of it is lent.')
  })

  test('handed over for good, the member’s account with the club bears what it cost; undone, nothing', async () => {
    const { id } = await club.make.item()
    const member = await club.make.member()
    const holderId = await done(async (tx) => ({ ok: true, value: await holderOf(tx, member.id) }))
    const lot = await receive(id, 1_000_000, 2000)
    const moved = await done((tx) => transferStock(tx, ctx(), { lotId: lot.lotId, fromHolderId: CLUB_HOLDER, toHolderId: holderId, qtyMilli: 250_000, loan: null }))
    const owed = async () => (await club.db.stockEntry.aggregate({ where: { chargedToId: member.id }, _sum: { valueCents: true } }))._sum.valueCents
    expect(await owed()).toBe(-500)
    await done((tx) => reverseEntry(tx, ctx(), { entryId: moved.entryIds[1]!, why: 'Took it back' }))
    expect(await owed()).toBe(0)
    expect(await account(id)).toEqual([1_000_000, 2000])
    expect(await account(id, holderId)).toEqual([0, 0])
  })

  test('a member lends and takes back what is theirs; the club’s stock is handed out by the storekeeper', async () => {
    const { id } = await club.make.item()
    const member = await club.make.member()
    const as = ctx({ member: { id: member.id, name: 'M', roles: ['builder'] }, may: (p) => p === 'stores.draw' })
    const holderId = await done(async (tx) => ({ ok: true, value: await holderOf(tx, member.id) }))
    const own = await done((tx) => receiveStock(tx, as, { itemId: id, qtyMilli: 1000, valueCents: 10, receivedOn: '2026-06-01', code: '', holderId }))
    const move = (over: object) => run((tx) => transferStock(tx, as, { lotId: own.lotId, fromHolderId: holderId, toHolderId: CLUB_HOLDER, qtyMilli: 500, loan: 'lend', ...over }))
    expect((await move({})).ok).toBe(true)
    expect((await move({ fromHolderId: CLUB_HOLDER, toHolderId: holderId, loan: 'give_back' })).ok).toBe(true)
    const taken = await move({ fromHolderId: CLUB_HOLDER, toHolderId: holderId, loan: null })
    expect(taken.ok ? 0 : taken.refusal.status).toBe(403)
    expect((await refusal((tx) => receiveStock(tx, as, { itemId: id, qtyMilli: 1000, valueCents: 10, receivedOn: '2026-06-01', code: '' }))).status).toBe(403)
    const stranger = ctx({ member: { id: keeper.id, name: 'S', roles: ['builder'] }, may: (p) => p === 'stores.draw' })
    expect((await refusal((tx) => drawStock(tx, stranger, { itemId: id, qtyMilli: 1, structural: false, holderId }))).status).toBe(403)
  })
})

describe('put right after the event', () => {
  test('a price correction goes where the lot went, to the cent', async () => {
    const { id } = await club.make.item()
    const build = await club.make.build()
    const lot = await receive(id, 10_000, 1000)
    await draw(id, 5000, { buildId: build.id })
    await draw(id, 2000)
    await done((tx) => writeOff(tx, ctx(), { lotId: lot.lotId, qtyMilli: 1000, why: 'Spilt' }))
    const fixed = await done((tx) => correctPrice(tx, ctx(), { lotId: lot.lotId, deltaCents: 101, why: 'The bill had postage' }))
    // 2 of 10 in stock: 20.2; draws 5: 50.5, 2: 20.2; write-off 1: 10.1. Rounded down 100, the cent over goes to the largest rest, 0.5.
    const rows = await club.db.stockEntry.findMany({ where: { id: { in: fixed.entryIds } }, orderBy: { seq: 'asc' } })
    expect(rows.map((e) => [e.ofEntryId === null, e.valueCents, e.buildId])).toEqual([[true, 20, null], [false, -51, build.id], [false, -20, null], [false, -10, null]])
    expect(await account(id)).toEqual([2000, 220])
    const cost = await club.db.stockEntry.aggregate({ where: { buildId: build.id }, _sum: { valueCents: true } })
    expect(cost._sum.valueCents).toBe(-551)
    // A receipt whose price was corrected is not undone before the correction.
    expect((await refusal((tx) => reverseEntry(tx, ctx(), { entryId: lot.entryId, why: 'x' }))).message).toMatch(/correct|gone out/)
    await done((tx) => reverseEntry(tx, ctx(), { entryId: fixed.entryIds[1]!, why: 'The postage was another order’s' }))
    expect(await account(id)).toEqual([2000, 200])
    expect((await club.db.stockEntry.aggregate({ where: { buildId: build.id }, _sum: { valueCents: true } }))._sum.valueCents).toBe(-500)
  })

  test('a corrected draw comes back at its corrected cost', async () => {
    const { id } = await club.make.item()
    const lot = await receive(id, 1000, 100)
    const drawn = await draw(id, 1000)
    await done((tx) => correctPrice(tx, ctx(), { lotId: lot.lotId, deltaCents: 50, why: 'Bill' }))
    expect((await done((tx) => returnStock(tx, ctx(), { entryId: drawn.entryIds[0]!, qtyMilli: 500 }))).valueCents).toBe(75)
    expect((await done((tx) => reverseEntry(tx, ctx(), { entryId: drawn.entryIds[0]!, why: 'x' }))).valueCents).toBe(75)
    expect(await account(id)).toEqual([1000, 150])
  })

  test('a change of the costing rule acts from the next entry on', async () => {
    const { id } = await club.make.item()
    await receive(id, 1000, 100)
    await receive(id, 1000, 200)
    // From tomorrow; the rule of other tests stays as it is.
    const later = new Date(club.clock.now().getTime() + 86_400_000)
    await club.db.costRuleChange.create({ data: { rule: 'fifo', fromAt: later, byId: keeper.id } })
    expect((await draw(id, 500)).valueCents).toBe(75)
    const on = (now: Date, qtyMilli: number) => done((tx) => drawStock(tx, ctx({ now }), { itemId: id, qtyMilli, structural: true }))
    // What is there is one opening layer: 1500 at 225. Then a dearer receipt: the older goes first.
    await done((tx) => receiveStock(tx, ctx({ now: later }), { itemId: id, qtyMilli: 1000, valueCents: 900, receivedOn: '2026-06-01', code: '', expiresOn: null }))
    expect((await on(later, 1500)).valueCents).toBe(225)
    expect((await on(later, 1000)).valueCents).toBe(900)
  })

  test('a count books the difference and nothing where book and shelf agree', async () => {
    const { id } = await club.make.item()
    const lot = await receive(id, 1000, 100)
    expect((await done((tx) => stocktakeLot(tx, ctx(), { lotId: lot.lotId, countedMilli: 1000, why: 'Count' }))).entryIds).toEqual([])
    await done((tx) => stocktakeLot(tx, ctx(), { lotId: lot.lotId, countedMilli: 700, why: 'Count' }))
    expect(await account(id)).toEqual([700, 70])
    expect((await refusal((tx) => stocktakeLot(tx, ctx(), { lotId: lot.lotId, countedMilli: 600, why: ' ' }))).fields?.['why']).toContain('explains')
  })
})
