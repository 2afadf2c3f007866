import { describe, expect, test } from 'vitest'
import { openShelf, amount, shown, type Fields } from './shelf.ts'
import { words } from './support.ts'

const { club, builder, task, url, draw, left, entries, needsOf } = await openShelf()

describe('when book and can differ', () => {
  test('a refused draw says what is left and offers to weigh the can; the difference waits for the storekeeper, then the draw, in one step', async () => {
    const item = await club.make.item({ name: 'Resin W' })
    const lot = await club.make.lot({ itemId: item.id, qty: 80_000, cents: 400 })
    const id = await task([{ itemId: item.id, likely: 120 }])
    const refusal = await draw(id, { [amount(item.id)]: '120' })
    expect(refusal.statusCode).toBe(422)
    const text = words(refusal.body)
    expect(text).toContain('80 g')
    expect(text).toContain('Weigh it')
    expect(refusal.body).toContain(`name="weighed.s.${item.id}"`)
    // There is only one can: it need not be chosen.
    expect(shown(refusal.body, `weighedLot.s.${item.id}`)).toBe(lot.id)
    const booked = await draw(id, { [amount(item.id)]: '120', [`weighedLot.s.${item.id}`]: lot.id, [`weighed.s.${item.id}`]: '150' })
    expect(booked.statusCode, words(booked.body)).toBe(303)
    // 150 found where the book had 80: 70 more, then 120 drawn, 30 left.
    expect(await left(lot.id)).toBe(30_000)
    const all = await club.db.stockEntry.findMany({ where: { lotId: lot.id }, orderBy: { seq: 'asc' }, include: { review: true } })
    expect(all.map((e) => [e.kind, Number(e.qtyMilli), e.review])).toEqual([['receipt', 80_000, null], ['stocktake', 70_000, null], ['draw', -120_000, null]])
  })

  test('weighed with the can, its empty weight is taken off; still too little is refused again', async () => {
    const item = await club.make.item({ name: 'Hardener W', kind: 'hardener' })
    const lot = await club.make.lot({ itemId: item.id, qty: 10_000, tareMg: 85_000n })
    const id = await task([{ itemId: item.id, likely: 120 }])
    const fields = (figure: string): Fields => ({ [amount(item.id)]: '120', [`weighedLot.s.${item.id}`]: lot.id, [`weighed.s.${item.id}`]: figure, [`gross.s.${item.id}`]: 'on' })
    // 185 g on the scale less 85 g of can: 100 g, less than the 120 asked for.
    const less = await draw(id, fields('185'))
    expect(less.statusCode).toBe(422)
    expect(words(less.body)).toContain('100 g')
    const can = await draw(id, fields('60'))
    expect(words(can.body)).toContain('weighs 85 g by itself: look at the scale again')
    expect(await left(lot.id)).toBe(10_000)
    expect((await draw(id, fields('235'))).statusCode).toBe(303)
    // 235 - 85 = 150 in it, 30 left.
    expect(await left(lot.id)).toBe(30_000)
  })

  test('weighed without saying which can is refused at the field', async () => {
    const item = await club.make.item({ name: 'Resin X' })
    await club.make.lot({ itemId: item.id, qty: 1000 })
    await club.make.lot({ itemId: item.id, qty: 2000 })
    const id = await task([{ itemId: item.id, likely: 50 }])
    const answer = await draw(id, { [amount(item.id)]: '50', [`weighed.s.${item.id}`]: '80', [`weighedLot.s.${item.id}`]: '' })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('Resin X: choose the can that was weighed')
  })
})

describe('the can before and after', () => {
  const weigh = (taskId: string, fields: Fields) => builder.post(url(taskId, '/draw/weigh'), fields)

  test('books the difference, in the item’s own unit', async () => {
    // 1.25 g/cm³: a can that loses 100 g lost 80 ml.
    const item = await club.make.item({ name: 'Primer V', kind: 'paint', unit: 'ml', density: 1.25 })
    const lot = await club.make.lot({ itemId: item.id, qty: 750_000 })
    const id = await task([{ itemId: item.id, likely: 90, unit: 'ml', structural: false }])
    const answer = await weigh(id, { key: `a.${item.id}`, before: '1,2 kg', after: '1100' })
    expect(answer.statusCode, words(answer.body)).toBe(303)
    expect(await left(lot.id)).toBe(670_000)
    expect((await entries(id))[0]).toMatchObject({ qtyMilli: -80_000n, why: 'Can before 1.2 kg, after 1.1 kg' })
    expect(await needsOf(id)).toEqual([{ materialId: item.id, amount: 10_000, structural: false }])
  })

  test.each<[string, Fields, string]>([
    ['swapped', { before: '500', after: '600' }, 'were the two figures swapped?'],
    ['the same', { before: '500', after: '500' }, 'nothing was taken'],
    ['nothing before', { before: '', after: '500' }, 'Before: say how much'],
    ['what was poured is not said', { before: '600', after: '500', key: '' }, 'Choose what was poured'],
  ])('%s is refused at its field', async (_name, fields, message) => {
    const item = await club.make.item()
    await club.make.lot({ itemId: item.id, qty: 750_000 })
    const id = await task([{ itemId: item.id, likely: 90 }])
    const answer = await weigh(id, { key: `s.${item.id}`, ...fields })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain(message)
    expect(await entries(id)).toEqual([])
  })

  test('a can of another item is named, and nothing is booked', async () => {
    const [resin, hardener] = [await club.make.item({ name: 'Resin Z' }), await club.make.item({ name: 'Hardener Z' })]
    const [mine, other] = [await club.make.lot({ itemId: resin.id, qty: 500_000 }), await club.make.lot({ itemId: hardener.id, qty: 500_000 })]
    const id = await task([{ itemId: resin.id, likely: 90 }])
    const answer = await weigh(id, { key: `s.${resin.id}`, lot: other.id, before: '600', after: '500' })
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('is Hardener Z, not Resin Z: which was poured?')
    expect([await left(mine.id), await left(other.id)]).toEqual([500_000, 500_000])
  })

  test('more than the book has is refused, and the can’s own weight makes it good', async () => {
    const item = await club.make.item({ name: 'Resin Y' })
    const lot = await club.make.lot({ itemId: item.id, qty: 60_000, tareMg: 100_000n })
    const id = await task([{ itemId: item.id, likely: 90 }])
    const short = await weigh(id, { key: `s.${item.id}`, before: '400', after: '300' })
    expect(short.statusCode).toBe(422)
    expect(short.body).toContain('name="weighedLot"')
    const good = await weigh(id, { key: `s.${item.id}`, before: '400', after: '300', weighedLot: lot.id, weighed: '400', gross: 'on' })
    expect(good.statusCode, words(good.body)).toBe(303)
    // 400 - 100 of can = 300 in it, 100 drawn.
    expect(await left(lot.id)).toBe(200_000)
  })
})
