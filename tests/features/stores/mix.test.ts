import { beforeAll, describe, expect, it } from 'vitest'
import { testClub, type Person } from '../../support/app.ts'
import { words } from '../builds/support.ts'

const club = await testClub()
let keeper: Person & { memberId: string }
let helper: Person & { memberId: string }
let product: { id: string; name: string }
let resin: { id: string }
let hardener: { id: string }

beforeAll(async () => {
  keeper = await club.signedIn(['storekeeper'])
  helper = await club.signedIn(['helper'])
  resin = await club.make.item({ name: 'Resin A', kind: 'resin' })
  hardener = await club.make.item({ name: 'Hardener B', kind: 'hardener' })
  product = await club.db.cureProduct.create({
    data: { name: 'Boat epoxy', kind: 'epoxy', referenceTemp: 20, cureFloor: 10, source: 'invented for tests', ratioBy: 'mass', ratioA: 100, ratioB: 44, potLifeMin: 25, potMassG: 100, potTemp: 25 },
  })
  await club.make.system({ productId: product.id, resinItemId: resin.id, hardenerItemId: hardener.id, strokeResinMg: 16_000n, strokeHardenerMg: 7_000n })
})

const card = async (fields: Record<string, string>) => {
  const answer = await helper.get(`/stores/mix?${new URLSearchParams(fields).toString()}`)
  return { status: answer.statusCode, body: answer.body, text: words(answer.body) }
}
/** The rows of the card's table, as numbers. */
const rows = (body: string) => {
  const table = /<table class="table"[\s\S]*?<\/table>/.exec(body)?.[0] ?? ''
  return [...table.matchAll(/<tr[\s\S]*?<\/tr>/g)].map((m) => [...m[0].matchAll(/<td class="numeric"[^>]*>([^<]*)/g)].map((c) => Number(c[1]!.replaceAll(',', '')))).filter((r) => r.length > 0)
}

