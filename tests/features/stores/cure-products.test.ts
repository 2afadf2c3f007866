import { describe, expect, test } from 'vitest'
import { defaultCureProducts } from '../../../src/features/stores/public.ts'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const words = (html: string) => html.replace(/<[^>]+>/g, ' ').replaceAll('&amp;', '&').replaceAll('&#39;', "'").replace(/\s+/g, ' ')

const sheet = (over: Record<string, string> = {}): Record<string, string> => ({
  name: 'Test resin', kind: 'epoxy', source: 'data sheet of March 2026', referenceTemp: '20', workable: '45 min', dustFree: '2 h', opens: '4 h', closes: '12', closesCap: '', sandable: '16',
  handleable: '14', fullCure: '7 d', filmEnergyLow: '18', filmEnergyHigh: '55', potEnergy: '55', cureFloor: '5', minAir: '10', maxAir: '32', maxHumidity: '85', dewPointMargin: '3',
  potLifeMin: '20', potMassG: '100', potTemp: '20', ratioA: '100', ratioB: '44', ratioBy: 'mass', densityA: '1.13', densityB: '1', dustSensitive: 'on', ...over,
})

describe('cure products', () => {
  test('figures are kept as they were typed, and reckoned for other temperatures', async () => {
    const keeper = await club.signedIn(['storekeeper'])
    const answer = await keeper.post('/stores/cure-products/new', sheet())
    expect(answer.statusCode).toBe(303)
    const row = await club.db.cureProduct.findUniqueOrThrow({ where: { name: 'Test resin' } })
    expect([row.workableMin, row.opensMin, row.closesMin, row.fullCureMin]).toEqual([45, 240, 720, 10080])
    const page = words((await keeper.get(String(answer.headers.location))).body)
    // At 20 °C the sheet itself. At 12 °C by the Arrhenius rate (form of ASTM C1074, second-hand), the later of 18 and 55 kJ/mol:
    // exp(-55000/8.314 (1/285.15 - 1/293.15)) = exp(-6615.3 x 9.5702e-5) = 0.5309; 240 / 0.5309 = 452.03 -> 453 min = 7 h 33.
    // At 8 °C: exp(-6615.3 x 1.45603e-4) = 0.3817; 240 / 0.3817 = 628.8 -> 629 min = 10 h 29. At 15 °C: exp(-6615.3 x 5.9190e-5) = 0.6760; 355.03 -> 356 min = 5 h 56.
    expect(page).toContain('Window opens 10 h 29 7 h 33 5 h 56 4 h')
    // Shuts by the earlier: at 25 °C exp(6615.3 x 5.7206e-5) = 1.4600; 720 / 1.4600 = 493.2 -> 493 min = 8 h 13.
    expect(page).toMatch(/Window shuts( \d+ h( \d\d)?){4} 8 h 13/)
    // 8 °C is below "at least 10".
    expect(page).toMatch(/May be put on too cold yes/)
  })

  test.each([
    ['closes', { closes: '3 h' }, 'shuts before it opens'],
    ['closesCap', { closesCap: '4 h' }, 'shuts before it opens'],
    ['ratioBy', { ratioBy: '' }, 'by mass or by volume'],
    ['potMassG', { potMassG: '' }, 'without the mass'],
    ['potTemp', { potTemp: '' }, 'without its temperature'],
    ['source', { source: '' }, 'where the figures come from'],
    ['opens', { opens: 'soon' }, '“soon” is no time'],
    ['filmEnergyHigh', { filmEnergyHigh: '10' }, 'below least'],
  ])('a wrong figure at %s is told at its field, keeps what was typed and changes nothing', async (_field, over, message) => {
    const keeper = await club.signedIn(['storekeeper'])
    const before = await club.db.cureProduct.count()
    const answer = await keeper.post('/stores/cure-products/new', sheet({ name: 'Wrong one', ...over }))
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain(message)
    expect(answer.body).toContain('value="Wrong one"')
    expect(await club.db.cureProduct.count()).toBe(before)
  })

  test('a stale edit is refused and shows both values', async () => {
    const keeper = await club.signedIn(['storekeeper'])
    await keeper.post('/stores/cure-products/new', sheet({ name: 'Twice edited' }))
    const { id } = await club.db.cureProduct.findUniqueOrThrow({ where: { name: 'Twice edited' } })
    expect((await keeper.post(`/stores/cure-products/${id}/edit`, { ...sheet({ name: 'Twice edited', opens: '5 h' }), version: '1' })).statusCode).toBe(303)
    const stale = await keeper.post(`/stores/cure-products/${id}/edit`, { ...sheet({ name: 'Twice edited', opens: '6 h' }), version: '1' })
    expect(stale.statusCode).toBe(409)
    expect(stale.body).toContain('value="6 h"')
    expect(words(stale.body)).toContain('Stored meanwhile: 5 h')
    expect((await club.db.cureProduct.findUniqueOrThrow({ where: { id } })).opensMin).toBe(300)
  })

  test('the usual products go in once, each with a source and, where it cures with isocyanates, its caution', async () => {
    const keeper = await club.signedIn(['storekeeper'])
    await keeper.post('/stores/cure-products/usual')
    const again = await keeper.post('/stores/cure-products/usual')
    expect(again.statusCode).toBe(303)
    for (const p of defaultCureProducts) {
      const row = await club.db.cureProduct.findUniqueOrThrow({ where: { name: p.name } })
      expect(row.source.length).toBeGreaterThan(10)
      const page = await keeper.get(`/stores/cure-products/${row.id}`)
      expect(page.statusCode).toBe(200)
      if (p.name.includes('polyurethane')) expect(words(page.body)).toContain('never spray here')
      // Every default can be edited as it stands: its own form takes its own figures.
      const form = await keeper.get(`/stores/cure-products/${row.id}/edit`)
      expect(form.statusCode).toBe(200)
    }
    const page = words((await keeper.get('/stores/cure-products')).body)
    expect(page).toContain('from memory')
  })

  test('a builder may read the figures and not change them', async () => {
    const builder = await club.signedIn(['builder'])
    expect((await builder.get('/stores/cure-products')).statusCode).toBe(200)
    expect((await builder.get('/stores/cure-products/new')).statusCode).toBe(403)
    expect((await builder.post('/stores/cure-products/new', sheet({ name: 'By a builder' }))).statusCode).toBe(403)
  })
})
