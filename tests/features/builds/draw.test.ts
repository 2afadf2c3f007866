import { describe, expect, test } from 'vitest'
import { logBatch } from '../../../src/features/stores/public.ts'
import { transact } from '../../../src/platform/database.ts'
import { openShelf, amount, shown, type Fields } from './shelf.ts'
import { words } from './support.ts'

const { club, builder, keeper, buildId, task, url, draw, left, entries, needsOf } = await openShelf()

describe('two taps from the task', () => {
  test('the first opens the page with the need filled in, the second books it; the plan is told what is left', async () => {
    const item = await club.make.item({ name: 'Resin A', shelf: 'Cabinet A, top' })
    const lot = await club.make.lot({ itemId: item.id, qty: 1_000_000, cents: 2000 })
    const id = await task([{ itemId: item.id, likely: 300 }])
    expect((await needsOf(id))).toEqual([{ materialId: item.id, amount: 300_000, structural: true }])
    const page = await builder.get(url(id, ''))
    expect(page.body).toContain(`href="${url(id)}"`)
    const told = words(page.body)
    for (const text of ['Draw from stores', 'Resin A', 'Cabinet A, top', '300 g', '1 kg']) expect(told).toContain(text)
    const form = await builder.get(url(id))
    expect(shown(form.body, amount(item.id))).toBe('300')
    // Weighed: it became 287.5 g.
    const answer = await draw(id, { [amount(item.id)]: '287,5' })
    expect(answer.statusCode, words(answer.body)).toBe(303)
    expect(answer.headers.location).toBe(`${url(id, '')}#stores`)
    expect(await left(lot.id)).toBe(712_500)
    // Average cost: 2000 ct / 1000 g x 287.5 g = 575 ct.
    expect((await entries(id)).map((e) => [e.kind, Number(e.qtyMilli), e.valueCents, e.buildId, e.byId])).toEqual([['draw', -287_500, -575, buildId, builder.memberId]])
    // 300 - 287.5 = 12.5 g are still set aside until it is finished.
    expect(await needsOf(id)).toEqual([{ materialId: item.id, amount: 12_500, structural: true }])
    expect(words((await builder.get(url(id, ''))).body)).toContain('287.5 g')
    expect(shown((await builder.get(url(id))).body, amount(item.id))).toBe('12.5')
    await builder.post(url(id, '/finish'), {})
    expect(await needsOf(id)).toEqual([])
    // A late draw for a finished task is not filled in by itself.
    expect(shown((await builder.get(url(id))).body, amount(item.id))).toBe('')
  })

  test('several things are booked together or not at all, first expired first, and what is not taken is left empty', async () => {
    const [resin, tape] = [await club.make.item({ name: 'Resin B' }), await club.make.item({ name: 'Tape B', kind: 'tape', unit: 'm' })]
    const late = await club.make.lot({ itemId: resin.id, qty: 500_000, expiresOn: new Date('2027-06-01') })
    const soon = await club.make.lot({ itemId: resin.id, qty: 100_000, expiresOn: new Date('2026-08-01') })
    const roll = await club.make.lot({ itemId: tape.id, qty: 5000 })
    const id = await task([{ itemId: resin.id, likely: 250 }, { itemId: tape.id, likely: 7, unit: 'm' }])
    const short = await draw(id, { [amount(resin.id)]: '250', [amount(tape.id)]: '7' })
    expect(short.statusCode).toBe(422)
    expect(words(short.body)).toContain('5 m')
    expect(shown(short.body, amount(resin.id))).toBe('250')
    expect(await entries(id)).toEqual([])
    expect([await left(soon.id), await left(roll.id)]).toEqual([100_000, 5000])
    // First expired, first out: 100 g of the lot until August, 150 g of the other.
    expect((await draw(id, { [amount(resin.id)]: '250', [amount(tape.id)]: '' })).statusCode).toBe(303)
    expect([await left(soon.id), await left(late.id), await left(roll.id)]).toEqual([0, 350_000, 5000])
  })

  test('more than was reckoned can be taken: then nothing more is set aside, and no less than nothing', async () => {
    const item = await club.make.item({ name: 'Resin M' })
    await club.make.lot({ itemId: item.id, qty: 900_000 })
    const id = await task([{ itemId: item.id, likely: 300 }])
    expect((await draw(id, { [amount(item.id)]: '400' })).statusCode).toBe(303)
    expect(await needsOf(id)).toEqual([])
    expect(words((await builder.get(url(id))).body)).toContain('Needs 300 g, 400 g drawn · 500 g there')
  })

  test('another lot can be chosen, and something that the task does not ask for', async () => {
    const [cloth, flour] = [await club.make.item({ name: 'Cloth C', kind: 'cloth', unit: 'm2' }), await club.make.item({ name: 'Wood flour C', kind: 'filler' })]
    const first = await club.make.lot({ itemId: cloth.id, qty: 4000 })
    const second = await club.make.lot({ itemId: cloth.id, qty: 4000 })
    await club.make.lot({ itemId: flour.id, qty: 900_000 })
    const id = await task([{ itemId: cloth.id, likely: 1.5, unit: 'm2' }])
    const answer = await draw(id, { [amount(cloth.id)]: '1.5', [`lot.s.${cloth.id}`]: second.id, otherItem: flour.id, otherAmount: '0.05 kg', why: 'Fillet of the stem' })
    expect(answer.statusCode, words(answer.body)).toBe(303)
    expect([await left(first.id), await left(second.id)]).toEqual([4000, 2500])
    expect((await entries(id)).find((e) => e.itemId === flour.id)).toMatchObject({ qtyMilli: -50_000n, why: 'Fillet of the stem' })
    expect(words((await builder.get(url(id, ''))).body)).toContain('Also drawn: 50 g of Wood flour C')
  })

  test('millilitres are weighed: an amount in grams is booked by the density', async () => {
    const item = await club.make.item({ name: 'Primer G', kind: 'paint', unit: 'ml', density: 1.25 })
    const lot = await club.make.lot({ itemId: item.id, qty: 750_000 })
    const id = await task([{ itemId: item.id, likely: 100, unit: 'ml' }])
    // 125 g / 1.25 g/ml = 100 ml.
    expect((await draw(id, { [amount(item.id)]: '125 g' })).statusCode).toBe(303)
    expect(await left(lot.id)).toBe(650_000)
    expect(await needsOf(id)).toEqual([])
  })

  test('a member’s own stock can go into her, and the club’s stays as it was', async () => {
    const item = await club.make.item({ name: 'Resin O' })
    const id = await task([{ itemId: item.id, likely: 50 }])
    const theirs = await club.make.lot({ itemId: item.id, qty: 500_000 })
    expect((await builder.get(url(id))).body).not.toContain('name="whose"')
    const mine = await club.make.lot({ itemId: item.id, qty: 80_000, holderId: (await club.db.holder.create({ data: { memberId: builder.memberId } })).id })
    expect(words((await builder.get(url(id))).body)).toContain('Of your own: 80 g of Resin O')
    expect((await draw(id, { [amount(item.id)]: '50', whose: 'own' })).statusCode).toBe(303)
    expect([await left(theirs.id), await left(mine.id)]).toEqual([500_000, 30_000])
    expect(await needsOf(id)).toEqual([])
    const more = await draw(id, { [amount(item.id)]: '31', whose: 'own' })
    expect(more.statusCode).toBe(422)
    expect(words(more.body)).toContain('30 g')
    expect(await left(theirs.id)).toBe(500_000)
  })

  test('only one item is filled in when asked for', async () => {
    const [a, b] = [await club.make.item({ name: 'Only this' }), await club.make.item({ name: 'Not this' })]
    const id = await task([{ itemId: a.id, likely: 10 }, { itemId: b.id, likely: 20 }])
    const form = (await builder.get(`${url(id)}?item=${a.id}`)).body
    expect(shown(form, amount(a.id))).toBe('10')
    expect(shown(form, amount(b.id))).toBe('')
  })

  test('what need not carry load is taken from stock not fit for structure first; what must, never', async () => {
    const item = await club.make.item({ name: 'Resin D' })
    const old = await club.make.lot({ itemId: item.id, qty: 200_000, state: 'not_structural' })
    const fresh = await club.make.lot({ itemId: item.id, qty: 200_000 })
    const id = await task([{ itemId: item.id, likely: 100, structural: false }, { itemId: item.id, likely: 150, structural: true }])
    expect((await draw(id, { [amount(item.id)]: '150', [amount(item.id, 'a')]: '100' })).statusCode).toBe(303)
    expect([await left(old.id), await left(fresh.id)]).toEqual([100_000, 50_000])
    expect(await needsOf(id)).toEqual([])
    const more = await draw(id, { [amount(item.id)]: '60' })
    // 150 g are there, 100 of them not fit for structure.
    expect(words(more.body)).toContain('50 g')
    expect(more.statusCode).toBe(422)
  })
})

