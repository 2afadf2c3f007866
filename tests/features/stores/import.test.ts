import { describe, expect, test } from 'vitest'
import { testClub } from '../../support/app.ts'

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const keeper = await club.signedIn(['storekeeper'], { name: 'Store Keeper' })
const words = (html: string) => html.replace(/<[^>]+>/g, ' ').replaceAll('&amp;', '&').replaceAll('&quot;', '"').replaceAll('&#39;', "'").replace(/\s+/g, ' ')
const bringIn = (kind: string, text: string, more: Record<string, string> = {}) => keeper.post(`/stores/import/${kind}`, { text, do: 'import', ...more })
const look = (kind: string, text: string) => keeper.post(`/stores/import/${kind}`, { text, do: 'check' })
const counts = async () => [await club.db.item.count(), await club.db.lot.count(), await club.db.stockEntry.count(), await club.db.supplier.count(), await club.db.planRequest.count()]
const csv = (...lines: string[]) => `${lines.join('\r\n')}\r\n`

describe('items by list', () => {
  test('a preview says what each line does and changes nothing; then it comes in whole', async () => {
    const text = csv(
      'name,kind,unit,density,lead_days,safety,supplier,signal_word,pictograms,hazards,pack,pack_amount,pack_price',
      'List resin,resin,g,1.13,10,2000,Harbour Resins,"Warning, Danger",GHS09 GHS07 GHS07,"H315 x\nH317 y",6 kg can,6 kg,89.50',
      'List resin,,,,,,,,,,1 kg can,1000,"19,90"',
      'List gloves,protective,pcs,,,,,,,,,,',
    )
    const before = await counts()
    const preview = words((await look('items', text)).body)
    expect(preview).toContain('3 lines can be brought in. Nothing is booked yet.')
    // The first record has a line break in it: lines 2 and 3 of the file.
    expect(preview).toContain('2 a new item, List resin; a new pack of List resin, 6 kg can')
    expect(preview).toContain('4 a new pack of List resin, 1 kg can')
    expect(await counts()).toEqual(before)

    expect((await bringIn('items', text)).statusCode).toBe(303)
    const row = await club.db.item.findUniqueOrThrow({ where: { name: 'List resin' }, include: { packs: { orderBy: { qtyMilli: 'asc' } }, supplier: true } })
    expect([row.density, row.leadDays, Number(row.safetyMilli), row.supplier?.name]).toEqual([1.13, 10, 2_000_000, 'Harbour Resins'])
    // GHS: one signal word, Danger wins; no pictogram twice.
    expect([row.signalWord, row.pictograms, row.hazards]).toEqual(['Danger', ['GHS07', 'GHS09'], ['H315 x', 'H317 y']])
    expect(row.packs.map((p) => [p.name, Number(p.qtyMilli), p.priceCents])).toEqual([['1 kg can', 1_000_000, 1990], ['6 kg can', 6_000_000, 8950]])
  })

  test('what went out comes in again without a change', async () => {
    await keeper.post('/stores/items/usual')
    await club.db.item.create({ data: { name: "=4' 5\", odd", kind: 'other', unit: 'pcs', shelf: '-3', note: 'two\r\nlines, and a comma' } })
    const before = await club.db.item.findMany({ orderBy: { name: 'asc' } })
    const out = (await keeper.get('/stores/export/items.csv')).body
    expect(out).toContain(`"'=4' 5"", odd"`)
    expect((await bringIn('items', out)).statusCode).toBe(303)
    expect(await club.db.item.findMany({ orderBy: { name: 'asc' } })).toEqual(before)
  })

  test('only the columns of the list change', async () => {
    expect((await bringIn('items', csv('name,shelf', 'list resin,Rack 2'))).statusCode).toBe(303)
    const row = await club.db.item.findUniqueOrThrow({ where: { name: 'List resin' } }).catch(() => club.db.item.findUniqueOrThrow({ where: { name: 'list resin' } }))
    expect([row.shelf, row.density, row.leadDays]).toEqual(['Rack 2', 1.13, 10])
  })
})

