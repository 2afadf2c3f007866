import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { stockLevel, type Outlook, type OutlookQuestion } from '../../../src/core/stock/index.ts'
import { instant, milli } from '../../../src/core/units/index.ts'

/** Day numbers, at midnight. */
const day = (n: number) => instant(n * 1440)
const order = (at: number, qty: number) => ({ at: day(at), qty: milli(qty) })
const need = (taskId: string, at: number, qty: number, structural?: boolean) => ({ taskId, at: day(at), qty: milli(qty), structural })
const look = (onHand: number, more: Partial<OutlookQuestion> = {}): Outlook =>
  stockLevel({ from: day(100), onHand: milli(onHand), orders: [], needs: [], safety: milli(0), leadDays: 7, ...more })
const steps = ({ steps: all }: Outlook): number[][] => all.map(({ at, level }) => [at / 1440, level])

describe('the stock level', () => {
  test('goes down with needs and up with orders, in order of time', () => {
    const one = look(500, { orders: [order(110, 400)], needs: [need('deck', 120, 300), need('hull', 105, 200)] })
    expect(steps(one)).toEqual([[100, 500], [105, 300], [110, 700], [120, 400]])
    expect(one).toMatchObject({ runOut: null, belowSafety: null, orderBy: null, orderByIsPast: false, totalShort: 0, toSafety: 0, overdue: false })
  })

  test('without needs stays as it is', () => expect(steps(look(500))).toEqual([[100, 500]]))

  test('covers the foils but not the decks', () => {
    const { covers, runOut, totalShort } = look(500, { needs: [need('foils', 105, 450), need('decks', 112, 300)] })
    expect(covers.map(({ taskId, missing }) => [taskId, missing])).toEqual([['foils', 0], ['decks', 250]])
    expect(runOut).toEqual({ at: day(112), taskId: 'decks', missing: 250 })
    expect(totalShort).toBe(250)
  })

  test('serves needs of one instant in the order given, arrivals of it before', () => {
    const { covers } = look(100, { orders: [order(105, 200)], needs: [need('b', 105, 250), need('a', 105, 100)] })
    expect(covers.map(({ taskId, missing }) => [taskId, missing])).toEqual([['b', 0], ['a', 50]])
  })

  test('makes an uncovered need good from the next arrival, before later needs', () => {
    // 100 - 300 = -200; + 250 = 50; - 80 = -30
    const { covers, runOut, totalShort, toSafety } = look(100, { orders: [order(110, 250)], needs: [need('hull', 105, 300), need('deck', 115, 80)] })
    expect(covers.map(({ missing }) => missing)).toEqual([200, 30])
    expect(runOut).toEqual({ at: day(105), taskId: 'hull', missing: 200 })
    expect([totalShort, toSafety]).toEqual([30, 200])
  })

  test('counts what is overdue as here now, and says so', () => {
    const one = look(0, { orders: [order(95, 300)], needs: [need('late', 98, 100)] })
    expect(steps(one)).toEqual([[100, 200]])
    expect(one).toMatchObject({ overdue: true, runOut: null })
  })

  test('takes what is not for structure for needs that bear no load first, and never for others', () => {
    const { covers, steps: all } = look(100, {
      onHandNotStructural: milli(80), needs: [need('fairing', 103, 100, false), need('keel', 104, 100, true), need('fillets', 105, 10)],
    })
    // Fairing: 80 of what is not for structure and 20 of the rest. Keel: 80 of 100. Fillets bear load unless they are said not to.
    expect(covers.map(({ missing }) => missing)).toEqual([0, 20, 10])
    expect(all.map(({ level }) => level)).toEqual([100, 80, -20, -30])
  })
})

describe('order by', () => {
  test('is the last instant at which an order arrives before the level falls below safety stock', () => {
    // 500, safety 150: at day 105 300 are left, at day 120 100. Seven days before day 120.
    const needs = [need('hull', 105, 200), need('deck', 120, 200)]
    const one = look(500, { needs, safety: milli(150) })
    expect(one).toMatchObject({ belowSafety: day(120), orderBy: day(113), orderByIsPast: false, runOut: null, toSafety: 50 })
    // An order placed then, of what it says, keeps it at safety stock all through; a minute later, not.
    const arriving = (late: number) =>
      look(500, { needs, safety: milli(150), orders: [{ at: instant(one.orderBy! + 7 * 1440 + late), qty: one.toSafety }] })
    expect(arriving(0).belowSafety).toBe(null)
    expect(arriving(1).belowSafety).toBe(day(120))
  })

  test('at safety stock is not below it', () => expect(look(500, { needs: [need('a', 105, 350)], safety: milli(150) }).belowSafety).toBe(null))

  test('that has gone by is said', () => {
    expect(look(500, { needs: [need('a', 106, 400)], safety: milli(150) })).toMatchObject({ orderBy: day(99), orderByIsPast: true })
    expect(look(500, { needs: [need('a', 107, 400)], safety: milli(150) })).toMatchObject({ orderBy: day(100), orderByIsPast: false })
    expect(look(100, { safety: milli(150) })).toMatchObject({ belowSafety: day(100), orderBy: day(93), orderByIsPast: true, toSafety: 50 })
  })

  test('counts a part of a day of lead time in full minutes', () => {
    expect(look(0, { needs: [need('a', 120, 1)], leadDays: 0.5 }).orderBy).toBe(120 * 1440 - 720)
  })
})

test('any outlook adds up: what is short is what needs ask beyond all there is, and buying what it says keeps safety stock', () => {
  const at = fc.integer({ min: 90, max: 140 })
  const qty = fc.integer({ min: 1, max: 500 })
  const orders = fc.array(fc.tuple(at, qty), { maxLength: 5 }).map((all) => all.map(([n, q]) => order(n, q)))
  const needs = fc.array(fc.tuple(at, qty), { maxLength: 8 }).map((all) => all.map(([n, q], i) => need(`t${i}`, n, q)))
  fc.assert(fc.property(fc.nat(1000), orders, needs, fc.nat(300), (onHand, coming, asked, safety) => {
    const one = look(onHand, { orders: coming, needs: asked, safety: milli(safety) })
    const sum = (rows: readonly { qty: number }[]): number => rows.reduce((all, row) => all + row.qty, 0)
    expect(one.steps.at(-1)!.level).toBe(onHand + sum(coming) - sum(asked))
    expect(one.totalShort).toBe(Math.max(0, sum(asked) - onHand - sum(coming)))
    expect(one.steps.every((step, i) => i === 0 || step.at > one.steps[i - 1]!.at)).toBe(true)
    expect(one.runOut === null).toBe(one.covers.every(({ missing }) => missing === 0))
    for (const { qty: all, missing } of one.covers) expect(missing >= 0 && missing <= all).toBe(true)
    expect(one.belowSafety === null).toBe(one.toSafety === 0)
    const bought = look(onHand + one.toSafety, { orders: coming, needs: asked, safety: milli(safety) })
    expect(bought).toMatchObject({ belowSafety: null, runOut: null, toSafety: 0 })
    // The other order of the orders changes nothing.
    expect(look(onHand, { orders: coming.toReversed(), needs: asked, safety: milli(safety) })).toEqual(one)
  }), { seed: 9, numRuns: 500 })
})
