import { describe, expect, it } from 'vitest'
import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { statement, type ChargeSum } from '../../../src/features/builds/facts/charges.ts'
import { correctPrice, drawStock, holderOf, returnStock, reverseEntry, transferStock, CLUB_HOLDER } from '../../../src/features/stores/public.ts'
import type { Result } from '../../../src/core/result.ts'
import { transact, type Tx } from '../../../src/platform/database.ts'
import { testClub, type Person } from '../../support/app.ts'
import { words } from './support.ts'

const club = await testClub()
const must = async <T>(run: (tx: Tx) => Promise<Result<T, unknown>>): Promise<T> => {
  const result = await transact(club.db, run)
  if (!result.ok) throw new Error(JSON.stringify(result.refusal))
  return result.value
}
const keeper = await club.signedIn(['storekeeper'], { name: 'Keeper' })
const ann = await club.signedIn(['builder'], { name: 'Ann' })
const ben = await club.signedIn(['builder'], { name: 'Ben' })
const ctx = club.make.ctx(keeper.memberId, { now: club.clock.now() })
const curlew = await club.make.build({ name: 'Curlew' }, [ann.memberId])
const plover = await club.make.build({ name: 'Plover' }, [ben.memberId])
const resin = await club.make.item({ name: 'Resin' })
const gloves = await club.make.item({ name: 'Gloves', kind: 'protective', unit: 'pcs', isShared: true })
// 1 kg at 20.00: 2 cents a gram. 100 gloves at 10.01.
await club.make.lot({ itemId: resin.id, qty: 1_000_000, cents: 2000 })
await club.make.lot({ itemId: gloves.id, qty: 100_000, cents: 1001 })
const draw = (grams: number, more: object) => must((tx) => drawStock(tx, ctx, { itemId: resin.id, qtyMilli: grams * 1000, structural: true, ...more }))
const share = (pieces: number) => must((tx) => drawStock(tx, ctx, { itemId: gloves.id, qtyMilli: pieces * 1000, structural: false }))
const hidden = (html: string, name: string) => new RegExp(`name="${name}" value="([^"]*)"`).exec(html)?.[1]?.replaceAll('&amp;', '&') ?? ''
const settleFields = async (who: Person) => {
  const { body } = await who.get('/stores/charges')
  return { upTo: hidden(body, 'upTo'), digest: hidden(body, 'digest') }
}
async function hours(buildId: string, elapsedMin: number, memberId: string) {
  const phase = await club.make.phase(buildId)
  const task = await club.db.task.create({ data: { buildId, phaseId: phase.id, position: 1, name: 'Work', kind: 'shared', workLowMin: 60, workLikelyMin: 60, workHighMin: 60 } })
  await club.db.workLog.create({ data: { buildId, taskId: task.id, startedAt: club.clock.now(), elapsedMin, workedMin: elapsedMin, loggedBy: memberId, loggedAt: club.clock.now(), people: { create: [{ memberId }] } } })
}
const row = (text: string, name: string) => new RegExp(`${name} ((?:-?€[\\d,.]+ )+)`).exec(text)?.[1]?.trim().split(' ') ?? []

