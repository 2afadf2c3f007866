import { beforeAll, describe, expect, test } from 'vitest'
import { weighingsOf, type BaseRow, type Shelf } from '../../../src/features/builds/facts/weighings.ts'
import { drawStock, logBatch, returnStock, reverseEntry } from '../../../src/features/stores/public.ts'
import { factorsFor, loadLearned } from '../../../src/features/builds/queries/learned.ts'
import type { Skill } from '../../../src/core/estimate/types.ts'
import { testClub } from '../../support/app.ts'
import { words } from './support.ts'

describe('a weighing', () => {
  const shelf: Shelf = {
    items: new Map([
      ['resin', { unit: 'g', density: 1.13, widthMm: null }], ['fast', { unit: 'g', density: 1, widthMm: null }], ['slow', { unit: 'ml', density: 1, widthMm: null }],
      ['flour', { unit: 'g', density: 1.45, widthMm: null }], ['cloth', { unit: 'm2', density: null, widthMm: 1000 }], ['ply', { unit: 'pcs', density: null, widthMm: null }],
    ]),
    mixes: new Map([
      ['quick', { resinId: 'resin', hardenerId: 'fast', ratio: { a: 100, b: 44 } }], ['long', { resinId: 'resin', hardenerId: 'slow', ratio: { a: 100, b: 44 } }],
    ]),
  }
  const row = (over: Partial<BaseRow>): BaseRow => ({ taskId: 't', skill: 'some', itemId: null, productId: null, unit: 'g', ruleKey: 'wet-out', base: 100, ...over })
  const used = (...all: [string, number][]) => all.map(([itemId, amount]) => ({ taskId: 't', itemId, milli: amount * 1000 }))

  test('of a mix is resin and hardener over what the rule says', () => {
    // 700 + 308 = 1008 g over 900.
    const [only, ...rest] = weighingsOf([row({ productId: 'quick', base: 900 })], used(['resin', 700], ['fast', 308]), shelf)
    expect(rest).toEqual([])
    expect(only).toMatchObject({ rule: 'wet-out', skill: 'some', weight: 1 })
    expect(Math.exp(only!.logRatio)).toBeCloseTo(1008 / 900, 9)
  })

  test('of a mix of which only the resin was weighed has the hardener by the ratio', () => {
    // 500 g of resin take 220 g of hardener: 720 over 600.
    const [w] = weighingsOf([row({ productId: 'quick', base: 600 })], used(['resin', 500]), shelf)
    expect(Math.exp(w!.logRatio)).toBeCloseTo(1.2, 9)
  })

  test('is shared by the rules that ask for the same thing, by their amounts', () => {
    const all = weighingsOf([row({ productId: 'quick', base: 300, ruleKey: 'wet-out' }), row({ productId: 'quick', base: 100, ruleKey: 'fill-coat' })], used(['resin', 300], ['fast', 132]), shelf)
    expect(all.map((w) => [w.rule, w.weight])).toEqual([['wet-out', 0.75], ['fill-coat', 0.25]])
    for (const w of all) expect(Math.exp(w.logRatio)).toBeCloseTo(432 / 400, 9)
  })

  test('leaves its share to what a person added by hand', () => {
    const all = weighingsOf([row({ productId: 'quick', base: 300 }), row({ productId: 'quick', base: 100, ruleKey: null })], used(['resin', 400]), shelf)
    expect(all).toHaveLength(1)
    expect(all[0]).toMatchObject({ rule: 'wet-out', weight: 0.75 })
  })

  test('of two products that share a resin is one', () => {
    // 1000 g resin, 200 g fast, 240 ml slow of 1 g/cm³: 1440 g over 500 + 700.
    const all = weighingsOf([row({ productId: 'quick', base: 500 }), row({ productId: 'long', base: 700, ruleKey: 'fillet' })], used(['resin', 1000], ['fast', 200], ['slow', 240]), shelf)
    expect(all.map((w) => w.rule)).toEqual(['wet-out', 'fillet'])
    for (const w of all) expect(Math.exp(w.logRatio)).toBeCloseTo(1.2, 9)
  })

  test('of a rule that asks for two things of the stores is one, with both; a slip in one of them stays by itself', () => {
    const asks = [row({ productId: 'quick', base: 400, ruleKey: 'fillet' }), row({ itemId: 'flour', base: 100, ruleKey: 'fillet' })]
    // 576 g of epoxy over 400 are 1.44, 121 g of flour over 100 are 1.21: their geometric mean is 1.32.
    const [both, ...rest] = weighingsOf(asks, used(['resin', 400], ['fast', 176], ['flour', 121]), shelf)
    expect(rest).toEqual([])
    expect(both).toMatchObject({ rule: 'fillet', weight: 1 })
    expect(Math.exp(both!.logRatio)).toBeCloseTo(1.32, 9)
    // A kilogram of flour for 100 g: 1.44 counts, 10 is for the learning to leave out.
    const slipped = weighingsOf(asks, used(['resin', 400], ['fast', 176], ['flour', 1000]), shelf).map((w) => Math.exp(w.logRatio))
    expect(slipped[0]).toBeCloseTo(1.44, 9)
    expect(slipped[1]).toBeCloseTo(10, 9)
  })

  test('is made in the item’s unit where that is exact, and not at all where it is not', () => {
    // 4 m off a roll of 1 m are 4 m²: 5 m² over 4.
    const [cloth] = weighingsOf([row({ itemId: 'cloth', unit: 'm', base: 4, ruleKey: 'cloth' })], used(['cloth', 5]), shelf)
    expect(Math.exp(cloth!.logRatio)).toBeCloseTo(1.25, 9)
    expect(weighingsOf([row({ itemId: 'ply', unit: 'm2', base: 4, ruleKey: 'ply' })], used(['ply', 2]), shelf)).toEqual([])
  })

  test('is none where nothing was drawn, where all came back, or for things that are counted', () => {
    expect(weighingsOf([row({ productId: 'quick' })], [], shelf)).toEqual([])
    expect(weighingsOf([row({ productId: 'quick' })], used(['cloth', 5]), shelf)).toEqual([])
    expect(weighingsOf([row({ itemId: 'ply', unit: 'pcs', base: 4, ruleKey: 'piece' })], used(['ply', 4]), shelf)).toEqual([])
    expect(weighingsOf([row({ productId: 'gone' })], used(['resin', 5]), shelf)).toEqual([])
  })
})