describe('lots by list', () => {
  test('half-used cans are opening balances: a receipt at what is left and what that is worth', async () => {
    const item = await club.make.item({ name: 'Opening resin', unit: 'g', shelfLifeDays: 365 })
    const text = csv(
      'item,lot_code,received_on,opened_on,expires_on,state,tare_g,amount,unit,value,note',
      'Opening resin,A-1,2026-01-10,2026-02-01,,,350,1250.5,g,18.76,half used',
      'opening resin,B-2,2025-01-10,,none,test first,,2 kg,,0,',
    )
    expect(words((await look('lots', text)).body)).toContain('2 a lot of Opening resin: 1.251 kg')
    expect((await bringIn('lots', text)).statusCode).toBe(303)
    const lots = await club.db.lot.findMany({ where: { itemId: item.id }, include: { entries: true, balances: true }, orderBy: { number: 'asc' } })
    expect(lots.map((l) => [l.code, l.state, l.openedOn?.toISOString().slice(0, 10) ?? null, l.expiresOn?.toISOString().slice(0, 10) ?? null, Number(l.tareMg)])).toEqual([
      // 10 January 2026 and 365 days of shelf life.
      ['A-1', 'fresh', '2026-02-01', '2027-01-10', 350_000],
      ['B-2', 'test_first', null, null, 0],
    ])
    expect(lots.map((l) => l.entries.map((e) => [e.kind, Number(e.qtyMilli), e.valueCents]))).toEqual([[['receipt', 1_250_500, 1876]], [['receipt', 2_000_000, 0]]])
  })

  test('a broken line 37 changes nothing and says why', async () => {
    await club.make.item({ name: 'Line resin', unit: 'g' })
    // One line of headings, 35 good lines, then line 37.
    const good = Array.from({ length: 35 }, (_, at) => `Line resin,L${at},2026-05-01,100,g,1.00`)
    const head = 'item,lot_code,received_on,amount,unit,value'
    const before = await counts()
    for (const [line, message] of [
      ['Line resin,X,2026-05-01,100,ml,1.00', 'line 37: this is in ml, but Line resin is kept in g'],
      ['Line resin,X,2026-07-01,100,g,1.00', 'line 37: That day is still to come'],
      ['Line resin,X,2026-05-01,"1,250",g,1.00', 'line 37: amount: “1,250” can be read in two ways: write 1250 or 1.250'],
      ['Line resin,X,1 May,100,g,1.00', 'line 37: received_on: “1 May” is no date'],
      ['Nobody knows,X,2026-05-01,100,g,1.00', 'line 37: there is no item called “Nobody knows”'],
      ['Line resin,X,2026-05-01,100,g', 'line 37: 5 cells, but the first line names 6 columns'],
      ['Line resin,"X,2026-05-01,100,g,1.00', 'line 37: a quotation mark is opened here and never closed'],
      ['Line resin,X,2026-05-01,-5,g,1.00', 'line 37: amount: “-5” is below nothing'],
      ['Line resin,X,2026-05-01,100,g,', 'line 37: value: say what it cost'],
    ] as const) {
      const text = csv(head, ...good, line, 'Line resin,Z,2026-05-02,100,g,1.00')
      const answer = await bringIn('lots', text)
      expect(answer.statusCode).toBe(422)
      expect(words(answer.body)).toContain(message)
      expect(answer.body).toContain('Line resin,L0,2026-05-01')
      expect(await counts()).toEqual(before)
      expect(words((await look('lots', text)).body)).toContain(message)
      expect(await counts()).toEqual(before)
    }
  })

  test('the same list twice books once, unless somebody says that it happened twice', async () => {
    const item = await club.make.item({ name: 'Twice resin', unit: 'g' })
    const text = csv('item,received_on,amount,value', 'Twice resin,2026-05-01,100,1.00')
    const key = club.make.once()
    expect((await bringIn('lots', text, { once: key })).statusCode).toBe(303)
    // The form sent again after a lost signal.
    expect((await bringIn('lots', text, { once: key })).statusCode).toBe(303)
    expect(await club.db.lot.count({ where: { itemId: item.id } })).toBe(1)
    // The list in a new form, with other line ends.
    const again = await bringIn('lots', text.replaceAll('\r\n', '\n'))
    expect(again.statusCode).toBe(422)
    expect(words(again.body)).toContain('This very list was brought in already, on 2026-06-06')
    expect(await club.db.lot.count({ where: { itemId: item.id } })).toBe(1)
    expect((await bringIn('lots', text, { again: 'on' })).statusCode).toBe(303)
    expect(await club.db.lot.count({ where: { itemId: item.id } })).toBe(2)
  })

  test('what is there goes out with its worth, to the cent', async () => {
    const item = await club.make.item({ name: 'Worth resin', unit: 'g' })
    for (const qty of [1000, 1000, 1000]) await club.make.lot({ itemId: item.id, qty, cents: 0 })
    await club.make.lot({ itemId: item.id, qty: 7000, cents: 1000 })
    const out = (await keeper.get('/stores/export/lots.csv')).body
    // 1000 cents over 1, 1, 1 and 7 g of one pool: 1.00, 1.00, 1.00, 7.00.
    expect(out.split('\r\n').filter((line) => line.includes('Worth resin')).map((line) => line.split(',').slice(10, 13).join(' '))).toEqual(['1 g 1.00', '1 g 1.00', '1 g 1.00', '7 g 7.00'])
  })
})