describe('what can’t be is refused in words, keeps what was typed and changes nothing', () => {
  test.each<[string, (id: string) => Fields, string]>([
    ['more than there is', (id) => ({ [amount(id)]: '101' }), '100 g'],
    ['no amount', (id) => ({ [amount(id)]: '' }), 'say how much was taken'],
    ['nought', (id) => ({ [amount(id)]: '0' }), 'say how much was taken'],
    ['words', (id) => ({ [amount(id)]: 'some' }), '“some” is no amount'],
    ['below nothing', (id) => ({ [amount(id)]: '-5' }), '“-5” is below nothing'],
    ['another unit', (id) => ({ [amount(id)]: '2 m' }), '“2 m” is in m, but this is kept in g'],
    ['two readings', (id) => ({ [amount(id)]: '1,250' }), 'can be read in two ways'],
    ['a day to come', (id) => ({ [amount(id)]: '5', onDate: '2026-06-07' }), 'That day is still to come'],
    ['something else without what', (id) => ({ [amount(id)]: '5', otherAmount: '3' }), 'Choose what else was taken'],
    ['something else without how much', (id) => ({ [amount(id)]: '5', otherItem: id, otherAmount: '' }), 'say how much'],
    ['a lot that is none', (id) => ({ [amount(id)]: '5', [`lot.s.${id}`]: 'abc' }), 'Choose from the list'],
  ])('%s', async (_name, fields, message) => {
    const item = await club.make.item()
    const lot = await club.make.lot({ itemId: item.id, qty: 100_000 })
    const id = await task([{ itemId: item.id, likely: 10 }])
    const answer = await draw(id, fields(item.id))
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain(message)
    expect(await entries(id)).toEqual([])
    expect(await left(lot.id)).toBe(100_000)
  })

  test('a helper outside the team can’t draw for her; an entry of another task is not reached through this one', async () => {
    const item = await club.make.item()
    await club.make.lot({ itemId: item.id, qty: 100_000 })
    const [id, other] = [await task([{ itemId: item.id, likely: 10 }]), await task([])]
    const stranger = await club.signedIn(['helper'])
    expect((await draw(id, { [amount(item.id)]: '5' }, stranger)).statusCode).toBe(403)
    await draw(id, { [amount(item.id)]: '5' })
    const [entry] = await entries(id)
    expect((await builder.post(url(other, `/draw/${entry!.id}/undo`), {})).statusCode).toBe(404)
    expect((await builder.post(url(other, `/draw/${entry!.id}/back`), { back: '1' })).statusCode).toBe(404)
    const elsewhere = (await club.make.build({}, [builder.memberId])).id
    expect((await builder.get(`/builds/${elsewhere}/tasks/${id}/draw`)).statusCode).toBe(404)
  })

  test('the same form sent twice books once', async () => {
    const item = await club.make.item()
    const lot = await club.make.lot({ itemId: item.id, qty: 100_000 })
    const id = await task([{ itemId: item.id, likely: 10 }])
    const fields = { [amount(item.id)]: '10', once: club.make.once() }
    const answers = await Promise.all([draw(id, fields), draw(id, fields)])
    expect(answers.map((a) => a.statusCode)).toEqual([303, 303])
    expect(await left(lot.id)).toBe(90_000)
  })
})