describe('charges', () => {
  it('go to builds and members, with shared use by hours worked, and add up to the cent', async () => {
    await draw(100, { buildId: curlew.id })
    const back = await draw(50, { buildId: plover.id })
    await must((tx) => returnStock(tx, ctx, { entryId: back.entryIds[0]!, qtyMilli: 20_000 }))
    await draw(10, { chargedToId: ben.memberId })
    await share(50)
    await hours(curlew.id, 120, ann.memberId)
    await hours(plover.id, 60, ben.memberId)
    // Curlew 100 g = 2.00; Plover 50 − 20 g = 0.60; Ben 0.20; 50 gloves of 100 at 10.01 = 5.005 → 5.01 (half up).
    // 501 cents by 120 : 60 minutes = 334 : 167. Curlew 2.00 + 3.34 = 5.34, Plover 0.60 + 1.67 = 2.27.
    const { body, statusCode } = await keeper.get('/stores/charges')
    expect(statusCode).toBe(200)
    const text = words(body)
    expect(row(text, 'Curlew')).toEqual(['€2.00', '€3.34', '€5.34'])
    expect(row(text, 'Plover')).toEqual(['€0.60', '€1.67', '€2.27'])
    expect(row(text, 'Ben')).toEqual(['€0.20', '€0.00', '€0.20'])
    expect(text).toContain('€7.81 in all') // 5.34 + 2.27 + 0.20
    expect(text).toContain('by the hours worked on each build since the last settlement')
  })

  it('a member’s own stock in another’s build is owed to that member, in one’s own use to nobody', async () => {
    const holderId = await transact(club.db, (tx) => holderOf(tx, ann.memberId))
    await club.make.lot({ itemId: resin.id, qty: 100_000, cents: 500, holderId })
    const own = { ...ctx, member: { ...ctx.member, id: ann.memberId } }
    // 5 cents a gram: 20 g in Plover 1.00, 10 g for herself nothing.
    await must((tx) => drawStock(tx, own, { itemId: resin.id, qtyMilli: 20_000, structural: true, holderId, buildId: plover.id }))
    await must((tx) => drawStock(tx, own, { itemId: resin.id, qtyMilli: 10_000, structural: true, holderId }))
    const text = words((await keeper.get('/stores/charges')).body)
    expect(row(text, 'Ann')).toEqual(['€0.00', '-€1.00', '-€1.00'])
    expect(row(text, 'Plover')).toEqual(['€0.60', '€1.00', '€1.67', '€3.27'])
    expect(text).toContain('€7.81 in all') // What Plover owes Ann is not the club's.
    expect(words((await ben.get(`/builds/${plover.id}/costs`)).body)).toContain('She owes Ann €1.00, for their own stock.')
    expect(words((await ann.get('/stores/charges/own')).body)).toContain('You are owed €1.00')
    expect(words((await ben.get('/stores/charges/own')).body)).toContain('You owe €0.20')
  })

  it('what the club sold to a member is charged; what it lent is not', async () => {
    const holderId = await transact(club.db, (tx) => holderOf(tx, ben.memberId))
    const lot = await club.db.lot.findFirstOrThrow({ where: { itemId: resin.id, balances: { some: { holderId: CLUB_HOLDER } } } })
    const move = (grams: number, loan: 'lend' | null) => must((tx) => transferStock(tx, ctx, { lotId: lot.id, fromHolderId: CLUB_HOLDER, toHolderId: holderId, qtyMilli: grams * 1000, loan }))
    await move(30, 'lend')
    await move(40, null)
    // 40 g at 2 cents = 0.80, with 0.20 from before.
    expect(row(words((await keeper.get('/stores/charges')).body), 'Ben')).toEqual(['€1.00', '€0.00', '€1.00'])
  })

  it('is for officers and storekeepers; a build’s costs also for her builders, not for others’', async () => {
    expect((await ann.get('/stores/charges')).statusCode).toBe(403)
    expect((await ann.post('/stores/charges', { upTo: '1', digest: '' })).statusCode).toBe(403)
    expect((await ann.get('/stores/charges/entries.csv')).statusCode).toBe(403)
    expect((await ann.get(`/builds/${curlew.id}/costs`)).statusCode).toBe(200)
    expect((await ann.get(`/builds/${plover.id}/costs`)).statusCode).toBe(403)
  })

  it('settles exactly what was shown: an entry booked meanwhile waits for the next', async () => {
    const fields = await settleFields(keeper)
    await draw(5, { buildId: curlew.id }) // 0.10, after the page was made
    const answer = await keeper.post('/stores/charges', { ...fields, note: 'Spring' })
    expect(answer.statusCode).toBe(303)
    const page = words((await keeper.get(String(answer.headers.location))).body)
    expect(row(page, 'Curlew')).toEqual(['€2.00', '€3.34', '€5.34'])
    expect(row(page, 'Plover')).toEqual(['€1.60', '€1.67', '€3.27'])
    // 5.34 + 3.27 − 1.00 + 1.00 = 8.61
    expect(row(page, 'All').at(-1)).toBe('€8.61')
    const text = words((await keeper.get('/stores/charges')).body)
    expect(row(text, 'Curlew')).toEqual(['€0.10', '€0.00', '€0.10'])
    expect(text).toContain('€0.10 in all')
  })

  it('two settlements at once take each entry once', async () => {
    await share(10) // 10 of the 50 gloves left at 5.00: 1.00
    const fields = await settleFields(keeper)
    const other = await club.signedIn(['officer'])
    const answers = await Promise.all([keeper, other, keeper, other].map((who) => who.post('/stores/charges', fields)))
    expect(answers.map((a) => a.statusCode).sort()).toEqual([303, 409, 409, 409])
    expect(words(answers.find((a) => a.statusCode === 409)!.body)).toContain('There is nothing to settle')
    const marked = await club.db.settlementEntry.groupBy({ by: ['entryId'], _count: true })
    expect(marked.every((m) => m._count === 1)).toBe(true)
  })

  it('a page that no longer shows what is open settles nothing and is shown anew', async () => {
    await draw(10, { buildId: curlew.id })
    const { upTo } = await settleFields(keeper)
    const before = await club.db.settlement.count()
    const answer = await keeper.post('/stores/charges', { upTo, digest: 'of another day' })
    expect(answer.statusCode).toBe(409)
    expect(words(answer.body)).toContain('Nothing was settled: the charges changed while the page was open')
    expect(await club.db.settlement.count()).toBe(before)
    expect((await keeper.post('/stores/charges', { upTo: 'x', digest: 'y' })).statusCode).toBe(422)
  })

  it('a settled entry that is reversed later comes into the next settlement as a credit', async () => {
    const { entryIds } = await draw(25, { buildId: plover.id }) // 0.50
    expect((await keeper.post('/stores/charges', await settleFields(keeper))).statusCode).toBe(303)
    await must((tx) => reverseEntry(tx, ctx, { entryId: entryIds[0]!, why: 'Never taken' }))
    const text = words((await keeper.get('/stores/charges')).body)
    expect(row(text, 'Plover')).toEqual(['-€0.50', '€0.00', '-€0.50'])
    expect((await keeper.post('/stores/charges', await settleFields(keeper))).statusCode).toBe(303)
    expect(words((await keeper.get('/stores/charges')).body)).toContain('Nothing is to be settled')
  })

  it('a price correction of a lot reaches what was already drawn from it', async () => {
    const tape = await club.make.item({ name: 'Tape', kind: 'tape', unit: 'm' })
    const lot = await club.make.lot({ itemId: tape.id, qty: 10_000, cents: 1000 })
    await must((tx) => drawStock(tx, ctx, { itemId: tape.id, qtyMilli: 4000, structural: false, buildId: curlew.id }))
    // 10 m at 10.00 cost 15.00 really: 4 of 10 m bear 2.00 of the 5.00.
    await must((tx) => correctPrice(tx, ctx, { lotId: lot.id, deltaCents: 500, why: 'Invoice' }))
    expect(row(words((await keeper.get('/stores/charges')).body), 'Curlew')).toEqual(['€6.00', '€0.00', '€6.00'])
  })

  it('the rule for shared use can be changed, and says what it means', async () => {
    await share(10)
    expect((await keeper.post('/stores/charges/rule', { sharedBy: 'by guess' })).statusCode).toBe(422)
    expect((await keeper.post('/stores/charges/rule', { sharedBy: 'equal' })).statusCode).toBe(303)
    // 1.00 over two builds.
    const text = words((await keeper.get('/stores/charges')).body)
    expect(text).toContain('equally over the builds under way')
    expect(row(text, 'Curlew')).toEqual(['€6.00', '€0.50', '€6.50'])
    expect(row(text, 'Plover')).toEqual(['€0.00', '€0.50', '€0.50'])
  })

  it('lists for the treasurer are CSV with CRLF whose entries add up to the totals (RFC 4180)', async () => {
    await must((tx) => drawStock(tx, ctx, { itemId: resin.id, qtyMilli: 1000, structural: true, buildId: curlew.id, why: '=1+1, 4\' 5"' }))
    const entries = await keeper.get('/stores/charges/entries.csv')
    expect(entries.headers['content-type']).toContain('text/csv')
    expect(entries.body.split('\r\n').length).toBeGreaterThan(3)
    const read = (csv: string) => parse<Record<string, string>>(csv, { columns: true, bom: true, record_delimiter: '\r\n' })
    const rows = read(entries.body)
    expect(rows.find((r) => r['why']?.includes('4'))!['why']).toBe('\'=1+1, 4\' 5"')
    const totals = read((await keeper.get('/stores/charges/totals.csv')).body)
    const cents = (text: string | undefined) => Math.round(Number(text) * 100)
    const sum = rows.reduce((n, r) => n + cents(r['charge']), 0)
    expect(cents(totals.at(-1)!['total'])).toBe(sum)
    expect(totals.slice(0, -1).reduce((n, r) => n + cents(r['total']), 0)).toBe(sum)
    const settlement = await club.db.settlement.findFirstOrThrow({ orderBy: { number: 'asc' } })
    expect(read((await keeper.get(`/stores/charges/${settlement.id}/totals.csv`)).body).at(-1)!['total']).toBe('8.61')
    expect((await keeper.get(`/stores/charges/${settlement.id}/entries.csv`)).body).toContain('Gloves')
  })

  it('a build that only its team sees is charged without its name to a storekeeper who is not in it', async () => {
    const secret = await club.make.build({ name: 'Night heron', visibility: 'team' }, [ann.memberId])
    await draw(3, { buildId: secret.id })
    for (const url of ['/stores/charges', '/stores/charges/entries.csv', '/stores/charges/totals.csv']) {
      const { body } = await keeper.get(url)
      expect(body).not.toContain('Night heron')
      expect(body).toContain('A build open to its team only')
    }
    expect((await (await club.signedIn(['officer'])).get('/stores/charges')).body).toContain('Night heron')
  })
})

