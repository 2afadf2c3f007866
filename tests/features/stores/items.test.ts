import { describe, expect, test } from 'vitest'
import { labelOf, type LabelPart } from '../../../src/core/stock/label.ts'
import { amountField, moneyField, parseAmount, parseMoney } from '../../../src/features/stores/public.ts'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const keeper = await club.signedIn(['storekeeper'])
const words = (html: string) => html.replace(/<[^>]+>/g, ' ').replaceAll('&amp;', '&').replaceAll('&quot;', '"').replaceAll('&#39;', "'").replace(/\s+/g, ' ')
const sent = (over: Record<string, string | string[]> = {}) => ({ name: 'Some resin', kind: 'resin', unit: 'g', leadDays: '14', ...over })

describe('an amount as people write it', () => {
  const milli = (text: string, unit: 'g' | 'ml' | 'm' | 'm2' | 'pcs' = 'g', converts = {}) => {
    const read = parseAmount(text, unit, converts)
    return read.ok ? read.milli : read.message
  }
  test('with point or comma, with the unit or one of its kind', () => {
    expect(['250', '1.25', '1,25', '250 g', '1.2 kg', '0.5', '1 250', '12,5kg'].map((text) => milli(text))).toEqual([250_000, 1250, 1250, 250_000, 1_200_000, 500, 1_250_000, 12_500_000])
    expect([milli('2 m', 'm'), milli('35 cm', 'm'), milli('1.5 l', 'ml'), milli('0.5 sheets', 'pcs')]).toEqual([2000, 350, 1_500_000, 500])
  })
  test('pounds and feet are the exact ones of 1959', () => {
    // 1 lb = 453.59237 g, 1 oz a sixteenth of it, 1 ft = 0.3048 m.
    expect([milli('1 lb'), milli('16 oz'), milli('10 ft', 'm')]).toEqual([453_592, 453_592, 3048])
  })
  test('metres off a roll of known width are square metres, and volume is mass by density', () => {
    expect([milli('3 m', 'm2', { widthMm: 1270 }), milli('100 ml', 'g', { density: 1.13 }), milli('113 g', 'ml', { density: 1.13 })]).toEqual([3810, 113_000, 100_000])
  })
  test.each([
    ['5 ml', 'is in ml, but this is kept in g'], ['1,250', 'two ways: write 1250 or 1.250'], ['-3', 'below nothing'], ['some', 'is no amount'], ['', 'say how much'], ['3 buckets', 'no unit that is known'],
    ['1.2345', 'finer than is kept'], ['9999999999999', 'more than any club has'],
  ])('“%s” is refused with what to do', (text, message) => expect(milli(text)).toContain(message))
  test('what a form shows reads back', () => {
    for (const n of [0, 1, 999, 1000, 1500, 1_250_500]) expect(milli(amountField(n))).toBe(n)
    expect([amountField(-1500n), moneyField(-5), moneyField(120_050)]).toEqual(['-1.5', '-0.05', '1200.50'])
    expect([parseMoney('1,200.50').ok, parseMoney('12.345').ok, parseMoney('€ 12,50'), parseMoney('1,200')]).toMatchObject([false, false, { ok: true, cents: 1250 }, { ok: false }])
  })
})