describe('what was booked', () => {
  test('part of it goes back into its lot at the cost it left at, never more than was drawn', async () => {
    const item = await club.make.item({ name: 'Cloth R', kind: 'cloth', unit: 'm2' })
    const lot = await club.make.lot({ itemId: item.id, qty: 10_000, cents: 5000 })
    const id = await task([{ itemId: item.id, likely: 4, unit: 'm2' }])
    await draw(id, { [amount(item.id)]: '4' })
    const [drawn] = await entries(id)
    const back = (figure: string) => builder.post(url(id, `/draw/${drawn!.id}/back`), { back: figure, why: 'Offcut' })
    const much = await back('4.5')
    expect(much.statusCode).toBe(422)
    expect(words(much.body)).toContain('At most 4 m² of this draw can come back')
    expect(much.body).toMatch(/name="back"[^>]*value="4\.5"/)
    expect((await back('1.5')).statusCode).toBe(303)
    // 5000 ct / 10 m² x 1.5 m² = 750 ct.
    expect((await entries(id)).map((e) => [e.kind, Number(e.qtyMilli), e.valueCents])).toEqual([['draw', -4000, -2000], ['return', 1500, 750]])
    expect(await left(lot.id)).toBe(7500)
    expect(await needsOf(id)).toEqual([{ materialId: item.id, amount: 1500, structural: true }])
  })

  test('a mistake is taken back by an entry of its own; the pair is shown together, and it goes once', async () => {
    const item = await club.make.item({ name: 'Resin U' })
    const lot = await club.make.lot({ itemId: item.id, qty: 100_000 })
    const id = await task([{ itemId: item.id, likely: 40 }])
    await draw(id, { [amount(item.id)]: '40' })
    const [drawn] = await entries(id)
    const undo = (as = builder) => as.post(url(id, `/draw/${drawn!.id}/undo`), {})
    expect((await undo()).statusCode).toBe(303)
    expect(await left(lot.id)).toBe(100_000)
    expect((await undo()).statusCode).toBe(409)
    const page = await builder.get(url(id))
    expect(page.body).toMatch(/<s>.*40 g.*<\/s>/)
    expect(words(page.body)).toContain('taken back by Ann Tern: Booked by mistake at the task')
    expect(page.body).not.toContain(`${drawn!.id}/undo`)
    // Nothing is drawn any more, so all of it is needed again.
    expect(await needsOf(id)).toEqual([{ materialId: item.id, amount: 40_000, structural: true }])
  })

  test('a part of a batch is drawn, and taken back with its batch only', async () => {
    const { productId, resinItemId, hardenerItemId } = await club.make.system()
    await club.db.cureProduct.update({ where: { id: productId }, data: { ratioA: 100, ratioB: 44, ratioBy: 'mass' } })
    await club.make.lot({ itemId: resinItemId, qty: 500_000 })
    await club.make.lot({ itemId: hardenerItemId, qty: 500_000 })
    const id = await task([{ productId, likely: 288 }], { productId })
    const logged = await transact(club.db, (tx) => logBatch(tx, club.make.ctx(builder.memberId), { productId, massMg: 144_000, buildId, taskId: id }))
    expect(logged.ok).toBe(true)
    // Of 288 g at 100:44, 200 g of resin and 88 g of hardener; half of it is mixed.
    expect(new Map((await needsOf(id)).map((n) => [n.materialId, n.amount]))).toEqual(new Map([[resinItemId, 100_000], [hardenerItemId, 44_000]]))
    const drawn = (await entries(id)).find((e) => e.itemId === resinItemId)!
    const alone = await builder.post(url(id, `/draw/${drawn.id}/undo`), {})
    expect(alone.statusCode).toBe(422)
    expect(words(alone.body)).toContain('both parts are taken back together')
    const mixed = await builder.post(url(id, `/draw/${drawn.id}/back`), { back: '10' })
    expect(words(mixed.body)).toContain('what is mixed never goes back into its can')
    expect(await entries(id)).toHaveLength(2)
    const page = (await builder.get(url(id))).body
    expect(page).not.toContain(`${drawn.id}/back`)
    expect(page).not.toContain(`${drawn.id}/undo`)
    expect(page).toContain(`href="${url(id, '/mix')}"`)
  })

  test('somebody else’s entry is taken back by them or the storekeeper', async () => {
    const item = await club.make.item()
    await club.make.lot({ itemId: item.id, qty: 100_000 })
    const id = await task([{ itemId: item.id, likely: 40 }])
    await draw(id, { [amount(item.id)]: '40' })
    const [drawn] = await entries(id)
    const mate = await club.signedIn(['builder'])
    await club.db.buildMember.create({ data: { buildId, memberId: mate.memberId } })
    const answer = await mate.post(url(id, `/draw/${drawn!.id}/undo`), {})
    expect(answer.statusCode).toBe(403)
    expect(words(answer.body)).toContain('Somebody else booked this')
    await club.db.buildMember.create({ data: { buildId, memberId: keeper.memberId } })
    expect((await keeper.post(url(id, `/draw/${drawn!.id}/undo`), { why: 'Wrong build' })).statusCode).toBe(303)
  })
})

