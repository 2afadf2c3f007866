import { parse } from 'csv-parse/sync'
import { describe, expect, it } from 'vitest'
import { correctPrice, drawStock, receiveStock, reverseEntry, writeOff } from '../../../src/features/stores/public.ts'
import type { Result } from '../../../src/core/result.ts'
import { transact, type Tx } from '../../../src/platform/database.ts'
import { testClub } from '../../support/app.ts'
import { words } from '../builds/support.ts'

const club = await testClub()
const officer = await club.signedIn(['officer'])
const must = async <T>(run: (tx: Tx) => Promise<Result<T, unknown>>): Promise<T> => {
  const result = await transact(club.db, run)
  if (!result.ok) throw new Error(JSON.stringify(result.refusal))
  return result.value
}
const ctx = () => club.make.ctx(officer.memberId, { now: club.clock.now() })
const buy = (itemId: string, units: number, each: number) =>
  must((tx) => receiveStock(tx, ctx(), { itemId, qtyMilli: units * 1000, valueCents: units * each * 100, receivedOn: club.clock.now().toISOString().slice(0, 10), code: '' }))
const sell = (itemId: string, units: number) => must((tx) => drawStock(tx, ctx(), { itemId, qtyMilli: units * 1000, structural: false }))
const values = async (query = '') => parse<Record<string, string>>((await officer.get(`/stores/value.csv${query}`)).body, { columns: true, bom: true })
const of = async (name: string, query = '') => (await values(query)).find((r) => r['item'] === name)

describe('the value of the stock', () => {
  it('shows the perpetual average 3,800 as booked and the periodic one 3,466.67 beside it', async () => {
    // IAS 2 workbook (F1 Integrated Workbook 2018, ch. 14; read): buy 200@15, 100@18, sell 250, buy 150@20, 200 left.
    // Perpetual: (3000 + 1800)/300 = 16; 50 × 16 + 150 × 20 = 3800. Periodic: 7800/450 × 200 = 3466.67, not rounded to 17.33 first (3466).
    const item = await club.make.item({ name: 'Widget, average', unit: 'pcs', kind: 'other' })
    await buy(item.id, 200, 15)
    await buy(item.id, 100, 18)
    await sell(item.id, 250)
    await buy(item.id, 150, 20)
    const row = await of('Widget, average')
    expect([row!['closing'], row!['closing_value'], row!['closing_periodic_average']]).toEqual(['200', '3800.00', '3466.67'])
    expect([row!['came_in_value'], row!['went_out_value']]).toEqual(['7800.00', '4000.00'])
    const text = words((await officer.get('/stores/value')).body)
    expect(text).toContain('worth €3,800.00 as booked; by the average over the whole time from Thu, 1 Jan 2026 it would be €3,466.67')
  })

  it('averages 60@12, 40@15, 50@18 less 75 sold at 14.80: 1,110 left', async () => {
    // The second purchase example (read): 2220/150 = 14.80; 75 × 14.80 = 1110. All bought before the sale, so both averages agree.
    const item = await club.make.item({ name: 'Second example', unit: 'pcs', kind: 'other' })
    await buy(item.id, 60, 12)
    await buy(item.id, 40, 15)
    await buy(item.id, 50, 18)
    await sell(item.id, 75)
    const row = await of('Second example')
    expect([row!['closing_value'], row!['closing_periodic_average']]).toEqual(['1110.00', '1110.00'])
  })

  it('on an earlier day leaves out what was booked later; reversals and losses are in their day', async () => {
    const item = await club.make.item({ name: 'Over days', unit: 'pcs', kind: 'other' })
    const { lotId } = await buy(item.id, 10, 2)
    club.clock.set(new Date('2026-06-02T10:00:00Z'))
    const { entryIds } = await sell(item.id, 4)
    club.clock.set(new Date('2026-06-04T10:00:00Z'))
    await must((tx) => reverseEntry(tx, ctx(), { entryId: entryIds[0]!, why: 'Not taken' }))
    await must((tx) => writeOff(tx, ctx(), { lotId, qtyMilli: 1000, why: 'Dropped' }))
    expect((await of('Over days', '?to=2026-05-30'))!['closing_value']).toBe('20.00')
    expect((await of('Over days', '?to=2026-06-02'))!['closing_value']).toBe('12.00')
    const later = await of('Over days', '?from=2026-06-03&to=2026-06-04')
    // Began with 6 at 12.00; 4 came back and 1 was lost: 9 at 18.00.
    expect([later!['opening_value'], later!['closing'], later!['closing_value'], later!['went_out']]).toEqual(['12.00', '9', '18.00', '-3'])
    expect(later!['closing_periodic_average']).toBe('')
  })

  it('a correction of what was already drawn is not in stock; the rest of it is', async () => {
    const item = await club.make.item({ name: 'Corrected', unit: 'pcs', kind: 'other' })
    const { lotId } = await buy(item.id, 10, 1)
    await sell(item.id, 4)
    await must((tx) => correctPrice(tx, ctx(), { lotId, deltaCents: 500, why: 'Invoice' }))
    // 6 left at 6.00, and 6 of 10 parts of the 5.00.
    expect((await of('Corrected'))!['closing_value']).toBe('9.00')
  })

  it('agrees with the accounts to the cent', async () => {
    const sum = (await values()).reduce((n, r) => n + Math.round(Number(r['closing_value']) * 100), 0)
    const accounts = await club.db.stockAccount.aggregate({ _sum: { valueCents: true } })
    expect(sum).toBe(Number(accounts._sum.valueCents))
  })

  it('says at the field what can’t be a stretch of days', async () => {
    const answer = await officer.get('/stores/value?from=2026-06-04&to=2026-06-01')
    expect([answer.statusCode, words(answer.body).includes('To: not before “from”')]).toEqual([422, true])
    expect((await officer.get('/stores/value?from=soon')).statusCode).toBe(422)
  })
})