// 29 CFR 1910.1200(f)(1), second-hand: six elements.
describe('the hazard label', () => {
  const part: LabelPart = {
    name: 'Hardener', signalWord: 'Danger', pictograms: ['GHS05', 'GHS07'], hazards: ['H314 Causes burns', 'H317 May cause an allergic skin reaction'], precautions: ['P280 Wear gloves'],
    supplier: { name: 'Harbour Resins', address: '1 Quay', phone: '+00 1' },
  }
  test('has all six, or says which it lacks', () => {
    expect(labelOf([part])).toEqual({
      identifier: 'Hardener', signalWord: 'Danger', hazards: part.hazards, pictograms: ['GHS05', 'GHS07'], precautions: part.precautions, suppliers: [part.supplier], isHazardous: true, missing: [],
    })
    const bare = { name: 'Hardener', signalWord: '', pictograms: [], hazards: ['H317'], precautions: [], supplier: null }
    expect(labelOf([bare]).missing).toEqual(['the signal word', 'the pictograms', 'the precautionary statements', 'the supplier’s name, address and telephone'])
    expect(labelOf([{ ...part, name: '' }]).missing).toEqual(['the name of the product'])
    expect(labelOf([{ ...part, hazards: [] }]).missing).toEqual(['the hazard statements'])
    expect(labelOf([{ ...part, supplier: { ...part.supplier!, phone: '' } }]).missing).toEqual(['the supplier’s name, address and telephone'])
  })
  test('at most one signal word, Danger wins; no pictogram twice', () => {
    const resin = { ...part, name: 'Resin', signalWord: 'Warning', pictograms: ['GHS09', 'GHS07', 'GHS07'], hazards: ['H317 May cause an allergic skin reaction'] }
    const mix = labelOf([resin, part])
    expect([mix.identifier, mix.signalWord, mix.pictograms]).toEqual(['Resin + Hardener', 'Danger', ['GHS05', 'GHS07', 'GHS09']])
    expect(mix.hazards).toEqual(['H317 May cause an allergic skin reaction', 'H314 Causes burns'])
    expect(labelOf([{ ...part, signalWord: 'warning, DANGER' }]).signalWord).toBe('Danger')
    expect(labelOf([{ ...part, signalWord: 'Caution' }]).signalWord).toBe('')
  })
  test('what has no hazard has no label and lacks nothing', () => {
    expect(labelOf([{ name: 'Brush', signalWord: '', pictograms: [], hazards: [], precautions: [], supplier: null }])).toMatchObject({ isHazardous: false, missing: [] })
  })
})

describe('items', () => {
  test('are kept as typed, with label elements and packs', async () => {
    const supplier = await club.db.supplier.create({ data: { name: 'Quay Stores', address: '1 Quay', phone: '+00 1' } })
    const answer = await keeper.post('/stores/items/new', sent({
      density: '1,13', safety: '2 kg', shelfLifeDays: '730', supplierId: supplier.id, signalWord: 'Warning', pictograms: ['GHS09', 'GHS07', 'GHS07'], hazards: 'H315 a\n\nH317 b\nH315 a', precautions: 'P280 c',
    }))
    expect(answer.statusCode).toBe(303)
    const row = await club.db.item.findUniqueOrThrow({ where: { name: 'Some resin' } })
    expect([row.density, Number(row.safetyMilli), row.shelfLifeDays, row.pictograms, row.hazards]).toEqual([1.13, 2_000_000, 730, ['GHS07', 'GHS09'], ['H315 a', 'H317 b']])
    const at = `/stores/items/${row.id}`
    expect((await keeper.post(`${at}/packs`, { name: '6 kg can', amount: '6 kg', price: '89,50' })).statusCode).toBe(303)
    const pack = await club.db.itemPack.findFirstOrThrow({ where: { itemId: row.id } })
    expect([Number(pack.qtyMilli), pack.priceCents]).toEqual([6_000_000, 8950])
    const wrong = await keeper.post(`${at}/packs`, { name: 'litre', amount: '1 sheet', price: '5' })
    expect(wrong.statusCode).toBe(422)
    expect(words(wrong.body)).toContain('Holds: “1 sheet” is in sheet, but this is kept in g')
    expect(wrong.body).toContain('value="1 sheet"')
    const page = words((await keeper.get(`${at}/edit`)).body)
    expect(page).toContain('Some resin : Warning')
    expect(page).toContain('6 kg can: 6 kg, €89.50')
    expect(page).toContain('Quay Stores · 1 Quay · +00 1')
  })
  test('a name that differs by capitals only is taken; a wrong figure keeps what was typed and changes nothing', async () => {
    const before = await club.db.item.count()
    const taken = await keeper.post('/stores/items/new', sent({ name: 'SOME RESIN' }))
    expect(taken.statusCode).toBe(422)
    expect(words(taken.body)).toContain('Name: taken')
    for (const [over, message] of [[{ density: 'heavy' }, 'Density: a number from'], [{ safety: '3 ml' }, 'Safety stock: “3 ml” is in ml, but this is kept in g'], [{ unit: 'barrel' }, 'Kept in: choose']] as const) {
      const answer = await keeper.post('/stores/items/new', sent({ name: 'Wrong one', ...over }))
      expect(answer.statusCode).toBe(422)
      expect(words(answer.body)).toContain(message)
      expect(answer.body).toContain('value="Wrong one"')
    }
    expect(await club.db.item.count()).toBe(before)
  })
  test('the unit stays once there is a lot; a stale edit shows both', async () => {
    const item = await club.make.item({ name: 'Counted resin', unit: 'g' })
    await club.make.lot({ itemId: item.id })
    const other = await keeper.post(`/stores/items/${item.id}/edit`, sent({ name: 'Counted resin', unit: 'ml', version: '1' }))
    expect(other.statusCode).toBe(422)
    expect(words(other.body)).toContain('already told in g')
    expect((await keeper.post(`/stores/items/${item.id}/edit`, sent({ name: 'Counted resin', shelf: 'A', version: '1' }))).statusCode).toBe(303)
    const stale = await keeper.post(`/stores/items/${item.id}/edit`, sent({ name: 'Counted resin', shelf: 'B', version: '1' }))
    expect(stale.statusCode).toBe(409)
    expect(words(stale.body)).toContain('Stored meanwhile: A')
  })
  test('an item that open tasks need is not retired', async () => {
    const item = await club.make.item()
    const build = await club.make.build()
    const phase = await club.make.phase(build.id)
    await club.db.task.create({
      data: { buildId: build.id, phaseId: phase.id, name: 'Coat', position: 1, kind: 'shared', workLowMin: 1, workLikelyMin: 2, workHighMin: 3, materials: { create: { name: 'Resin', unit: 'g', low: 1, likely: 1, high: 1, itemId: item.id } } },
    })
    const answer = await keeper.post(`/stores/items/${item.id}/active`, { version: '1', isActive: 'no' })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('An open task needs')
    await club.db.task.updateMany({ where: { buildId: build.id }, data: { finishedAt: new Date() } })
    expect((await keeper.post(`/stores/items/${item.id}/active`, { version: '1', isActive: 'no' })).statusCode).toBe(303)
  })
  test('the usual items go in once, each says that it is from memory, and systems are made of them', async () => {
    await keeper.post('/stores/cure-products/usual')
    expect((await keeper.post('/stores/items/usual')).statusCode).toBe(303)
    const count = await club.db.item.count()
    expect((await keeper.post('/stores/items/usual')).statusCode).toBe(303)
    expect(await club.db.item.count()).toBe(count)
    const resin = await club.db.item.findUniqueOrThrow({ where: { name: 'Epoxy resin' } })
    expect(resin.note).toContain('from memory')
    expect(await club.db.system.count({ where: { resinItemId: resin.id } })).toBe(3)
  })
  test('they are the storekeeper’s', async () => {
    const builder = await club.signedIn(['builder'])
    expect([(await builder.get('/stores/items/new')).statusCode, (await builder.post('/stores/items/new', sent({ name: 'X' }))).statusCode]).toEqual([403, 403])
  })
})

