import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { packsFor, type Pack, type Purchase } from '../../../src/core/stock/index.ts'
import { cents, milli } from '../../../src/core/units/index.ts'

const pack = (id: string, qty: number, price: number): Pack => ({ id, qty: milli(qty), priceCents: cents(price) })
function buy(short: number, packs: readonly Pack[]): Purchase {
  const result = packsFor(milli(short), packs)
  if (!result.ok) throw new Error('no packs')
  return result.value
}
const counts = ({ packs }: Purchase): Record<string, number> => Object.fromEntries(packs.map(({ id, count }) => [id, count]))

describe('packs for a need', () => {
  const cans = [pack('1 kg', 1_000_000, 2400), pack('5 kg', 5_000_000, 9000), pack('20 kg', 20_000_000, 34_000)]

  test('of nothing are none, and of something from nothing are refused', () => {
    expect(buy(0, cans)).toEqual({ packs: [], qty: 0, over: 0, priceCents: 0 })
    expect(buy(-5, cans).packs).toEqual([])
    expect(packsFor(milli(5), [])).toEqual({ ok: false, refusal: { kind: 'no-packs' } })
  })

  test('are the cheapest that are not short', () => {
    // 3 kg: three of 1 kg 72; 3.8 kg: one of 5 kg 90 against four of 1 kg 96
    expect(buy(3_000_000, cans)).toEqual({ packs: [{ id: '1 kg', count: 3 }], qty: 3_000_000, over: 0, priceCents: 7200 })
    expect(buy(3_800_000, cans)).toEqual({ packs: [{ id: '5 kg', count: 1 }], qty: 5_000_000, over: 1_200_000, priceCents: 9000 })
    // 6.1 kg: 5 + 2 × 1 kg 138 against 2 × 5 kg 180
    expect(counts(buy(6_100_000, cans))).toEqual({ '1 kg': 2, '5 kg': 1 })
    // 18 kg: 3 × 5 + 3 × 1 342 against 20 kg at 340
    expect(counts(buy(18_000_000, cans))).toEqual({ '20 kg': 1 })
  })

  test('of a single size are as many as it takes', () => {
    // Ply by the sheet: 7.5 sheets
    expect(buy(7500, [pack('sheet', 1000, 4500)])).toEqual({ packs: [{ id: 'sheet', count: 8 }], qty: 8000, over: 500, priceCents: 36_000 })
  })

  test('equally cheap are the fewest, then those least over, then those given first', () => {
    expect(counts(buy(4, [pack('2', 2, 10), pack('4', 4, 20)]))).toEqual({ 4: 1 })
    expect(counts(buy(4, [pack('6', 6, 20), pack('5', 5, 20)]))).toEqual({ 5: 1 })
    expect(counts(buy(4, [pack('x', 4, 20), pack('y', 4, 20)]))).toEqual({ x: 1 })
    expect(counts(buy(4, [pack('y', 4, 20), pack('x', 4, 20)]))).toEqual({ y: 1 })
  })

  test('that cost nothing are not taken beyond the need', () => {
    expect(buy(10, [pack('gift', 4, 0)])).toEqual({ packs: [{ id: 'gift', count: 3 }], qty: 12, over: 2, priceCents: 0 })
  })

  test('by the million are refused', () => {
    expect(packsFor(milli(1_000_001), [pack('nail', 1, 1)])).toEqual({ ok: false, refusal: { kind: 'too-many' } })
    expect(buy(1_000_000, [pack('nail', 1, 1)]).priceCents).toBe(1_000_000)
  })

  test('of no quantity or a negative price are a fault', () => {
    expect(() => packsFor(milli(1), [pack('x', 0, 5)])).toThrow(RangeError)
    expect(() => packsFor(milli(1), [pack('x', 5, -1)])).toThrow(RangeError)
  })

  test('for a need beyond the table take the bulk in the pack cheapest by quantity', () => {
    // 1,234.5 t in 20 kg at 1.70 a kg, by the table's grain of 1 kg: 61,725 of 20 kg are 1,234,500 kg
    const one = buy(1_234_500_000_000, cans)
    expect(counts(one)).toEqual({ '20 kg': 61_725 })
    expect(one.over).toBe(0)
  })

  test('of odd sizes and a large need are still not short and none too many', () => {
    const odd = [pack('a', 999_983, 1000), pack('b', 1_000_003, 1001), pack('c', 7, 1)]
    const { qty, over, packs } = buy(123_456_789_012, odd)
    expect(qty - over).toBe(123_456_789_012)
    expect(over).toBeGreaterThanOrEqual(0)
    expect(over).toBeLessThan(Math.min(...packs.map(({ id }) => odd.find((one) => one.id === id)!.qty)))
  })
})

describe('any purchase', () => {
  const pack3 = fc.record({ qty: fc.integer({ min: 1, max: 40 }).map(milli), priceCents: fc.nat(60).map(cents) })
  const some = fc.array(pack3, { minLength: 1, maxLength: 4 }).map((all) => all.map((one, i) => ({ ...one, id: `p${i}` })))

  /** The cheapest price by trying every count of every pack. */
  const cheapest = (short: number, packs: readonly Pack[]): number => {
    if (short <= 0) return 0
    const [first, ...rest] = packs
    if (first === undefined) return Infinity
    let best = Infinity
    for (let n = 0; n * first.qty < short + first.qty; n++) best = Math.min(best, n * first.priceCents + cheapest(short - n * first.qty, rest))
    return best
  }

  test('is never short, less than its smallest pack over, and as cheap as the best of all combinations', () => {
    fc.assert(fc.property(fc.integer({ min: 1, max: 120 }), some, (short, packs) => {
      const one = buy(short, packs)
      const of = (id: string): Pack => packs.find((each) => each.id === id)!
      expect(one.packs.reduce((sum, { id, count }) => sum + count * of(id).qty, 0)).toBe(one.qty)
      expect(one.packs.reduce((sum, { id, count }) => sum + count * of(id).priceCents, 0)).toBe(one.priceCents)
      expect(one.over).toBe(one.qty - short)
      expect(one.over).toBeGreaterThanOrEqual(0)
      expect(one.over).toBeLessThan(Math.min(...one.packs.map(({ id }) => of(id).qty)))
      expect(one.priceCents).toBe(cheapest(short, packs))
    }), { seed: 4, numRuns: 300 })
  })

  test('large or odd is never short and never a pack too many', () => {
    const qty = fc.integer({ min: 100_000, max: 30_000_000 }).map(milli)
    const size = fc.record({ qty, priceCents: fc.integer({ min: 1, max: 90_000 }).map(cents) })
    const odd = fc.array(size, { minLength: 1, maxLength: 3 }).map((all) => all.map((one, i) => ({ ...one, id: `p${i}` })))
    fc.assert(fc.property(fc.integer({ min: 1, max: 5e10 }), odd, (short, packs) => {
      const one = buy(short, packs)
      expect(one.over).toBeGreaterThanOrEqual(0)
      expect(one.over).toBeLessThan(Math.min(...one.packs.map(({ id }) => packs.find((each) => each.id === id)!.qty)))
    }), { seed: 6, numRuns: 60 })
  })
})