describe('tasks that something was drawn for', () => {
  test('are not deleted, for nothing is taken out of the book, and the page does not offer it', async () => {
    const item = await club.make.item()
    await club.make.lot({ itemId: item.id, qty: 100_000 })
    const id = await task([{ itemId: item.id, likely: 40 }])
    expect((await builder.get(url(id, ''))).body).toContain(url(id, '/delete'))
    await draw(id, { [amount(item.id)]: '40' })
    expect((await builder.get(url(id, ''))).body).not.toContain(url(id, '/delete'))
    const answer = await builder.post(url(id, '/delete'), {})
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('The stores’ ledger has entries of')
    expect(await club.db.task.count({ where: { id } })).toBe(1)
  })

  test('are split only when all of it is back: nobody can say for which half it was', async () => {
    const item = await club.make.item()
    await club.make.lot({ itemId: item.id, qty: 100_000 })
    const id = await task([{ itemId: item.id, likely: 40 }])
    await draw(id, { [amount(item.id)]: '40' })
    const split = () => builder.post(url(id, '/split'), { version: '1', firstName: 'Port', secondName: 'Starboard', share: '50', order: 'beside' })
    const answer = await split()
    expect(answer.statusCode).toBe(422)
    expect(words(answer.body)).toContain('put it back first')
    const [drawn] = await entries(id)
    await builder.post(url(id, `/draw/${drawn!.id}/undo`), {})
    expect((await split()).statusCode).toBe(303)
    expect(await needsOf(id)).toEqual([{ materialId: item.id, amount: 20_000, structural: true }])
  })
})