describe('the costing rule', () => {
  it('is for officers and storekeepers', async () => {
    const helper = await club.signedIn(['helper'])
    for (const url of ['/stores/cost-rule', '/stores/value', '/stores/value.csv']) expect((await helper.get(url)).statusCode).toBe(403)
    expect((await helper.post('/stores/cost-rule', { rule: 'fifo', why: 'x' })).statusCode).toBe(403)
  })

  it('says in plain words what each means, worked out by the ledger’s own code', async () => {
    const text = words((await officer.get('/stores/cost-rule')).body)
    expect(text).toContain('By the average it is charged €25.00 and €25.00 stay in stock; first in, first out charges €20.00 and €30.00 stay')
  })

  it.each([
    [{ rule: 'fifo', why: '' }, 'Why: fill this in'],
    [{ rule: 'lifo', why: 'x' }, 'Choose a rule'],
    [{ rule: 'fifo', day: '2026-05-01', why: 'x' }, 'From: this has passed'],
    [{ rule: 'fifo', day: '2099-05-01', why: 'x' }, 'at most two years ahead'],
    [{ rule: 'average', why: 'x' }, 'This is the rule then already'],
  ])('refuses %j and changes nothing', async (fields, message) => {
    const answer = await officer.post('/stores/cost-rule', fields)
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain(message)
    expect(await club.db.costRuleChange.count()).toBe(0)
  })

  it('counts from its instant on: 3,900 first in, first out', async () => {
    club.clock.set(new Date('2026-06-10T10:00:00Z'))
    // Berlin is two hours ahead in June: midnight of the 12th is 22:00 UTC of the 11th.
    expect((await officer.post('/stores/cost-rule', { rule: 'fifo', day: '2026-06-12', why: 'The treasurer asked' })).statusCode).toBe(303)
    const item = await club.make.item({ name: 'Widget, first in', unit: 'pcs', kind: 'other' })
    await buy(item.id, 1, 15)
    const rule = async () => (await club.db.stockEntry.findFirstOrThrow({ where: { itemId: item.id }, orderBy: { seq: 'desc' } })).rule
    expect(await rule()).toBe('average')
    await sell(item.id, 1)
    club.clock.set(new Date('2026-06-11T22:00:00Z'))
    // The workbook's figures (F1 Integrated Workbook 2018; read): 50@18 … sold 200@15 and 50@18 first; 50 × 18 + 150 × 20 = 3900.
    await buy(item.id, 200, 15)
    expect(await rule()).toBe('fifo')
    await buy(item.id, 100, 18)
    await sell(item.id, 250)
    await buy(item.id, 150, 20)
    expect((await of('Widget, first in'))!['closing_value']).toBe('3900.00')
    const text = words((await officer.get('/stores/cost-rule')).body)
    expect(text).toContain('What is drawn is charged by first in, first out')
    expect(text).toContain('The treasurer asked')
  })

  it('changes for good are never changed or taken out of the list', async () => {
    await expect(club.db.costRuleChange.deleteMany({})).rejects.toThrow()
    expect((await officer.post('/stores/cost-rule', { rule: 'average', why: 'Back' })).statusCode).toBe(303)
    expect(await club.db.costRuleChange.count()).toBe(2)
  })
})