describe('systems', () => {
  test('name a resin and a hardener that can be weighed', async () => {
    const product = await club.db.cureProduct.findUniqueOrThrow({ where: { name: 'Spar varnish' } })
    const [resin, hardener, sheets] = [await club.make.item(), await club.make.item({ kind: 'hardener' }), await club.make.item({ kind: 'ply', unit: 'pcs' })]
    const at = `/stores/cure-products/${product.id}/system`
    const form = { resinItemId: resin.id, hardenerItemId: hardener.id, batchLimit: '300', scaleStep: '1', version: '0' }
    const wrong = await keeper.post(at, { ...form, hardenerItemId: sheets.id })
    expect(words(wrong.body)).toContain('is kept in pieces; a part of a mix is kept in g or ml')
    expect(words((await keeper.post(at, { ...form, hardenerItemId: resin.id })).body)).toContain('another item than the resin')
    expect(words((await keeper.post(at, { ...form, strokeResin: '20' })).body)).toContain('both strokes, or neither')
    expect((await keeper.post(at, { ...form, scaleStep: '0.1' })).statusCode).toBe(303)
    const row = await club.db.system.findUniqueOrThrow({ where: { productId: product.id } })
    expect([Number(row.batchLimitMg), Number(row.scaleStepMg)]).toEqual([300_000, 100])
    expect((await keeper.post(at, form)).statusCode).toBe(409)
    expect((await keeper.post(`${at}/drop`, { version: '1' })).statusCode).toBe(303)
    expect(await club.db.system.count({ where: { productId: product.id } })).toBe(0)
  })
})