describe('the mixing card', () => {
  it('splits 1,250 g at 100:44 by mass with a 300 g limit and a 1 g step into columns that add up to 1,250, 868 and 382', async () => {
    // 1,250 × 100/144 = 868.06, × 44/144 = 381.94; 1,250 / 300 → 5 batches of 250 g.
    const { body, text, status } = await card({ product: product.id, mass: '1250', by: 'mass', people: '3' })
    expect(status).toBe(200)
    const all = rows(body)
    const lines = all.slice(0, -1)
    expect(lines).toHaveLength(5)
    const sum = (at: number) => lines.reduce((n, r) => n + r[at]!, 0)
    expect([sum(2), sum(0), sum(1)]).toEqual([1250, 868, 382])
    expect(all.at(-1)).toEqual([868, 382, 1250])
    for (const [a, b, total] of lines) {
      expect(a! + b!).toBe(total)
      expect(total).toBeLessThanOrEqual(300)
    }
    expect(text).toContain('Fewer batches would be larger than 300 g')
  })

  it('refuses "2:1" without by what, with the reason at the field, and keeps what was typed', async () => {
    const { status, body, text } = await card({ product: '', ratio: '2:1', mass: '500' })
    expect(status).toBe(422)
    expect(text).toContain('does not say by what: add "by mass" or "by volume"')
    expect(body).toMatch(/name="ratio"[^>]*value="2:1"[^>]*aria-invalid="true"/)
    expect(body).not.toContain('Measure out by')
  })

  it('a product’s two parts without by what get no further than its form or the database', async () => {
    const parts = { name: 'Old glue', kind: 'glue', referenceTemp: 20, cureFloor: 10, source: 'invented for tests', ratioA: 2, ratioB: 1 }
    await expect(club.db.cureProduct.create({ data: parts })).rejects.toThrow('cure_product_ratio')
    const none = await club.db.cureProduct.create({ data: { ...parts, ratioA: null, ratioB: null } })
    await club.make.system({ productId: none.id })
    const { status, text } = await card({ product: none.id, mass: '500' })
    expect(status).toBe(422)
    expect(text).toContain('Old glue has no mix ratio yet: put it in from its data sheet, saying by mass or by volume')
  })

  it('the form of a product refuses parts without by what', async () => {
    const answer = await keeper.post('/stores/cure-products/new', { name: 'Other', kind: 'epoxy', source: 'from memory', referenceTemp: 20, filmEnergyLow: 18, filmEnergyHigh: 55, potEnergy: 55, cureFloor: 10, ratioA: '2', ratioB: '1', ratioBy: '' })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('Say whether by mass or by volume')
  })

  it('a typed 2:1 by volume with densities 1.15 and 0.98 weighs 701 g and 299 g of 1,000 g', async () => {
    // Reference values §1.10 (derived there): mass A:B = 2 × 1.15/0.98 = 2.34694:1 → 100:42.61; 1000 g → 701.22 + 298.78 g.
    const { body, text } = await card({ product: '', ratio: '2:1 by volume', mass: '1 kg', limit: '1000', densityA: '1.15', densityB: '0.98' })
    expect(rows(body).at(-1)).toEqual([701, 299, 1000])
    expect(text).toContain('100 : 42.61 by mass')
  })

  it('a ratio by volume without densities is not weighed', async () => {
    const { status, text } = await card({ product: '', ratio: '2:1 by volume', mass: '1000' })
    expect(status).toBe(422)
    expect(text).toContain('the scale needs the densities of both parts')
  })

  it('by pump strokes shows whole strokes alone, and says apart what they weigh', async () => {
    // One stroke of each: 16 + 7 = 23 g at 100:43.75, within 5 % of 100:44. 200 g → 9 strokes of each, 207 g.
    const { body, text } = await card({ product: product.id, mass: '200', by: 'strokes' })
    expect(rows(body).at(-1)).toEqual([9, 9, 18])
    const table = /<table class="table"[\s\S]*?<\/table>/.exec(body)![0]
    expect(table).toContain('strokes')
    expect(table).not.toMatch(/, g</)
    expect(text).toContain('Together that weighs 207 g (144 g of resin, 63 g of hardener); asked were 200 g')
    expect(text).toContain('The pumps have the ratio built in')
  })

  it('states pot life with its mass and temperature and never scales it by mass', async () => {
    const small = await card({ product: product.id, mass: '90' })
    const large = await card({ product: product.id, mass: '290' })
    for (const { text } of [small, large]) expect(text).toContain('25 min for 100 g at 25 °C, as the data sheet states it')
    expect(small.text).not.toContain('These batches are larger than that')
    expect(large.text).toContain('These batches are larger than that')
  })

  it('pot life with too few people makes smaller batches and says so', async () => {
    // 25 min for one person at 50 min for 300 g: 150 g in time → 300 g in two.
    const { text, body } = await card({ product: product.id, mass: '300', people: '1', minutes: '50' })
    expect(rows(body)).toHaveLength(3)
    expect(text).toContain('Fewer would not be used up in time')
    expect(rows((await card({ product: product.id, mass: '300', people: '2', minutes: '50' })).body)).toHaveLength(2)
  })

  it('warns of heat and skin where it is mixed', async () => {
    const { text } = await card({ product: product.id, mass: '300' })
    // An epoxy formulator's safety page: 100 g in a pot can reach 400 °F = 204 °C (reference values §8, read).
    expect(text).toContain('100 g left in a pot can reach 200 °C')
    expect(text).toContain('can make skin and airways allergic for good')
    expect(text).toContain('The data sheet, local codes and competent people come first.')
  })

  it.each([
    [{ mass: '' }, 'Mixed mass: say how much is needed'],
    [{ mass: '0' }, 'Mixed mass: more than nothing'],
    [{ mass: 'some' }, '“some” is no amount'],
    [{ mass: '1,250' }, '“1,250” can be read in two ways'],
    [{ mass: '500', people: '0' }, 'People: a whole number from 1'],
    [{ mass: '500', limit: '1' }, 'can’t be portioned by these steps'],
    [{ mass: '3', step: '2' }, 'off the ratio by more than 5 %'],
    [{ mass: '500', by: 'handfuls' }, 'Choose how it is measured'],
  ])('says at the field what can’t be used: %j', async (fields, message) => {
    const { status, text } = await card({ product: product.id, ...fields } as Record<string, string>)
    expect(status).toBe(422)
    expect(text).toContain(message)
  })
})

