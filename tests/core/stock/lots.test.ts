import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { lastDay, mayServe, pickLots, stateOn, type Lot, type LotState } from '../../../src/core/stock/index.ts'
import { milli } from '../../../src/core/units/index.ts'

const today = '2031-05-10'
const lot = (id: string, more: Partial<Lot> = {}): Lot => ({ id, left: milli(1000), state: 'fresh', expires: '2031-12-31', opened: null, ...more })
const order = (lots: readonly Lot[], structural = true): string[] =>
  pickLots(lots, milli(1_000_000), { structural, today }).picks.map(({ lotId }) => lotId)

describe('the state of a lot', () => {
  test('is fresh up to its last day, and to be tested first from the day after', () => {
    expect(stateOn(lot('A', { expires: today }), today)).toBe('fresh')
    expect(stateOn(lot('A', { expires: today }), '2031-05-11')).toBe('test_first')
  })

  test('stays fresh as long as a test of a person vouches for it', () => {
    const tested = lot('A', { expires: '2031-01-31', testedUntil: '2031-06-30' })
    expect(lastDay(tested)).toBe('2031-06-30')
    expect(stateOn(tested, today)).toBe('fresh')
    expect(stateOn(tested, '2031-07-01')).toBe('test_first')
    // A test never shortens what the label says.
    expect(lastDay(lot('A', { testedUntil: '2031-06-30' }))).toBe('2031-12-31')
  })

  test('that a person set does not move with the date', () => {
    for (const state of ['test_first', 'not_structural', 'discard'] as const) {
      expect(stateOn(lot('A', { state, expires: '2001-01-01' }), today)).toBe(state)
    }
  })

  test('is fresh where no date is known', () => expect(stateOn(lot('A', { expires: null }), today)).toBe('fresh'))
})

describe('lots are picked', () => {
  test('by last day, then opened before unopened, then the longer opened, then by id', () => {
    expect(order([
      lot('F', { expires: null }), lot('E', { expires: null, opened: '2031-05-01' }), lot('D'), lot('C'), lot('B', { opened: '2031-05-01' }),
      lot('A2', { opened: '2031-03-01' }), lot('A1', { expires: '2031-05-10' }),
    ])).toEqual(['A1', 'A2', 'B', 'C', 'D', 'E', 'F'])
  })

  test('for structure from fresh ones alone', () => {
    const states: LotState[] = ['discard', 'not_structural', 'test_first', 'fresh']
    expect(order(states.map((state) => lot(state, { state })))).toEqual(['fresh'])
    expect(order(states.map((state) => lot(state, { state })), false)).toEqual(['not_structural', 'fresh'])
  })

  test('for anything else from those not for structure first, even where they keep longer or have no date', () => {
    const worse = lot('worse', { state: 'not_structural', expires: null })
    expect(order([lot('fresh', { expires: '2031-05-11' }), worse], false)).toEqual(['worse', 'fresh'])
  })

  test('as far as they go, and what is short says what a test could free', () => {
    const old = lot('old', { expires: '2031-01-31' })
    const { picks, short, testFirst } = pickLots([lot('A'), old, lot('gone', { left: milli(0) })], milli(1300), { structural: true, today })
    expect(picks).toEqual([{ lotId: 'A', qty: 1000 }])
    expect(short).toBe(300)
    expect(testFirst).toEqual([{ lotId: 'old', qty: 300 }])
  })

  test('without a word about tests or dates where nothing is short', () => {
    const { short, testFirst, withoutExpiry } = pickLots([lot('A'), lot('B', { expires: null })], milli(700), { structural: true, today })
    expect([short, testFirst, withoutExpiry]).toEqual([0, [], []])
  })

  test('so that picks and short add up to the need, none above what is left, none that may not serve', () => {
    const day = fc.integer({ min: 10, max: 30 }).map((d) => `2031-05-${d}`)
    const lots = fc.array(fc.record({
      left: fc.nat(5000).map(milli), state: fc.constantFrom<LotState>('fresh', 'test_first', 'not_structural', 'discard'),
      expires: fc.option(day), opened: fc.option(day),
    }), { maxLength: 8 }).map((all) => all.map((one, i) => ({ ...one, id: `l${i}` })))
    fc.assert(fc.property(lots, fc.nat(20_000), fc.boolean(), (all, need, structural) => {
      const { picks, short } = pickLots(all, milli(need), { structural, today: '2031-05-20' })
      expect(picks.reduce((sum, { qty }) => sum + qty, 0) + short).toBe(need)
      let lastLeft = 0
      for (const { lotId, qty } of picks) {
        const of = all.find(({ id }) => id === lotId)!
        expect(qty).toBeGreaterThan(0)
        expect(qty).toBeLessThanOrEqual(of.left)
        expect(mayServe(stateOn(of, '2031-05-20'), structural)).toBe(true)
        // Only the last may be left with some.
        expect(lastLeft).toBe(0)
        lastLeft = of.left - qty
      }
      // The same lots in another order are picked the same.
      expect(pickLots(all.toReversed(), milli(need), { structural, today: '2031-05-20' }).picks).toEqual(picks)
    }), { seed: 5 })
  })
})