describe('a statement', () => {
  const builds = [{ id: 'a', isActive: true, workedMin: 0 }, { id: 'b', isActive: true, workedMin: 0 }, { id: 'c', isActive: false, workedMin: 0 }]
  const shared = (cents: number): ChargeSum => ({ buildId: null, memberId: null, ownerId: null, cents, entries: 1 })

  it('without hours spreads shared use equally over builds under way, and says so', () => {
    const s = statement([shared(101)], builds, 'hours')
    expect(s.builds.map((l) => [l.buildId, l.sharedCents])).toEqual([['a', 51], ['b', 50]])
    expect(s.shared.isEqualInstead).toBe(true)
  })

  it('without any build leaves shared use open', () => {
    const s = statement([shared(101), { buildId: null, memberId: 'm', ownerId: null, cents: 7, entries: 2 }], [], 'equal')
    expect([s.shared.isUnspread, s.entries, s.totalCents]).toEqual([true, 2, 7])
  })

  it('adds up to what left the club’s stock, whatever the sums, hours and rule', () => {
    const id = fc.constantFrom(null, 'a', 'b', 'c')
    const sum = fc.record({ buildId: id, memberId: fc.constantFrom(null, 'm', 'n'), ownerId: fc.constantFrom(null, 'm', 'n'), cents: fc.integer({ min: -5000, max: 500_000 }), entries: fc.integer({ min: 1, max: 9 }) })
      .filter((s) => s.buildId === null || s.memberId === null).filter((s) => !(s.ownerId !== null && s.buildId === null && s.memberId === null))
    const worked = fc.array(fc.integer({ min: -60, max: 6000 }), { minLength: 3, maxLength: 3 })
    fc.assert(fc.property(fc.array(sum), worked, fc.constantFrom('hours', 'equal', 'charges'), (sums, minutes, by) => {
      const s = statement(sums, builds.map((b, i) => ({ ...b, workedMin: minutes[i]! })), by)
      const fromClub = sums.filter((x) => x.ownerId === null).reduce((n, x) => n + x.cents, 0)
      expect(s.totalCents).toBe(fromClub)
      expect([...s.builds, ...s.members].reduce((n, l) => n + l.totalCents, 0)).toBe(fromClub)
    }))
  })
})