const club = await testClub({ now: '2026-06-06T09:00:00Z' })
const at = new Date('2026-06-01T12:00:00Z')
let [keeper, productId, resin, hardener] = ['', '', '', '']
beforeAll(async () => {
  keeper = (await club.make.member(['storekeeper'])).id
  const system = await club.make.system()
  ;[productId, resin, hardener] = [system.productId, system.resinItemId, system.hardenerItemId]
  await club.make.lot({ itemId: resin, qty: 100_000_000 })
  await club.make.lot({ itemId: hardener, qty: 100_000_000 })
})

async function finished(skill: Skill, materials: { likely: number; ruleKey?: string; factor?: number; itemId?: string; unit?: string }[], isFinished = true) {
  const build = await club.make.build({ skill })
  const phase = await club.make.phase(build.id)
  const rows = materials.map(({ ruleKey, itemId, unit = 'g', ...m }) => ({
    name: 'Mixed epoxy', unit, low: m.likely, high: m.likely, ...m, ...(itemId ? { itemId } : { productId }), ...(ruleKey ? { ruleKey, line: `bottom.${ruleKey}` } : {}),
  }))
  const task = await club.db.task.create({
    data: { name: 'Coat', position: 1, kind: 'shared', workLowMin: 60, workLikelyMin: 60, workHighMin: 60, buildId: build.id, phaseId: phase.id, finishedAt: isFinished ? at : null, materials: { create: rows } },
  })
  return { buildId: build.id, taskId: task.id }
}
const draw = (on: { buildId: string; taskId: string }, itemId: string, grams: number) =>
  club.db.$transaction((tx) => drawStock(tx, club.make.ctx(keeper), { itemId, qtyMilli: grams * 1000, structural: true, ...on }))
const entryOf = (result: Awaited<ReturnType<typeof draw>>) => {
  if (!result.ok) throw new Error(JSON.stringify(result.refusal))
  return result.value.entryIds[0]!
}
const learnt = async (rule: string, skill: Skill) => (await loadLearned(club.db)).find((l) => l.rule === rule && l.skill === skill)