describe('past entries by list', () => {
  const head = 'on_date,kind,item,lot,amount,value,build,charged_to,why'

  test('IAS 2 by the workbook (F1 Integrated Workbook 2018, ch. 14, read): a perpetual average of 16, then 19', async () => {
    const item = await club.make.item({ name: 'Workbook unit', unit: 'pcs' })
    const build = await club.make.build({ name: 'Listed boat' })
    const text = csv(
      head,
      '2026-01-01,receipt,Workbook unit,1,200,3000,,,',
      '2026-01-02,receipt,Workbook unit,2,100,1800,,,',
      '2026-01-03,draw,Workbook unit,,250,,Listed boat,,sold',
      '2026-01-04,receipt,Workbook unit,3,150,3000,,,',
    )
    expect((await bringIn('entries', text)).statusCode).toBe(303)
    const account = await club.db.stockAccount.findFirstOrThrow({ where: { itemId: item.id } })
    // (200 x 15 + 100 x 18) / 300 = 16; 50 left at 16 = 800; 800 + 150 x 20 = 3800 for 200.
    expect([Number(account.qtyMilli), Number(account.valueCents)]).toEqual([200_000, 380_000])
    const draws = await club.db.stockEntry.findMany({ where: { itemId: item.id, kind: 'draw' } })
    expect(draws.reduce((sum, e) => sum + e.valueCents, 0)).toBe(-400_000)
    expect(new Set(draws.map((e) => e.buildId))).toEqual(new Set([build.id]))
    expect(draws[0]!.onDate.toISOString().slice(0, 10)).toBe('2026-01-03')
  })

  test('a draw below nothing reads as what left, and goes to the lot with the receipt’s number', async () => {
    const item = await club.make.item({ name: 'Numbered', unit: 'g' })
    const text = csv(head, '2026-02-01,receipt,Numbered,77,100,1,,,', '2026-02-01,receipt,Numbered,78,100,1,,,', '2026-02-02,draw,Numbered,78,-40,,,,')
    expect((await bringIn('entries', text)).statusCode).toBe(303)
    const left = await club.db.lotBalance.findMany({ where: { lot: { itemId: item.id } }, orderBy: { lot: { number: 'asc' } } })
    expect(left.map((b) => Number(b.qtyMilli))).toEqual([100_000, 60_000])
  })

  test('more drawn than there was, lines out of order and other kinds are refused at their line', async () => {
    await club.make.item({ name: 'Short', unit: 'g' })
    const before = await counts()
    for (const [lines, message] of [
      [['2026-02-01,receipt,Short,,100,1,,,', '2026-02-02,draw,Short,,101,,,,'], 'line 3: Only 100 g of Short is left by the book'],
      [['2026-02-02,receipt,Short,,100,1,,,', '2026-02-01,draw,Short,,1,,,,'], 'line 3: 2026-02-01 is before the line above (2026-02-02)'],
      [['2026-02-02,reversal,Short,,100,1,,,'], 'line 2: kind: “reversal” can’t be brought in'],
      [['2026-02-02,draw,Short,,1,1,No such boat,,'], 'line 2: there is no build called “No such boat”'],
    ] as const) {
      const answer = await bringIn('entries', csv(head, ...lines))
      expect(answer.statusCode).toBe(422)
      expect(words(answer.body)).toContain(message)
      expect(await counts()).toEqual(before)
    }
  })

  test('the ledger goes out in booking order, negative amounts as numbers', async () => {
    const out = (await keeper.get('/stores/export/entries.csv')).body
    const lines = out.split('\r\n').filter((line) => line.includes('Workbook unit')).map((line) => line.split(','))
    expect(lines.map((cells) => cells[2])).toEqual(['receipt', 'receipt', 'draw', 'draw', 'receipt'])
    expect(lines.filter((cells) => cells[2] === 'receipt').map((cells) => [cells[6], cells[8]])).toEqual([['200', '3000.00'], ['100', '1800.00'], ['150', '3000.00']])
    // 250 at 16, from two lots.
    const drawn = lines.filter((cells) => cells[2] === 'draw')
    expect([6, 8].map((at) => drawn.reduce((sum, cells) => sum + Number(cells[at]), 0))).toEqual([-250, -4000])
  })

  test('lists are the storekeeper’s', async () => {
    const builder = await club.signedIn(['builder'])
    expect((await builder.get('/stores/import')).statusCode).toBe(403)
    expect((await builder.get('/stores/export/entries.csv')).statusCode).toBe(403)
    expect((await builder.post('/stores/import/lots', { text: 'x', do: 'import' })).statusCode).toBe(403)
  })
})