describe('a batch', () => {
  const left = async (lotId: string) => Number((await club.db.lotBalance.findFirstOrThrow({ where: { lotId } })).qtyMilli)

  it('draws resin and hardener first expired, shows the lots, prints a label, and is taken back in one step', async () => {
    const late = await club.make.lot({ itemId: resin.id, qty: 2_000_000, cents: 4000, expiresOn: new Date('2027-12-31') })
    const soon = await club.make.lot({ itemId: resin.id, qty: 500_000, cents: 1000, expiresOn: new Date('2026-12-31') })
    const hard = await club.make.lot({ itemId: hardener.id, qty: 1_000_000, cents: 3000, expiresOn: new Date('2027-06-30') })
    const { text } = await card({ product: product.id, mass: '288' })
    expect(text).toContain(`From lot ${soon.number}, first expired`)
    // 288 g at 100:44 = 200 + 88 g; as weighed 201 + 88.
    const answer = await helper.post('/stores/mix?x=1', { product: product.id, resin: '201', hardener: '88', use: 'own', note: 'Paddle' })
    expect(answer.statusCode).toBe(303)
    expect(await left(soon.id)).toBe(299_000)
    expect(await left(late.id)).toBe(2_000_000)
    expect(await left(hard.id)).toBe(912_000)
    const page = await helper.get(String(answer.headers.location))
    expect(words(page.body)).toContain('289 g at 100:44 by mass')
    expect(words(page.body)).toContain(`lot ${soon.number}`)
    expect(words(page.body)).toContain('heats itself, harms skin')
    const entries = await club.db.stockEntry.findMany({ where: { batch: { note: 'Paddle' } } })
    expect(entries.map((e) => e.chargedToId)).toEqual([helper.memberId, helper.memberId])

    const undone = await helper.post(`${String(answer.headers.location)}/undo`, { why: 'Never mixed' })
    expect(undone.statusCode).toBe(303)
    expect([await left(soon.id), await left(hard.id)]).toEqual([500_000, 1_000_000])
    expect((await helper.post(`${String(answer.headers.location)}/undo`, { why: 'Again' })).statusCode).toBe(409)
    expect([await left(soon.id), await left(hard.id)]).toEqual([500_000, 1_000_000])
  })

  it('is refused off the ratio unless the person says that it is so', async () => {
    // 100 g with 50 g: 50/44 − 1 = 13.6 % too much hardener.
    const count = await club.db.batch.count()
    const fields = { product: product.id, resin: '100', hardener: '50' }
    const answer = await helper.post('/stores/mix', fields)
    expect(answer.statusCode).toBe(422)
    expect(await club.db.batch.count()).toBe(count)
    expect((await helper.post('/stores/mix', { ...fields, offRatio: 'on' })).statusCode).toBe(303)
    expect((await club.db.batch.findFirstOrThrow({ orderBy: { number: 'desc' } })).note).toContain('13.6 % too much hardener for 100:44 by mass')
  })

  it('short of one part changes nothing, names it, says what is left, and goes through once the can is weighed', async () => {
    const little = await club.make.item({ name: 'Slow hardener', kind: 'hardener' })
    const other = await club.db.cureProduct.create({ data: { name: 'Slow epoxy', kind: 'epoxy', referenceTemp: 20, cureFloor: 10, source: 'invented for tests', ratioBy: 'mass', ratioA: 2, ratioB: 1 } })
    await club.make.system({ productId: other.id, resinItemId: resin.id, hardenerItemId: little.id })
    const lot = await club.make.lot({ itemId: little.id, qty: 60_000, cents: 300 })
    const count = await club.db.batch.count()
    const entries = await club.db.stockEntry.count()
    const fields = { product: other.id, resin: '200', hardener: '100' }
    const short = await helper.post(`/stores/mix?product=${other.id}&mass=300`, fields)
    expect(short.statusCode).toBe(422)
    expect(words(short.body)).toContain('Nothing was booked, neither resin nor hardener. Slow hardener: Only 60 g of Slow hardener is left by the book')
    expect([await club.db.batch.count(), await club.db.stockEntry.count()]).toEqual([count, entries])
    // The can really held 130 g: 70 g more than the book, booked and waiting for the storekeeper; then the draw of 100 g leaves 30 g.
    const weighed = await helper.post('/stores/mix', { ...fields, hardenerLot: lot.id, hardenerLeft: '130' })
    expect(weighed.statusCode).toBe(303)
    expect(await left(lot.id)).toBe(30_000)
    const found = await club.db.stockEntry.findFirstOrThrow({ where: { lotId: lot.id, kind: 'stocktake' }, include: { review: true } })
    expect([Number(found.qtyMilli), found.review]).toEqual([70_000, null])
  })

  it('two who mix the same systems at once both get theirs, and the book agrees', async () => {
    const before = await club.db.stockAccount.findMany({ where: { itemId: { in: [resin.id, hardener.id] } } })
    const answers = await Promise.all(Array.from({ length: 8 }, () => helper.post('/stores/mix', { product: product.id, resin: '10', hardener: '4.4' })))
    expect(answers.map((a) => a.statusCode)).toEqual(Array(8).fill(303))
    const after = await club.db.stockAccount.findMany({ where: { itemId: { in: [resin.id, hardener.id] } } })
    const took = (itemId: string) => Number(before.find((a) => a.itemId === itemId)!.qtyMilli) - Number(after.find((a) => a.itemId === itemId)!.qtyMilli)
    expect([took(resin.id), took(hardener.id)]).toEqual([80_000, 35_200])
  })

  it('of a build that a person may not see is not there for them', async () => {
    const build = await club.make.build({ visibility: 'team' })
    const batch = await club.db.batch.create({ data: { productId: product.id, buildId: build.id, mixedAt: club.clock.now(), byId: keeper.memberId, massMg: 1000n, ratio: '100:44 by mass' } })
    expect((await helper.get(`/stores/batches/${batch.id}`)).statusCode).toBe(404)
    expect((await helper.post(`/stores/batches/${batch.id}/undo`, { why: 'x' })).statusCode).toBe(404)
  })
})