describe('what a club learns', () => {
  test('is nothing before anything was weighed: no rule has a factor', async () => {
    await finished('some', [{ likely: 500, ruleKey: 'wet-out' }])
    expect(await loadLearned(club.db)).toEqual([])
    expect(factorsFor([], 'some').size).toBe(0)
  })

  test('comes from what was drawn, less what came back and what was reversed', async () => {
    const on = await finished('first', [{ likely: 500, ruleKey: 'wet-out' }])
    const back = entryOf(await draw(on, resin, 500))
    const wrong = entryOf(await draw(on, resin, 300))
    entryOf(await draw(on, hardener, 176))
    await club.db.$transaction((tx) => returnStock(tx, club.make.ctx(keeper), { entryId: back, qtyMilli: 100_000 }))
    await club.db.$transaction((tx) => reverseEntry(tx, club.make.ctx(keeper), { entryId: wrong, why: 'Another boat' }))
    // 500 - 100 + 300 - 300 + 176 = 576 g over 500: 1.152. One weighing against the four of the prior: 1.152^(1/5).
    const l = await learnt('wet-out', 'first')
    expect(l).toMatchObject({ count: 1, sure: 'a first hint', used: true, leftOut: 0 })
    expect(l!.mean).toBeCloseTo(1.152, 6)
    expect(l!.factor).toBeCloseTo(1.152 ** 0.2, 6)
    expect(factorsFor([l!], 'first').get('wet-out')).toBeCloseTo(1.152 ** 0.2, 6)
    expect(factorsFor([l!], 'some').size).toBe(0)
  })

  test('takes a logged batch as resin and hardener, and undoes the factor that was in the amount already', async () => {
    // 660 g were asked for with a factor of 1.1, so the rule says 600; 720 g were mixed: 1.2, not 1.09.
    const on = await finished('practised', [{ likely: 660, factor: 1.1, ruleKey: 'seal-first' }])
    await club.db.cureProduct.update({ where: { id: productId }, data: { ratioBy: 'mass', ratioA: 100, ratioB: 44 } })
    const mixed = await club.db.$transaction((tx) => logBatch(tx, club.make.ctx(keeper), { productId, massMg: 720_000, ...on }))
    expect(mixed.ok).toBe(true)
    expect((await learnt('seal-first', 'practised'))!.mean).toBeCloseTo(1.2, 3)
  })

  test('waits until the task is finished', async () => {
    const on = await finished('some', [{ likely: 100, ruleKey: 'fairing' }], false)
    entryOf(await draw(on, resin, 100))
    expect(await learnt('fairing', 'some')).toBeUndefined()
    await club.db.task.update({ where: { id: on.taskId }, data: { finishedAt: at } })
    expect(await learnt('fairing', 'some')).toMatchObject({ count: 1 })
  })

  test('tells of a booking that is out of all proportion and does not count it', async () => {
    const item = (await club.make.item({ kind: 'filler' })).id
    await club.make.lot({ itemId: item, qty: 10_000_000 })
    for (const grams of [110, 121, 1000]) entryOf(await draw(await finished('some', [{ likely: 100, ruleKey: 'fillet', itemId: item }]), item, grams))
    const l = await learnt('fillet', 'some')
    expect(l).toMatchObject({ count: 2, leftOut: 1 })
    expect(l!.mean).toBeCloseTo(Math.sqrt(1.1 * 1.21), 6)
  })

  test('is not used where the club switched it off, and is still shown', async () => {
    await club.db.learnedOff.create({ data: { ruleKey: 'fillet', skill: 'some' } })
    const all = await loadLearned(club.db)
    expect(all.find((l) => l.rule === 'fillet' && l.skill === 'some')).toMatchObject({ used: false, count: 2 })
    expect(factorsFor(all, 'some').has('fillet')).toBe(false)
    expect(factorsFor(all, 'some').has('fairing')).toBe(true)
  })

  test('is told on the page of the rules: factor, interval, how many weighings, how far apart, how sure, what was left out', async () => {
    const keeperHere = await club.signedIn(['storekeeper'])
    const page = words((await keeperHere.get('/estimate-rules')).body)
    // Two fillets of 1.1 and 1.21: 1.1537 by themselves, a third of the way (2 of 6) with the prior: 1.1537^(1/3) = 1.0488.
    expect(page).toMatch(/Fillets , some experience × 1\.05 \(0\.9\d to 1\.1\d\) 2: × 1\.15 ± 7 % 1 is left out: more than four times the rule or less than a quarter/)
    expect(page).toContain('a first hint no Use it')
    expect(page).toContain('a first hint yes Stop')
    expect(page).toContain('some experience: × 1.05 , not used')
  })
})
