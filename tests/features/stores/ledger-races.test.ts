import { describe, expect, test } from 'vitest'
import { CLUB_HOLDER, verifyLedger } from '../../../src/features/stores/public.ts'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const words = (html: string) => html.replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ')
const people = await Promise.all(Array.from({ length: 8 }, () => club.signedIn(['builder'])))
const keeper = await club.signedIn(['storekeeper'])
const left = async (lotId: string) => Number((await club.db.lotBalance.findUniqueOrThrow({ where: { lotId_holderId: { lotId, holderId: CLUB_HOLDER } } })).qtyMilli)

describe('many at once', () => {
  test('64 draws on a lot that covers 40: exactly 40 are booked, and each of the others is told what is left', async () => {
    const lot = await club.make.lot({ qty: 4_000_000, cents: 9999 })
    const answers = await Promise.all(Array.from({ length: 64 }, (_, at) => people[at % 8]!.post(`/stores/items/${lot.itemId}/draw`, { amount: '100', use: 'club', structural: 'on' })))
    expect(answers.filter((a) => a.statusCode === 303).length).toBe(40)
    const refused = answers.filter((a) => a.statusCode === 422)
    expect(refused.length).toBe(24)
    for (const answer of refused) expect(words(answer.body)).toMatch(/No Item \d+ is left (for this use by|in) the book\./)
    expect(await left(lot.id)).toBe(0)
    const drawn = await club.db.stockEntry.aggregate({ where: { lotId: lot.id, kind: 'draw' }, _sum: { valueCents: true, qtyMilli: true }, _count: true })
    // The cents of all draws are those of the receipt.
    expect([drawn._count, drawn._sum.qtyMilli, drawn._sum.valueCents]).toEqual([40, -4_000_000n, -9999])
  })

  test('draws that differ in size never take what is not there', async () => {
    const lot = await club.make.lot({ qty: 1_000_000, cents: 1000 })
    const sizes = Array.from({ length: 32 }, (_, at) => 20 + ((at * 37) % 90))
    const answers = await Promise.all(sizes.map((size, at) => people[at % 8]!.post(`/stores/items/${lot.itemId}/draw`, { amount: String(size), use: 'club' })))
    const booked = sizes.filter((_, at) => answers[at]!.statusCode === 303).reduce((sum, size) => sum + size, 0)
    const rest = (await left(lot.id)) / 1000
    expect(rest).toBe(1000 - booked)
    // Nobody was refused who asked for no more than is left at the end.
    for (const [at, size] of sizes.entries()) if (answers[at]!.statusCode === 422) expect(size).toBeGreaterThan(rest)
  })

  test('a return sent by several at once brings back no more than was drawn', async () => {
    const lot = await club.make.lot({ qty: 1_000_000, cents: 1000 })
    await people[0]!.post(`/stores/items/${lot.itemId}/draw`, { amount: '300', use: 'club' })
    const draw = await club.db.stockEntry.findFirstOrThrow({ where: { lotId: lot.id, kind: 'draw' } })
    const answers = await Promise.all(people.map((person) => person.post(`/stores/entries/${draw.id}/return`, { amount: '100' })))
    expect(answers.map((a) => a.statusCode).toSorted((a, b) => a - b)).toEqual([303, 303, 303, 422, 422, 422, 422, 422])
    expect(await left(lot.id)).toBe(1_000_000)
  })

  test('a reversal sent by several at once is booked once', async () => {
    const lot = await club.make.lot({ qty: 1_000_000, cents: 1000 })
    await keeper.post(`/stores/items/${lot.itemId}/draw`, { amount: '300', use: 'club' })
    const draw = await club.db.stockEntry.findFirstOrThrow({ where: { lotId: lot.id, kind: 'draw' } })
    const answers = await Promise.all(Array.from({ length: 6 }, () => keeper.post(`/stores/entries/${draw.id}/reverse`, { why: 'Twice' })))
    expect(answers.filter((a) => a.statusCode === 303).length).toBe(1)
    expect(answers.filter((a) => a.statusCode === 409).length).toBe(5)
    expect(await left(lot.id)).toBe(1_000_000)
  })

  test('first deliveries of an item at once make one account; lending to and fro at once ends where it began', async () => {
    const item = await club.make.item()
    const row = { receivedOn: '2026-06-05', item0: item.id, amount0: '100', cost0: '1' }
    const answers = await Promise.all(Array.from({ length: 12 }, () => keeper.post('/stores/receive', row)))
    expect(answers.every((a) => a.statusCode === 303)).toBe(true)
    const account = await club.db.stockAccount.findUniqueOrThrow({ where: { itemId_holderId: { itemId: item.id, holderId: CLUB_HOLDER } } })
    expect([account.qtyMilli, account.valueCents]).toEqual([1_200_000n, 1200n])
    const lots = await club.db.lot.findMany({ where: { itemId: item.id }, orderBy: { number: 'asc' } })
    const move = (lotId: string, what: string) => keeper.post(`/stores/items/${item.id}/transfer`, { lotId, what, memberId: people[0]!.memberId, amount: '100' })
    const moved = await Promise.all(lots.flatMap((lot) => [move(lot.id, 'lend-member'), people[1]!.post(`/stores/items/${item.id}/draw`, { amount: '10', use: 'club' })]))
    expect(moved.every((a) => a.statusCode === 303 || a.statusCode === 422)).toBe(true)
  })

  test('after all that the book is right', async () => {
    const { entries, faults } = await verifyLedger(club.db)
    expect(faults).toEqual([])
    expect(entries).toBeGreaterThan(100)
  })
})
